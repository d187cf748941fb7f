// What the person has to know at once: faults and where they are, a lost connection, a key that is needed, other words.

import { draft } from "./draft.js";
import { cellFaultText, faultText, inWords } from "./faults.js";
import { element, newId, replaceIn } from "./elements.js";
import { button } from "./fields.js";
import { hasKey, NoAnswer, Problem, useKey } from "./service.js";
import { label, text } from "./texts.js";

const shown = new Map();

/** Show a notice under a name, in the place of the one that had it. focus: whether the reader is led there. */
export function notice(name, content, { focus = false } = {}) {
  shown.set(name, content);
  show();
  if (focus) {
    content.setAttribute("tabindex", "-1");
    content.focus();
    content.scrollIntoView({ block: "start" });
  }
}

/** Take a notice away. */
export function withdraw(name) {
  if (shown.delete(name)) show();
}

function show() {
  replaceIn(document.getElementById("notices"), [...shown.values()]);
}

/** Return a notice: a heading and what belongs below it. */
export function noticeBox(title, ...content) {
  const id = newId();
  return element(
    "section",
    { class: "notice", role: "alert", "aria-labelledby": id },
    element("h2", { id }, title),
    content,
  );
}

/** Return a notice of what was done. */
export const doneBox = (words) => element("section", { class: "notice done", role: "status" }, element("p", {}, words));

/** Show why a request was refused or not answered; any other error is thrown on. again: what is tried again, if anything. also: what stands below faults. */
export async function tell(name, problem, { again = null, focus = true, title = null, also = null } = {}) {
  if (!(problem instanceof Problem || problem instanceof NoAnswer)) throw problem;
  if (problem instanceof NoAnswer) {
    notice(name, noticeBox(text("no_answer"), paragraph(text("no_answer_kept")), again && tryAgain(name, again)), { focus });
  } else if (problem.status === 401) {
    notice(name, keyForm(name, problem, again), { focus });
  } else if (problem.errors.length > 0) {
    notice(name, faultSummary(title, await inWords(problem.errors), also), { focus });
  } else {
    const words = text(`problem_${problem.kind.replaceAll("-", "_")}`);
    const isKnown = !words.startsWith("problem_");
    const said = isKnown ? paragraph(words) : element("p", { lang: "en" }, problem.detail);
    notice(name, noticeBox(title ?? text("refused"), said, again && tryAgain(name, again)), { focus });
  }
}

const paragraph = (words) => element("p", {}, words);

function tryAgain(name, again) {
  return button(text("try_again"), () => {
    withdraw(name);
    again();
  });
}

function keyForm(name, problem, again) {
  const id = newId();
  const control = element("input", { id, type: "password", autocomplete: "off", spellcheck: "false", required: true });
  const use = (event) => {
    event.preventDefault();
    useKey(control.value.trim() || null);
    withdraw(name);
    again?.();
  };
  return noticeBox(
    hasKey() ? text("key_refused") : text("key_needed"),
    paragraph(hasKey() ? text("key_refused_help") : text("key_help")),
    element(
      "form",
      { submit: use },
      element("div", { class: "field" }, element("label", { for: id }, text("key")), control),
      element("button", { type: "submit" }, text("use_key")),
    ),
  );
}

/** Return the summary of faults: each leads to its field, where the page has one. */
function faultSummary(title, errors, also) {
  return noticeBox(title ?? text("faults"), title === null && paragraph(text("faults_help")), element("ul", {}, errors.map(faultItem)), also);
}

function faultItem(fault) {
  const control = controlOf(fault.pointer);
  const words = fault.cell ? cellFaultText(fault) : faultText(fault);
  const place = fault.cell || placeOf(fault.pointer);
  const shownText = element("span", { lang: fault.isForeign ? "en" : null }, words);
  if (control === null) return element("li", {}, place && `${place}: `, shownText);
  const lead = (event) => {
    event.preventDefault();
    for (let each = control.parentElement; each; each = each.parentElement) if (each.tagName === "DETAILS") each.open = true;
    const target = control.matches("fieldset") ? control.querySelector("input") : control;
    target.focus();
  };
  return element("li", {}, element("a", { href: `#${control.id}`, click: lead }, place, ": ", shownText));
}

const controlOf = (pointer) => (pointer ? document.querySelector(`[data-pointer="${CSS.escape(pointer)}"]`) : null);

/** Return the place of a fault in words: the names of the entry and of the field. */
function placeOf(pointer) {
  const parts = pointer.split("/").slice(1);
  const field = controlOf(pointer)?.closest(".field")?.querySelector("label, legend")?.textContent;
  const [list, at] = parts;
  const entry = /^\d+$/.test(at ?? "") ? draft.document?.[list]?.[at]?.name : null;
  return [entry, field ?? label("term", parts.at(-1) ?? "")].filter(Boolean).join(", ");
}

/** Mark the fields that have faults, and unmark the others. */
export async function markFields(errors) {
  for (const marked of document.querySelectorAll("[aria-invalid]")) {
    marked.removeAttribute("aria-invalid");
    const place = marked.closest(".field").querySelector(".fault");
    place.hidden = true;
    place.replaceChildren();
    describe(marked, place.id, false);
  }
  for (const fault of await inWords(errors)) {
    const control = controlOf(fault.pointer);
    const place = control?.closest(".field")?.querySelector(".fault");
    if (!place) continue;
    control.setAttribute("aria-invalid", "true");
    place.hidden = false;
    place.replaceChildren(faultText(fault));
    describe(control, place.id, true);
  }
}

function describe(control, id, isDescribed) {
  const ids = (control.getAttribute("aria-describedby") ?? "").split(" ").filter((each) => each && each !== id);
  if (isDescribed) ids.push(id);
  if (ids.length > 0) control.setAttribute("aria-describedby", ids.join(" "));
  else control.removeAttribute("aria-describedby");
}

/** Whether what is open may be replaced: the person is asked where changes would be lost. */
export function mayReplace() {
  return !draft.isChanged || window.confirm(text("lose_changes", { name: draft.document.build.name }));
}

/** Say that the browser has no room left to remember what is open. */
export function tellFull() {
  notice("full", noticeBox(text("browser_full"), paragraph(text("browser_full_help"))));
}

