// What the trailer costs to replace and what it is worth, on a date that can be changed.

import { changeDate, draft } from "./draft.js";
import { element, fold, ledgerRow, replaceIn } from "./elements.js";
import { field } from "./fields.js";
import { day, heading, money, number, percent, text } from "./texts.js";

/** Return the part of the view, and how it shows a statement. */
export function valueSection() {
  const date = field({ kind: "date", name: text("valued_on"), hint: text("valued_on_help"), value: draft.asOf ?? undefined, pointer: "/as_of", taken: (value) => changeDate(value ?? null) });
  const figures = element("div", {});
  return { node: [date, figures], update: (statement) => replaceIn(figures, figuresOf(statement)) };
}

/** Return that the replacement cost has no range where some prices new are not known; otherwise the range, as said. */
export function rangeOfCost(band, said) {
  return band.not_priced.length > 0 ? text("no_range", { count: number(band.not_priced.length) }) : said;
}

/** Return between which ends the value lies, by how it is found; null where all ways lead to the same. */
export function rangeOfValue({ actual_cash_value: value }, { low, high }, shown) {
  if (low === high) return null;
  return value === high ? text("depending_down", { low: shown(low) }) : text("depending", { low: shown(low), high: shown(high) });
}

function figuresOf({ as_of, estimate }) {
  const { currency, totals, band, value_range: range, notes } = estimate;
  const amount = (value) => money(value, currency);
  return [
    element("p", {}, text("figures_on", { day: day(as_of) })),
    estimate.lines.length === 0 && element("p", {}, text("add_entries_first")),
    element(
      "dl",
      { class: "ledger" },
      ledgerRow(text("direct_cost"), amount(totals.direct_cost), text(draft.asOf === null ? "direct_cost_help" : "direct_cost_on_help")),
      [[text("overhead"), totals.overhead], [text("profit"), totals.profit], [text("sales_tax"), totals.sales_tax]].filter(([, value]) => Number(value) !== 0).map(([name, value]) => ledgerRow(name, amount(value))),
      ledgerRow(text("to_replace"), amount(totals.replacement_cost), rangeOfCost(band, text("between_exactly", { low: amount(band.low), high: amount(band.high), confidence: percent(band.confidence) })), { class: "row sum" }),
      ledgerRow(text("depreciation"), amount(`-${totals.depreciation}`)),
      ledgerRow(text("worth"), amount(totals.actual_cash_value), rangeOfValue(totals, range, amount), { class: "row sum" }),
    ),
    notes.length > 0 && element("ul", { class: "remarks" }, notes.map((note) => element("li", {}, note.text))),
    estimate.lines.length > 0 && fold(text("by_category"), table(text("by_category"), [text("category"), text("to_replace"), text("worth")], estimate.categories.map((each) => [heading("category", each.category), amount(each.replacement_cost), amount(each.actual_cash_value)]))),
    estimate.lines.length > 0 && fold(text("every_line", { count: number(estimate.lines.length) }), table(text("every_line", { count: number(estimate.lines.length) }), [text("entry"), text("to_replace"), text("percent_good"), text("worth")], estimate.lines.map((line) => [line.description, amount(line.replacement_cost), percent(line.percent_good), amount(line.actual_cash_value)]))),
  ];
}

/** Return a table whose first column names the row. A wide one scrolls by itself. */
export function table(caption, headers, rows) {
  return element(
    "div",
    { class: "wide", tabindex: "0", role: "region", "aria-label": caption },
    element(
      "table",
      {},
      element("thead", {}, element("tr", {}, headers.map((each) => element("th", { scope: "col" }, each)))),
      element("tbody", {}, rows.map(([first, ...others]) => element("tr", {}, element("th", { scope: "row" }, first), others.map((each) => element("td", {}, each))))),
    ),
  );
}
