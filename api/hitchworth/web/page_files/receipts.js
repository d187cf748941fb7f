// A table of receipts or hours: what the file leaves open is asked, what it became is shown before it is taken over.

import { change, draft, open } from "./draft.js";
import { element, fold, ledgerRow, newId } from "./elements.js";
import { button, field, option } from "./fields.js";
import { doneBox, mayReplace, noticeBox, notice, withdraw } from "./notices.js";
import { readFile } from "./opening.js";
import { capital, currencies, day, labelsOf, money, number, text } from "./texts.js";
import { go } from "./views.js";

let review = null;

/** Show what a table is taken for. settings: those that were chosen so far. */
export function reviewReceipts(file, receipts, settings) {
  review = { file, receipts, settings, name: draft.document?.build.name ?? "" };
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
  if (question.setting === "refunds") {
    const purchase = choice.value.slice(choice.value.lastIndexOf("=") + 1);
    return /^\d+$/.test(purchase) ? text("purchase_in_row", { row: purchase, description: choice.reading }) : choice.reading;
  }
  if (!choice.reading) return value;
  const reading = /^\d{4}-\d\d-\d\d$/.test(choice.reading) ? day(choice.reading) : choice.reading;
  return text("choice_reading", { choice: value, reading });
}

async function readAgain(chosen) {
  const settings = structuredClone(review.settings);
  for (const [question, choice] of chosen) apply(settings, question, choice);
  await readWith(settings);
}

async function readWith(settings) {
  const found = await readFile(review.file, { settings, asReceipts: true, again: readWith });
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
    totalOf(found),
    found.notes.length > 0 && element("ul", { class: "remarks" }, found.notes.map((note) => element("li", {}, note.text))),
    takeOver(found),
    element("dl", { class: "ledger entries" }, lines.map((line) => entryRow(line, guessed.get(`${line.id} category`), found))),
    leftOut.length > 0 && fold(text("rows_left_out", { count: number(leftOut.length) }), element("ul", {}, leftOut.map((row) => element("li", {}, `${row.row}: ${row.shown}`)))),
  ];
}

function entryRow(line, guess, found) {
  const currency = currencyOf(line, found);
  const amount = line.unit_cost === undefined ? text("hours_of", { hours: number(line.hours) }) : money(product(line), currency);
  const tax = Number(line.tax ?? 0) === 0 ? null : text("and_tax", { tax: money(line.tax, currency) });
  const remark = [day(line.acquired_on ?? line.performed_on), line.supplier, tax].filter(Boolean).join(", ");
  return ledgerRow(line.description ?? line.task, amount, [element("span", {}, remark), line.unit_cost !== undefined && categoryField(line, guess)]);
}

/** Return what the entries come to in each currency, with tax and freight apart. */
function totalOf(found) {
  const sums = new Map();
  for (const line of found.components) {
    const currency = currencyOf(line, found);
    const sum = sums.get(currency) ?? { net: "0", tax: "0", freight: "0" };
    const refunded = String(line.unit_cost).startsWith("-") ? "-" : "";
    sums.set(currency, { net: plus(sum.net, product(line)), tax: plus(sum.tax, refunded + (line.tax ?? "0")), freight: plus(sum.freight, refunded + (line.freight ?? "0")) });
  }
  return [...sums].map(([currency, { net, tax, freight }]) => {
    const shown = { net: money(net, currency), tax: money(tax, currency), freight: money(freight, currency), total: money(plus(plus(net, tax), freight), currency) };
    return element("p", { class: "total" }, text("receipts_total", shown));
  });
}

const currencyOf = (line, found) => line.currency ?? found.settings.currency ?? currencies()[0][0];

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

// Amounts are decimals in text: whole numbers of their last place are multiplied and added, so no cent is lost.
const places = (value) => (String(value).split(".")[1] ?? "").length;
const whole = (value, to = places(value)) => BigInt(String(value).replace(".", "") + "0".repeat(to - places(value)));

function decimal(units, count) {
  const sign = units < 0n ? "-" : "";
  const digits = String(units < 0n ? -units : units).padStart(count + 1, "0");
  return sign + (count === 0 ? digits : `${digits.slice(0, -count)}.${digits.slice(-count)}`);
}

/** Return quantity times unit cost. */
const product = ({ quantity, unit_cost: cost }) => decimal(whole(quantity) * whole(cost), places(quantity) + places(cost));

function plus(one, other) {
  const count = Math.max(places(one), places(other));
  return decimal(whole(one, count) + whole(other, count), count);
}

function takeOver(found) {
  if (draft.document !== null) {
    const into = text("add_to", { name: draft.document.build.name });
    const isOwn = !draft.isDemo;  // receipts belong to no demo
    const kinds = [{ class: "main" }, { class: "quiet" }];
    const choices = [
      button(into, () => add(found), kinds[isOwn ? 0 : 1]),
      button(text("new_document"), () => makeNew(found, text("unnamed")), kinds[isOwn ? 1 : 0]),
    ];
    return [proofField(found), element("div", { class: "buttons" }, isOwn ? choices : choices.reverse())];
  }
  const named = field({ kind: "text", name: text("begin_name"), value: "", taken: (value) => (review.name = value ?? "") });
  const submit = (event) => {
    event.preventDefault();
    event.target.querySelector("input").dispatchEvent(new Event("change"));
    makeNew(found, review.name || text("unnamed"));
  };
  return element("form", { submit }, named, proofField(found), element("div", { class: "buttons" }, element("button", { type: "submit", class: "main" }, text("use_entries"))));
}

/** Return the field that says whether there are receipts for what was bought, which narrows the range of its cost. */
function proofField(found) {
  if (found.components.length === 0) return null;
  const taken = (has) => {
    for (const part of found.components) part.evidence_grade = has === true ? "receipt" : has === false ? "own_estimate" : null;
  };
  return field({ kind: "yes_no", name: text("has_receipts"), hint: text("has_receipts_help"), taken });
}

function add(found) {
  withdraw("file");
  const { build } = draft.document;
  const isEmpty = !build.components?.length && !build.labor?.length;
  const count = () => (build.components?.length ?? 0) + (build.labor?.length ?? 0);
  const before = count();
  change((document) => {
    if (isEmpty && found.settings.currency) document.build.currency = found.settings.currency;
    document.build.components = withNew(document.build.components, found.components);
    document.build.labor = withNew(document.build.labor, found.labor);
  });
  go("build");
  const added = count() - before;
  const known = found.components.length + found.labor.length - added;
  notice("file", doneBox(text("entries_added", { added: number(added), known: number(known) })), { focus: true });
}

function makeNew(found, name) {
  const currency = found.settings.currency ?? currencies()[0][0];
  if (!mayReplace()) return;
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
