// From replacement cost to payment, step by step: each step a line of the ledger with a bar below it.

import { drawing, element } from "./elements.js";
import { money, text } from "./texts.js";

const WIDTH = 1000n;

/** Return the steps of a settlement as a list with bars, all to one scale. */
export function waterfall(settlement, currency) {
  const steps = settlement.steps.map((step) => ({ ...step, after: cents(step.running), by: cents(step.amount) }));
  const top = steps.reduce((most, step) => max(most, step.after, step.after - step.by), 1n);
  return element(
    "ol",
    { class: "waterfall" },
    steps.map((step, at) => line(step.label, step.amount, bar(step, at, top), currency, at === 0 ? "whole" : null)),
    line(text("paid"), settlement.payable, box(0n, cents(settlement.payable), top, "paid"), currency, "paid"),
    line(text("gap"), settlement.gap, box(cents(settlement.payable), cents(settlement.replacement_cost), top, "gap"), currency, "gap"),
  );
}

function line(name, amount, picture, currency, kind) {
  return element(
    "li",
    { class: kind },
    element("span", { class: "name" }, name),
    element("span", { class: "amount" }, money(amount, currency)),
    picture,
  );
}

function bar(step, at, top) {
  if (at === 0) return box(0n, step.after, top, "whole");
  const before = step.after - step.by;
  return step.by < 0n ? box(step.after, before, top, "less") : box(before, step.after, top, "more");
}

/** Return a bar between two amounts. It says nothing that the line beside it does not. */
function box(from, to, top, kind) {
  const left = (max(from, 0n) * WIDTH) / top;
  const width = max((max(to, 0n) * WIDTH) / top - left, to === from ? 0n : 2n);
  return drawing(
    "svg",
    { viewBox: `0 0 ${WIDTH} 12`, preserveAspectRatio: "none", "aria-hidden": "true", focusable: "false" },
    drawing("line", { x1: 0, x2: String(WIDTH), y1: 11.5, y2: 11.5, class: "ground" }),
    drawing("rect", { x: String(left), y: 0, width: String(width), height: 11, class: kind }),
  );
}

/** Return an amount in its smallest places as a whole number: sums of these are exact. */
export function cents(amount) {
  const [whole, fraction = ""] = String(amount).split(".");
  return BigInt(whole + fraction.padEnd(4, "0").slice(0, 4));
}

const max = (...values) => values.reduce((most, each) => (each > most ? each : most));
