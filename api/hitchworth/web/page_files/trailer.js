// The trailer itself: its name, where it is registered, its facts, its parts and hours.

import { change, draft } from "./draft.js";
import { announce, element, fold, ledgerRow, replaceIn } from "./elements.js";
import { factField } from "./facts.js";
import { button, field, fieldOf, fileField } from "./fields.js";
import { settle } from "./insurance.js";
import { readFile } from "./opening.js";
import { reviewReceipts } from "./receipts.js";
import { capital, currencies, day, label, labelsOf, locale, money, number, startText, text, today } from "./texts.js";

/** Return the part of the view, and how it shows a statement. */
export function trailerSection() {
  const entries = element("div", {});
  const { build } = draft.document;
  const update = () => replaceIn(entries, entriesOf(draft.document.build));
  return { node: [basicsOf(), factsOf(build), fileField(text("add_receipts"), text("add_receipts_help"), (file) => addReceipts(file), { accept: ".csv,.tsv,.txt,.xlsx,.ods,.ics" }), adding("components", text("add_part")), adding("labor", text("add_hours")), entries], update };
}

async function addReceipts(file, settings = {}) {
  const found = await readFile(file, { settings, asReceipts: true, again: (others) => addReceipts(file, others) });
  if (found?.receipts) reviewReceipts(file, found.receipts, settings);
}

function basicsOf() {
  const { currency } = draft.document.build;
  return [
    fieldOf("/build/name", "text", text("begin_name")),
    fold(
      text("money_and_tax"),
      fieldOf("/build/currency", "choice", text("begin_currency"), { choices: currencies() }),
      fieldOf("/build/base/kind", "text", startText("base"), { hint: text("begin_base_hint") }),
      fieldOf("/build/base/comparable_price", "amount", text("comparable_price"), { hint: text("comparable_price_help", { currency }) }),
      fieldOf("/build/indirect_costs/overhead_rate", "percent", text("overhead_rate"), { hint: text("in_percent") }),
      fieldOf("/build/indirect_costs/profit_rate", "percent", text("profit_rate"), { hint: text("in_percent") }),
      fieldOf("/build/indirect_costs/sales_tax_rate", "percent", text("sales_tax_rate"), { hint: text("in_percent") }),
    ),
  ];
}

function factsOf(build) {
  const place = element("div", {});
  const choices = labelsOf("fact").map(([code, name]) => [code, capital(name)]).sort(([, one], [, other]) => one.localeCompare(other, locale()));
  const show = async (name) => replaceIn(place, name === undefined ? [] : await factField(name));
  const stated = Object.keys(build.facts ?? {}).length;
  return fold(text("change_fact", { count: number(stated) }), field({ kind: "choice", name: text("which_fact"), choices: [["", text("choose")], ...choices], taken: show }), place);
}

const FORMS = {
  components: {
    begun: () => ({ quantity: "1", acquired_on: today() }),
    fields: (of, currency) => [
      of("description", "text", text("part_what")),
      of("category", "choice", text("category"), { choices: [["", text("choose")], ...labelsOf("category").map(([code, name]) => [code, capital(name)])] }),
      of("quantity", "number", text("part_quantity")),
      of("unit_cost", "amount", text("part_price"), { hint: text("in_currency", { currency }) }),
      of("tax", "amount", text("part_tax"), { hint: text("part_tax_help", { currency }), required: false }),
      of("acquired_on", "date", text("part_day")),
    ],
  },
  labor: {
    begun: () => ({ performed_on: today() }),
    fields: (of, currency) => [
      of("task", "text", text("hours_what")),
      of("hours", "number", text("hours_how_many")),
      of("hired", "yes_no", text("hours_hired"), { required: false }),
      of("rate", "amount", text("hours_rate"), { hint: text("hours_rate_help", { currency }) }),
      of("market_rate", "amount", text("hours_market_rate"), { hint: text("hours_market_rate_help", { currency }), required: false }),
      of("performed_on", "date", text("hours_day")),
    ],
  },
};
/** The forms of the entries of a build, by its lists: what one begins with, and its fields. */

/** Return the fold with the form that adds an entry to a list of the build. */
function adding(list, title) {
  const take = (entry) => {
    change(({ build }) => {
      build[list] ??= [];
      build[list].push({ id: freeId([...(build.components ?? []), ...(build.labor ?? [])]), ...entry });
    });
    folded.replaceWith(adding(list, title));
    announce(text("entry_added"));
  };
  const folded = fold(title, entryForm(list, FORMS[list].begun(), text("add"), take));
  return folded;
}

/** Return the form of an entry. take: is called with what was entered. */
function entryForm(list, entry, action, take) {
  const form = element("form", {});
  const submit = (event) => {
    event.preventDefault();
    settle(form);
    take(entry);
  };
  form.addEventListener("submit", submit);
  const set = (name, value) => {
    if (value === undefined) delete entry[name];
    else entry[name] = value;
  };
  const of = (name, kind, label, more = {}) => field({ kind, name: label, value: entry[name] ?? undefined, required: true, taken: (value) => set(name, value), ...more });
  form.append(...FORMS[list].fields(of, entry.currency ?? draft.document.build.currency), element("div", { class: "buttons" }, element("button", { type: "submit" }, action)));
  return form;
}

function freeId(entries) {
  const ids = new Set(entries.map((entry) => entry.id));
  let at = entries.length + 1;
  while (ids.has(`part-${at}`)) at += 1;
  return `part-${at}`;
}

function entriesOf(build) {
  const parts = build.components ?? [];
  const labor = build.labor ?? [];
  return [
    parts.length > 0 && fold(text("parts", { count: number(parts.length) }), element("dl", { class: "ledger" }, parts.map((part) => partRow(part, build)))),
    labor.length > 0 && fold(text("labor", { count: number(labor.length) }), element("dl", { class: "ledger" }, labor.map((entry) => ledgerRow(entry.task, text("hours_of", { hours: number(entry.hours) }), [element("span", {}, day(entry.performed_on)), editing("labor", entry, entry.task)])))),
  ];
}

function partRow(part, build) {
  const tax = Number(part.tax ?? 0) === 0 ? null : text("and_tax", { tax: money(part.tax, part.currency ?? build.currency) });
  const price = text("quantity_at", { quantity: number(part.quantity), price: money(part.unit_cost, part.currency ?? build.currency) });
  return ledgerRow(part.description, price, [element("span", {}, [capital(label("category", part.category)), day(part.acquired_on), tax].filter(Boolean).join(", ")), editing("components", part, part.description)]);
}

/** Return the buttons of an entry: it can be changed in its form, which opens below it, or removed. */
function editing(list, entry, what) {
  const place = element("div", {});
  const replaceEntry = (changed) => change(({ build }) => (build[list] = build[list].map((each) => (each.id === entry.id ? changed : each))));
  const edit = () => {
    replaceIn(place, entryForm(list, structuredClone(entry), text("change_this"), replaceEntry));
    place.querySelector("input").focus();
  };
  const remove = () => change(({ build }) => (build[list] = build[list].filter((each) => each.id !== entry.id)));
  return [
    button(text("change"), edit, { class: "quiet", "aria-label": text("change_what", { what }) }),
    button(text("remove"), remove, { class: "quiet", "aria-label": text("remove_what", { what }) }),
    place,
  ];
}
