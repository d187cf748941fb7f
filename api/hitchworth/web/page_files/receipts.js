// A table of receipts or hours: what the file leaves open is asked, what it became is shown before it is taken over.

import { change, draft, open } from "./draft.js";
import { element, fold, ledgerRow, newId } from "./elements.js";
import { button, field, option } from "./fields.js";
import { noticeBox, notice, withdraw } from "./notices.js";
import { readFile } from "./opening.js";
import { capital, currencies, day, labelsOf, money, number, text } from "./texts.js";
import { go } from "./views.js";

let review = null;

/** Show what a table is taken for. settings: those that were chosen so far. */
export function reviewReceipts(file, receipts, settings) {
  review = { file, receipts, settings: settings ?? {}, name: draft.document?.build.name ?? "" };
  go("receipts");
}

/** Return the view of the table that was read. */
export function receipts() {
  if (review === null) return null;
  const found = review.receipts;
  return [
    element("p", { class: "step" }, review.file.name),
    element("h1", {}, found.questions.length > 0 ? text("receipts_questions") : text("receipts_read")),
    found.questions.length > 0 ? questions(found) : entries(found),
  ];
}

function questions(found) {
  const chosen = new Map();
  const submit = (event) => {
    event.preventDefault();
    const open = found.questions.filter((question) => !chosen.has(question));
    if (open.length > 0) {
      notice("file", noticeBox(text("choose_first"), element("p", {}, open.map((each) => each.text).join(" "))), { focus: true });
      return;
    }
    readAgain(chosen);
  };
  return element(
    "form",
    { submit },
    element("p", {}, text("receipts_questions_help")),
    found.questions.map((question) => choiceOf(question, chosen)),
    element("div", { class: "buttons" }, element("button", { type: "submit", class: "main" }, text("continue"))),
  );
}

function choiceOf(question, chosen) {
  const name = newId();
  const offered = question.choices.map((choice) => [choice, spoken(question, choice)]);
  const row = question.parameters.row;
  if (row !== undefined) offered.push([{ leaveOut: Number(row) }, text("leave_out_row", { row })]);
  return element(
    "fieldset",
    { class: "field" },
    element("legend", {}, question.text),
    question.cells.length > 0 && element("p", { class: "hint" }, text("cells", { cells: question.cells.join(", ") })),
    offered.map(([choice, shown]) => option({ type: "radio", name }, shown, () => chosen.set(question, choice))),
  );
}

/** Return a choice in words. */
function spoken(question, choice) {
  const known = text(`choice_${choice.value.replaceAll("-", "_")}`);
  const value = known.startsWith("choice_") ? choice.value.replace(/=[^=]*$/, "") : known;
  if (!choice.reading) return value;
  const reading = /^\d{4}-\d\d-\d\d$/.test(choice.reading) ? day(choice.reading) : choice.reading;
  return text("choice_reading", { choice: value, reading });
}

async function readAgain(chosen) {
  const settings = structuredClone(review.settings);
  for (const [question, choice] of chosen) apply(settings, question, choice);
  const found = await readFile(review.file, { settings, asReceipts: true });
  if (found?.receipts) reviewReceipts(review.file, found.receipts, settings);
}

/** Put a choice among the settings: as the value of one, or as an entry of one that is an object. */
function apply(settings, question, choice) {
  if (choice.leaveOut !== undefined) {
    settings.leave_out = [...(settings.leave_out ?? []), choice.leaveOut];
    return;
  }
  if (!["columns", "refunds"].includes(question.setting)) {
    settings[question.setting] = choice.value;
    return;
  }
  const entries = (settings[question.setting] ??= {});
  if (question.code.startsWith("amounts_")) for (const each of question.choices) entries[keyOf(each.value)] = "";
  entries[keyOf(choice.value)] = choice.value.slice(choice.value.lastIndexOf("=") + 1);
}

const keyOf = (value) => value.slice(0, value.lastIndexOf("="));

