// Fields of a form: a label, a hint, a control, and room for what is wrong. Each knows how its value is written here.

import { draft, change, putAt, valueAt } from "./draft.js";
import { element, newId } from "./elements.js";
import { heading, isNumber, labelsOf, movePoint, readNumber, text, writtenNumber } from "./texts.js";

const AFTER_TYPING = 700;

const NUMERIC = ["amount", "number", "percent"];
const READ = {
  text: (written) => written.trim(),
  long: (written) => written.trim(),
  date: (written) => written,
  amount: readNumber,
  number: readNumber,
  percent: (written) => movePoint(readNumber(written), -2),
};
const WRITE = {
  text: String,
  long: String,
  date: String,
  amount: writtenNumber,
  number: writtenNumber,
  percent: (share) => writtenNumber(movePoint(share, 2)),
};

/**
 * Return a field.
 *
 * kind: text, long, date, amount, number, percent, choice or yes_no. choices: [value, label] of a choice, or [label,
 * choices] of a group of them; the empty one is first, and says what no choice means. isTitle: the name is the title of the view. taken: is called with each new value, undefined for none.
 */
export function field({ kind, name, hint = null, value, choices = [], pointer = null, isTitle = false, taken = () => {}, ...more }) {
  if (kind === "yes_no") return yesNo({ name, hint, value, pointer, isTitle, taken });
  const id = more.id ?? newId();
  const described = hint === null ? null : `${id}-hint`;
  const attributes = { id, "aria-describedby": described, "data-pointer": pointer, ...more };
  const control = kind === "choice" ? select(attributes, choices, value) : input(kind, attributes, value);
  whenDone(control, kind, taken);
  return element(
    "div",
    { class: `field ${kind}` },
    titled(isTitle, element("label", { for: id }, name)),
    hint && element("p", { id: described, class: "hint" }, hint),
    element("p", { id: `${id}-fault`, class: "fault", hidden: true }),
    control,
  );
}

/** Return what a field is called, as the title of the view where it stands alone. */
const titled = (isTitle, name) => (isTitle ? element("h1", {}, name) : name);

function select(attributes, choices, value) {
  const single = choices.flatMap(([each, shown]) => (Array.isArray(shown) ? shown : [[each, shown]]));
  const known = single.some(([each]) => each === value);
  const all = known || value === undefined || value === null ? choices : [...choices, [value, String(value)]];
  const option = ([each, shown]) => element("option", { value: each, selected: each === (value ?? "") }, shown);
  return element(
    "select",
    attributes,
    all.map((choice) => (Array.isArray(choice[1]) ? element("optgroup", { label: choice[0] }, choice[1].map(option)) : option(choice))),
  );
}

function input(kind, attributes, value) {
  const written = value === undefined || value === null ? "" : WRITE[kind](value);
  if (kind === "long") return element("textarea", { rows: 3, ...attributes }, written);
  const type = kind === "date" ? "date" : "text";
  const isNumeric = NUMERIC.includes(kind);
  const control = element("input", { type, inputmode: isNumeric ? "decimal" : null, value: written, autocomplete: "off", ...attributes });
  if (isNumeric) control.addEventListener("input", () => refuseNoNumber(control));
  return control;
}

// The form that the control is in is not sent then. A term, which is in no form, is refused by the server.
function refuseNoNumber(control) {
  const isFine = control.value.trim() === "" || isNumber(control.value);
  control.setCustomValidity(isFine ? "" : text("no_number", { example: writtenNumber("12.5") }));
}

/** Return the value of a control; undefined where it is empty. */
function valueOf(control, kind) {
  const written = control.value;
  if (written.trim() === "") return undefined;
  return kind === "choice" ? written : READ[kind](written);
}

function whenDone(control, kind, taken) {
  let timer = null;
  let before = control.value;
  const take = () => {
    clearTimeout(timer);
    if (control.value === before || control.validity.badInput) return;
    before = control.value;
    taken(valueOf(control, kind));
  };
  control.addEventListener("change", take);
  if (kind === "choice" || kind === "date") return;
  control.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(take, AFTER_TYPING);
  });
}

function yesNo({ name, hint, value, pointer, isTitle, taken }) {
  const id = newId();
  const options = [
    [true, heading("yes_no", "true")],
    [false, heading("yes_no", "false")],
    [undefined, text("not_known")],
  ];
  return element(
    "fieldset",
    { class: "field yes-no", "data-pointer": pointer, "aria-describedby": hint && `${id}-hint` },
    element("legend", {}, titled(isTitle, name)),
    hint && element("p", { id: `${id}-hint`, class: "hint" }, hint),
    element("p", { id: `${id}-fault`, class: "fault", hidden: true }),
    element(
      "div",
      { class: "options" },
      options.map(([each, shown], at) =>
        option({ type: "radio", name: id, id: `${id}-${at}`, checked: each === (value ?? undefined) }, shown, () =>
          taken(each),
        ),
      ),
    ),
  );
}

/** Return a radio button or check box with its label. */
export function option(attributes, shown, taken = () => {}) {
  const id = attributes.id ?? newId();
  return element(
    "label",
    { class: "option", for: id },
    element("input", { ...attributes, id, change: taken }),
    element("span", {}, shown),
  );
}

/** Return a field that is bound to a place of the document. */
export function fieldOf(pointer, kind, name, more = {}) {
  return field({
    kind,
    name,
    pointer,
    value: valueAt(pointer) ?? undefined,
    taken: (value) => change((document) => putAt(document, pointer, value)),
    ...more,
  });
}

/** Return the choices of a group of labels, with a first one for what is not known. */
export function choicesOf(group, none = text("not_known")) {
  return [["", none], ...labelsOf(group)];
}

/** Return the field of a term of a policy. */
export function termField(policy, term, format, name, more = {}) {
  const pointer = `/policies/${policy}/${term}`;
  if (format === "money") return fieldOf(pointer, "amount", name, { hint: text("in_currency", { currency: draft.document.build.currency }), ...more });
  if (format === "percent") return fieldOf(pointer, "percent", name, { hint: text("in_percent"), ...more });
  if (format === "yes_no") return fieldOf(pointer, "yes_no", name, more);
  if (format === "number") return fieldOf(pointer, "number", name, more);
  if (format) return fieldOf(pointer, "choice", name, { choices: choicesOf(format), ...more });
  return fieldOf(pointer, "text", name, more);
}

/** Return a button. */
export function button(shown, pressed, attributes = {}) {
  return element("button", { type: "button", click: pressed, ...attributes }, shown);
}

/** Return a field for a file, which looks like a button, and hands over what was chosen. */
export function fileField(name, hint, taken, attributes = {}) {
  const id = newId();
  const control = element("input", {
    type: "file",
    id,
    "aria-describedby": hint && `${id}-hint`,
    change: () => {
      const [file] = control.files;
      control.value = "";
      if (file) taken(file);
    },
    ...attributes,
  });
  return element(
    "div",
    { class: "field file" },
    element("label", { for: id }, name),
    hint && element("p", { id: `${id}-hint`, class: "hint" }, hint),
    control,
  );
}
