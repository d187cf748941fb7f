// A document from ten questions, each of which stands alone and may be skipped.

import { open, putAt, valueAt } from "./draft.js";
import { element } from "./elements.js";
import { button, field } from "./fields.js";
import { mayReplace, tell } from "./notices.js";
import { placeChoices, classChoices } from "./places.js";
import { askJson } from "./service.js";
import { usualLosses } from "./insurance.js";
import { currencies, labelsOf, startQuestions, startText, text } from "./texts.js";
import { go } from "./views.js";

let answers = {};

/** Return the page of a question, counted from 1. */
export async function question(part) {
  const at = Number(part) - 1;
  const asked = startQuestions()[at];
  if (asked === undefined) return null;
  let given = valueAt(asked.pointer, answers);
  const own = text(`begin_${asked.name}`);
  const title = own.startsWith("begin_") ? startText(asked.name) : own;
  const control = field({ ...(await controlOf(asked)), name: title, isTitle: true, value: given, taken: (value) => (given = value) });
  const next = () => {
    putAt(answers, asked.pointer, given);
    if (at + 1 < startQuestions().length) go("begin", at + 2);
    else finish();
  };
  const submit = (event) => {
    event.preventDefault();
    event.target.querySelector("input:not([type=radio]), select")?.dispatchEvent(new Event("change"));
    next();
  };
  const skip = () => {
    given = undefined;
    next();
  };
  return [
    element("p", { class: "step" }, text("question_of", { number: at + 1, count: startQuestions().length })),
    element(
      "form",
      { submit, class: "alone" },
      control,
      element("div", { class: "buttons" }, element("button", { type: "submit", class: "main" }, text("continue")), button(text("skip"), skip, { class: "quiet" }), at > 0 && button(text("back"), () => history.back(), { class: "quiet" })),
    ),
  ];
}

async function controlOf(asked) {
  const hint = text(`begin_${asked.name}_hint`);
  const more = { hint: hint.startsWith("begin_") ? null : hint };
  switch (asked.answer) {
    case "currency":
      return { ...more, kind: "choice", choices: [["", text("choose")], ...currencies()] };
    case "place":
      return { ...more, kind: "choice", choices: [["", text("not_known")], ...(await placeChoices())] };
    case "class":
      return { ...more, kind: "choice", choices: [["", text("not_known")], ...(await classChoices(answers.build?.jurisdiction))] };
    case "policy_kind":
      return { ...more, kind: "choice", choices: [["", text("not_known")], ...labelsOf("policy_kind")] };
    default:
      return { ...more, kind: asked.answer };
  }
}

/** Make the document. What it must have and was not answered is assumed, and can be changed there. */
async function finish() {
  const build = { name: text("unnamed"), currency: currencies()[0][0], ...answers.build };
  const policies = (answers.policies ?? []).map((policy) => ({ name: startText("policy_name"), ...policy }));
  const losses = policies.length > 0 ? usualLosses() : [];
  const content = { build, policies, losses };
  if (!mayReplace()) return;
  try {
    const body = new Blob([JSON.stringify(content)]);
    open(await askJson("POST", "/v1/documents", { body }), { isChanged: true });
    answers = {};
    go("build");
  } catch (problem) {
    tell("file", problem, { again: finish });
  }
}
