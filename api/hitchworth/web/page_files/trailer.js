// The trailer itself: its name, where it is registered, its facts, its parts and hours.

import { change, draft } from "./draft.js";
import { element, fold, ledgerRow, replaceIn } from "./elements.js";
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
  return { node: [basicsOf(), factsOf(build), fileField(text("add_receipts"), text("add_receipts_help"), addReceipts, { accept: ".csv,.tsv,.txt,.xlsx,.ods,.ics" }), addPart(), entries], update };
}

async function addReceipts(file) {
  const found = await readFile(file, { asReceipts: true });
  if (found?.receipts) reviewReceipts(file, found.receipts, null);
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

function addPart() {
  const part = { quantity: "1", acquired_on: today() };
  const form = element("form", {});
  const { currency } = draft.document.build;
  const submit = (event) => {
    event.preventDefault();
    settle(form);
    change(({ build }) => {
      build.components ??= [];
      build.components.push({ id: freeId(build.components), ...part });
    });
    form.closest("details").open = false;
    form.closest("details").querySelector("summary").focus();
  };
  form.addEventListener("submit", submit);
  const of = (name, kind, title, more = {}) => field({ kind, name: title, value: part[name], taken: (value) => (part[name] = value), ...more });
  form.append(
    of("description", "text", text("part_what"), { required: true }),
    of("category", "choice", text("category"), { required: true, choices: [["", text("choose")], ...labelsOf("category").map(([code, name]) => [code, capital(name)])] }),
    of("quantity", "number", text("part_quantity"), { required: true }),
    of("unit_cost", "amount", text("part_price"), { required: true, hint: text("in_currency", { currency }) }),
    of("acquired_on", "date", text("part_day"), { required: true }),
    element("button", { type: "submit" }, text("add")),
  );
  return fold(text("add_part"), form);
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
    labor.length > 0 && fold(text("labor", { count: number(labor.length) }), element("dl", { class: "ledger" }, labor.map((entry) => ledgerRow(entry.task, text("hours_of", { hours: number(entry.hours) }), day(entry.performed_on))))),
  ];
}

function partRow(part, build) {
  const price = text("quantity_at", { quantity: number(part.quantity), price: money(part.unit_cost, part.currency ?? build.currency) });
  const away = button(text("remove"), () => remove(part.id), { class: "quiet", "aria-label": text("remove_what", { what: part.description }) });
  return ledgerRow(part.description, price, [element("span", {}, [capital(label("category", part.category)), day(part.acquired_on)].join(", ")), away]);
}

function remove(id) {
  change(({ build }) => (build.components = build.components.filter((part) => part.id !== id)));
}
