// The view of the open document: the short answers first, then each part.

import { classSection } from "./class.js";
import { draft } from "./draft.js";
import { announce, element, ledgerRow, replaceIn } from "./elements.js";
import { insuranceSection, worst } from "./insurance.js";
import { keepingSection } from "./keeping.js";
import { markFields, tell, withdraw } from "./notices.js";
import { papersSection } from "./papers.js";
import { questionsSection } from "./questions.js";
import { answer, compute, listen, tryLater } from "./statement.js";
import { heading, money, number, roundMoney, text } from "./texts.js";
import { trailerSection } from "./trailer.js";
import { rangeOfCost, rangeOfValue, valueSection } from "./value.js";

const SECTIONS = [
  ["value", valueSection],
  ["class", classSection],
  ["insurance", insuranceSection],
  ["questions", questionsSection],
  ["trailer", trailerSection],
  ["papers", papersSection],
  ["keeping", keepingSection],
];

let shown = null;

/** Return the view; null where nothing is open. */
export async function buildView() {
  if (draft.document === null) return null;
  const short = element("dl", { class: "ledger short" });
  const parts = await Promise.all(SECTIONS.map(async ([name, make]) => ({ name, ...(await make()) })));
  const title = element("h1", {}, draft.document.build.name);
  const about = element("p", { class: "hint" });
  shown = { title, about, short, parts };
  if (answer.statement === null) compute();
  else update();
  return [
    element("div", { class: "top" }, title, about, short),
    element("nav", { "aria-label": text("contents"), class: "contents" }, element("ol", {}, parts.map(({ name }) => element("li", {}, element("a", { href: `#${name}`, click: lead }, text(`part_${name}`)))))),
    parts.map(({ name, node }) => element("section", { id: name, "aria-labelledby": `${name}-title` }, element("h2", { id: `${name}-title`, tabindex: "-1" }, text(`part_${name}`)), node)),
  ];
}

// The address stays that of the view: going back leads to the view before, not up the page.
function lead(event) {
  event.preventDefault();
  const title = document.getElementById(`${event.target.hash.slice(1)}-title`);
  title.scrollIntoView({ block: "start" });
  title.focus({ preventScroll: true });
}

/** Show what the API answered, and what stands in the way of an answer. */
function update() {
  if (shown === null || draft.document === null) return;
  const place = document.getElementById("content");
  place.classList.toggle("old", answer.problem !== null || answer.isAsking);
  place.setAttribute("aria-busy", String(answer.isAsking));
  if (answer.isAsking) return;
  markFields(answer.problem?.errors ?? []);
  if (answer.problem === null) withdraw("statement");
  else tell("statement", answer.problem, { again: compute, focus: answer.statement === null });
  if (answer.statement === null) return;
  const { statement } = answer;
  shown.title.textContent = draft.document.build.name;
  replaceIn(shown.short, shortAnswers(statement));
  showParts(statement);
  markFields(answer.problem?.errors ?? []);
  announce(answer.problem === null ? said(statement) : text("not_computed"));
}

// A part may ask the server for more, such as the classes of a place; a lost connection is told and tried again like any other.
async function showParts(statement) {
  try {
    await Promise.all(shown.parts.map(({ update: show }) => show?.(statement)));
  } catch (problem) {
    if (draft.document === null) return;
    tell("statement", problem, { again: compute, focus: false });
    tryLater(problem);
  }
}

listen(update);

function shortAnswers(statement) {
  const isEmpty = statement.estimate.lines.length === 0;
  const unknown = (name, more = {}) => ledgerRow(text(name), text("not_known"), text("add_entries_first"), more);
  const { currency, totals, band, value_range: range } = statement.estimate;
  const { registered, verdict } = statement.assessment;
  const gap = worst(statement);
  const first = statement.questions[0];
  const atStake = first && first.money_at_stake.high !== "0";
  return [
    isEmpty ? unknown("to_replace") : ledgerRow(text("to_replace"), money(totals.replacement_cost, currency), rangeOfCost(band, text("between", { low: roundMoney(band.low, currency), high: roundMoney(band.high, currency) }))),
    isEmpty ? unknown("worth") : ledgerRow(text("worth"), money(totals.actual_cash_value, currency), rangeOfValue(totals, range, (value) => roundMoney(value, currency))),
    ledgerRow(text("registered_as"), registered.class ? heading("class", registered.class) : text("not_known"), text(`verdict_${verdict}`)),
    gap && isEmpty
      ? unknown("largest_gap")
      : gap
      ? ledgerRow(text("largest_gap"), money(gap.gap, currency), paidOf(gap, currency), { class: "row gap" })
      : ledgerRow(text("largest_gap"), text("not_known"), text("no_policy_yet")),
    ledgerRow(text("open_questions"), number(statement.questions.length), atStake ? text("first_question", { amount: money(first.money_at_stake.high, currency) }) : null),
  ];
}

function paidOf({ policy, loss, payable, payable_at_best: best }, currency) {
  const amounts = { policy, loss, paid: money(payable, currency), best: money(best, currency) };
  return text(best === payable ? "largest_gap_remark" : "largest_gap_open", amounts);
}

function said(statement) {
  const { currency, totals } = statement.estimate;
  const gap = worst(statement);
  return gap
    ? text("said_with_gap", { value: money(totals.replacement_cost, currency), gap: money(gap.gap, currency), count: number(statement.questions.length) })
    : text("said", { value: money(totals.replacement_cost, currency), count: number(statement.questions.length) });
}
