// Which view is shown. The browser's own back and forward lead from one to another.

import { replaceIn } from "./elements.js";
import { tell, withdraw } from "./notices.js";

const views = new Map();

/** Name the function that returns the content of a view. */
export function defineView(name, content) {
  views.set(name, content);
}

/** Go to a view. part: which of its pages. */
export function go(name, part = null) {
  history.pushState({ name, part }, "", part === null ? `#${name}` : `#${name}-${part}`);
  withdraw("file");
  show(name, part);
}

/** Show a view again, as after a change of language. */
export function showAgain({ focus = false } = {}) {
  const { name, part } = history.state ?? { name: "home", part: null };
  return show(name, part, focus);
}

async function show(name, part, focus = true) {
  const place = document.getElementById("content");
  let content;
  try {
    content = await views.get(name)?.(part);
    withdraw("view");
  } catch (problem) {
    tell("view", problem, { again: () => show(name, part, focus) });
    return;
  }
  if (content === null || content === undefined) {
    history.replaceState({ name: "home", part: null }, "", location.pathname);
    show("home", null, focus);
    return;
  }
  replaceIn(place, content);
  const title = place.querySelector("h1");
  document.title = title ? `${title.textContent} - Hitchworth` : "Hitchworth";
  if (!focus || !title) return;
  title.setAttribute("tabindex", "-1");
  title.focus({ preventScroll: true });
  window.scrollTo(0, 0);
}

window.addEventListener("popstate", () => {
  if (history.state !== null || location.hash === "") showAgain({ focus: true });
});
