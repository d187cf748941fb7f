// What the API answers to the open document: asked again after every change; only the answer to the newest counts.

import { draft, request } from "./draft.js";
import { askJson, NoAnswer, Problem } from "./service.js";
import { locale } from "./texts.js";

/** statement: the newest answer, or null. problem: why the newest change has none yet, or null. */
export const answer = { statement: null, problem: null, isAsking: false };

const AGAIN_AFTER = 5000;
const listeners = new Set();
let asked = 0;
let timer = null;

/** Tell a function of every answer, and of every change of state. */
export function listen(listener) {
  listeners.add(listener);
}

/** Ask for the statement of the open document. */
export async function compute() {
  asked += 1;
  const mine = asked;
  stopWaiting();
  answer.isAsking = true;
  tell();
  try {
    const statement = await askJson("POST", "/v1/gap-statements", { json: request(locale()) });
    if (mine !== asked) return;
    Object.assign(answer, { statement, problem: null });
  } catch (problem) {
    if (mine !== asked) return;
    if (!(problem instanceof Problem || problem instanceof NoAnswer)) throw problem;
    answer.problem = problem;
    tryLater(problem);
  } finally {
    if (mine === asked) {
      answer.isAsking = false;
      tell();
    }
  }
}

/** Ask again after a while, or once the connection is back, where that may help. */
export function tryLater(problem) {
  stopWaiting();
  if (problem instanceof NoAnswer || problem.status === 503) timer = setTimeout(compute, AGAIN_AFTER);
}

/** Ask again at once where that was to be done later: the server is there again. */
export function tryNow() {
  if (timer !== null) compute();
}

function stopWaiting() {
  clearTimeout(timer);
  timer = null;
}

/** Forget the answer: another document is open, or none. */
export function forget() {
  asked += 1;
  stopWaiting();
  Object.assign(answer, { statement: null, problem: null, isAsking: false });
}

function tell() {
  if (draft.document !== null) listeners.forEach((listener) => listener());
}

window.addEventListener("online", tryNow);