function entries(found) {
  const lines = [...found.components, ...found.labor];
  const guessed = new Map(found.guesses.map((guess) => [`${guess.id} ${guess.field}`, guess]));
  const leftOut = found.rows.filter((row) => row.outcome === "left_out");
  return [
    element("p", {}, text("receipts_read_help", { count: number(lines.length) })),
    found.notes.length > 0 && element("ul", { class: "remarks" }, found.notes.map((note) => element("li", {}, note.text))),
    takeOver(found),
    element("dl", { class: "ledger entries" }, lines.map((line) => entryRow(line, guessed.get(`${line.id} category`), found))),
    leftOut.length > 0 && fold(text("rows_left_out", { count: number(leftOut.length) }), element("ul", {}, leftOut.map((row) => element("li", {}, `${row.row}: ${row.shown}`)))),
  ];
}

function entryRow(line, guess, found) {
  const currency = line.currency ?? found.settings.currency ?? currencies()[0][0];
  const amount = line.unit_cost === undefined ? text("hours_of", { hours: number(line.hours) }) : money(product(line), currency);
  const remark = [day(line.acquired_on ?? line.performed_on), line.supplier].filter(Boolean).join(", ");
  return ledgerRow(line.description ?? line.task, amount, [element("span", {}, remark), line.unit_cost !== undefined && categoryField(line, guess)]);
}

function categoryField(line, guess) {
  const unsure = guess !== undefined && guess.confidence !== "high";
  return field({
    kind: "choice",
    name: text(unsure ? "category_guessed" : "category_of", { entry: line.description }),
    value: line.category,
    choices: labelsOf("category").map(([code, name]) => [code, capital(name)]),
    taken: (value) => (line.category = value),
  });
}

/** Return quantity times unit cost, to the places of the cost. */
function product(line) {
  const places = (value) => (String(value).split(".")[1] ?? "").length;
  const whole = (value) => BigInt(String(value).replace(".", ""));
  const all = places(line.quantity) + places(line.unit_cost);
  const digits = String(whole(line.quantity) * whole(line.unit_cost)).padStart(all + 1, "0");
  return all === 0 ? digits : `${digits.slice(0, -all)}.${digits.slice(-all)}`;
}

function takeOver(found) {
  if (draft.document !== null) {
    const into = text("add_to", { name: draft.document.build.name });
    return element("div", { class: "buttons" }, button(into, () => add(found), { class: "main" }), button(text("new_document"), () => makeNew(found, text("unnamed")), { class: "quiet" }));
  }
  const named = field({ kind: "text", name: text("begin_name"), value: "", taken: (value) => (review.name = value ?? "") });
  const submit = (event) => {
    event.preventDefault();
    event.target.querySelector("input").dispatchEvent(new Event("change"));
    makeNew(found, review.name || text("unnamed"));
  };
  return element("form", { submit }, named, element("div", { class: "buttons" }, element("button", { type: "submit", class: "main" }, text("use_entries"))));
}

function add(found) {
  withdraw("file");
  const { build } = draft.document;
  const isEmpty = !build.components?.length && !build.labor?.length;
  change((document) => {
    if (isEmpty && found.settings.currency) document.build.currency = found.settings.currency;
    document.build.components = withNew(document.build.components, found.components);
    document.build.labor = withNew(document.build.labor, found.labor);
  });
  go("build");
}

function makeNew(found, name) {
  const currency = found.settings.currency ?? currencies()[0][0];
  const build = { name, currency, components: withNew([], found.components), labor: withNew([], found.labor) };
  open({ build, policies: [], losses: [] }, { isChanged: true });
  go("build");
}

/** Return the entries with those of a file that they do not have yet: the same row has the same id whenever it is read. */
function withNew(present, added) {
  const ids = new Set((present ?? []).map((entry) => entry.id));
  return [...(present ?? []), ...added.filter((entry) => !ids.has(entry.id)).map(stated)];
}

const stated = (entry) => Object.fromEntries(Object.entries(entry).filter(([, value]) => value !== null && value !== ""));
