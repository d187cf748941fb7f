// What each policy would pay for each loss; one of them step by step, beside the terms that it follows from.

import { change, draft } from "./draft.js";
import { announce, element, fold, ledgerRow, replaceIn } from "./elements.js";
import { button, choicesOf, field, option, termField } from "./fields.js";
import { capital, heading, label, labelsOf, money, termFormat, termLabel, termValue, text } from "./texts.js";
import { cents, waterfall } from "./waterfall.js";

const FIRST_TERMS = ["kind", "basis", "amount", "limit", "deductible", "settles_as"];
const MORE_TERMS = [
  "counts_own_labor",
  "depreciates_labor",
  "values_by",
  "knows_built_use",
  "custom_equipment_limit",
  "contents_limit",
  "coinsurance_rate",
  "total_loss_tax_rate",
  "covers_damage",
  "holdback",
  "lender",
  "annual_premium",
];
const MAY_LACK = ["limit", "custom_equipment_limit", "contents_limit", "lender"];
const USUAL_PERILS = ["theft", "fire"];

let chosen = { policy: null, loss: null };
let isNew = false;

/** Return the policy and the loss that are shown step by step. */
export const chosenPolicy = () => chosen.policy;

/** Return the losses that people ask about first, of the whole trailer. */
export const usualLosses = () => USUAL_PERILS.map((peril) => ({ name: capital(label("peril", peril)), peril, extent: "total" }));

/** Return the settlement with the largest gap; undefined without any. */
export function worst({ settlements }) {
  return settlements.reduce((most, each) => (most === undefined || cents(each.gap) > cents(most.gap) ? each : most), undefined);
}

/** Return the part of the view, and how it shows a statement. */
export function insuranceSection() {
  const overview = element("div", {});
  const steps = element("div", { class: "steps" });
  const terms = element("div", { class: "terms" });
  const adding = element("div", { class: "adding" });
  const isThere = (statement) => statement.settlements.find((each) => each.policy === chosen.policy && each.loss === chosen.loss);
  let edited = null;
  const update = (statement) => {
    const settlement = isThere(statement) ?? worst(statement);
    chosen = settlement ? { policy: settlement.policy, loss: settlement.loss } : chosen;
    const choose = (policy, loss) => {
      chosen = { policy, loss };
      update(statement);
      announce(text("shown_below", { policy, loss }));
      if (steps.getBoundingClientRect().top > window.innerHeight * 0.7) steps.scrollIntoView({ block: "start" });
    };
    replaceIn(overview, overviewOf(statement, choose));
    replaceIn(steps, settlement ? stepsOf(settlement, statement) : element("p", {}, text("nothing_settled")));
    const at = policyAt(settlement);
    const form = JSON.stringify([at, draft.document.policies.map(({ name }) => name), draft.document.answers ?? []]);
    if (form === edited) return;  // a form that is being filled in stays
    edited = form;
    replaceIn(terms, at < 0 ? [] : termsOf(at));
    replaceIn(adding, addPolicy(), addLoss());
    if (isNew) lead(terms.querySelector("h3"));
    isNew = false;
  };
  return { node: [overview, element("div", { class: "beside" }, steps, terms), adding], update };
}

// A policy that was just added is filled in next.
function lead(title) {
  title?.scrollIntoView({ block: "start" });
  title?.focus({ preventScroll: true });
}

function policyAt(settlement) {
  const policies = (draft.document.policies ??= []);
  const at = policies.findIndex(({ name }) => name === settlement?.policy);
  return at < 0 && policies.length > 0 && settlement === undefined ? 0 : at;
}

function overviewOf({ settlements, estimate }, choose) {
  const losses = [...new Set(settlements.map(({ loss }) => loss))];
  return element(
    "div",
    { class: "losses" },
    losses.map((loss) => {
      const own = settlements.filter((each) => each.loss === loss);
      return element(
        "section",
        {},
        element("h3", {}, capital(loss)),
        element("p", { class: "hint" }, text("loss_of", { extent: label("extent", own[0].extent), amount: money(own[0].replacement_cost, estimate.currency) })),
        element("dl", { class: "ledger" }, own.map((each) => row(each, estimate.currency, choose))),
      );
    }),
  );
}

function row(settlement, currency, choose) {
  const { policy, loss, payable, payable_at_best: best } = settlement;
  const isChosen = chosen.policy === policy && chosen.loss === loss;
  const name = button(policy, () => choose(policy, loss), { class: "link", id: `settlement ${policy} ${loss}`.replaceAll(/\s/g, "-"), "aria-pressed": String(isChosen) });
  return ledgerRow(name, money(payable, currency), best === payable ? null : text("at_best", { amount: money(best, currency) }), { class: isChosen ? "row chosen" : "row" });
}

function stepsOf(settlement, { estimate }) {
  const { currency } = estimate;
  return [
    element("h3", { id: "steps-title" }, text("step_by_step", { policy: settlement.policy, loss: settlement.loss })),
    waterfall(settlement, currency),
    settlement.assumed.length > 0 && element("ul", { class: "remarks" }, settlement.assumed.map((note) => element("li", {}, note.text))),
    settlement.if_avoided && element("p", { class: "warning" }, settlement.if_avoided.text),
    settlement.notes.length > 0 && fold(text("remarks"), element("ul", {}, settlement.notes.map((note) => element("li", {}, note.text)))),
  ];
}

function termsOf(at) {
  const policy = draft.document.policies[at];
  return [
    element("h3", { tabindex: "-1" }, text("terms_of", { policy: policy.name })),
    element("p", { class: "hint" }, text("terms_help")),
    FIRST_TERMS.map((term) => termOf(at, term)),
    fold(text("more_terms"), MORE_TERMS.map((term) => termOf(at, term))),
    button(text("remove_policy", { policy: policy.name }), () => remove(at), { class: "quiet" }),
  ];
}

function termOf(at, term) {
  const name = capital(termLabel(term));
  const format = termFormat(term);
  const answered = answerTo(at, term);
  if (!MAY_LACK.includes(term)) return [termField(at, term, format, name), answered];
  return element("div", { class: "may-lack" }, termField(at, term, format, name), lacks(at, term, name), answered);
}

/** Return what the insurer answered about a term, which counts before what the document says; null without an answer. */
function answerTo(at, term) {
  const { build, policies, answers = [] } = draft.document;
  const answer = answers.findLast((each) => each.policy === policies[at].name && each.term === term && !each.loss);
  return answer ? element("p", { class: "hint answered" }, text("term_answered", { answer: termValue(term, answer.value, build.currency) })) : null;
}

/** Return a check box that says that the policy has no such term. */
function lacks(at, term, name) {
  const { without = [] } = draft.document.policies[at];
  const set = (event) =>
    change(({ policies }) => {
      const others = (policies[at].without ?? []).filter((each) => each !== term);
      policies[at].without = event.target.checked ? [...others, term] : others;
      if (!event.target.checked) return;
      delete policies[at][term];
      event.target.closest(".may-lack").querySelector("input[type=text]").value = "";
    });
  return option({ type: "checkbox", checked: without.includes(term), "data-pointer": `/policies/${at}/without` }, text("has_none", { term: termLabel(term) }), set);
}

function remove(at) {
  const { name } = draft.document.policies[at];
  change((document) => {
    document.policies.splice(at, 1);
    document.answers = (document.answers ?? []).filter((answer) => answer.policy !== name);
  });
}

function addPolicy() {
  let name;
  let kind;
  const submit = (event) => {
    event.preventDefault();
    settle(event.target);
    const policies = draft.document.policies ?? [];
    const free = unused(name ?? text("policy_name"), policies);
    chosen = { policy: free, loss: chosen.loss };
    isNew = true;
    change((document) => {
      document.policies = [...policies, { name: free, ...(kind ? { kind } : {}) }];
      document.losses ??= [];
      if (document.losses.length === 0) document.losses = usualLosses();
    });
  };
  return fold(
    text("add_policy"),
    element(
      "form",
      { submit },
      field({ kind: "text", name: text("name_of_policy"), hint: text("name_of_policy_help"), taken: (value) => (name = value) }),
      field({ kind: "choice", name: capital(label("term", "kind")), choices: choicesOf("policy_kind"), taken: (value) => (kind = value) }),
      element("button", { type: "submit" }, text("add")),
    ),
  );
}

function addLoss() {
  let peril = "theft";
  const submit = (event) => {
    event.preventDefault();
    settle(event.target);
    const losses = draft.document.losses ?? [];
    const name = unused(capital(label("peril", peril)), losses);
    chosen = { policy: chosen.policy, loss: name };
    change((document) => (document.losses = [...losses, { name, peril, extent: "total" }]));
  };
  return fold(
    text("add_loss"),
    element(
      "form",
      { submit },
      field({ kind: "choice", name: text("what_happens"), hint: text("add_loss_help"), value: peril, choices: labelsOf("peril").map(([code]) => [code, heading("peril", code)]), taken: (value) => (peril = value) }),
      element("button", { type: "submit" }, text("add")),
    ),
  );
}

/** Take what is typed into the fields of a form at once. What is ticked has been taken already. */
export function settle(form) {
  for (const control of form.querySelectorAll("input:not([type=radio], [type=checkbox]), select, textarea")) control.dispatchEvent(new Event("change"));
}

function unused(name, entries) {
  const names = new Set(entries.map((entry) => entry.name));
  let free = name;
  for (let at = 2; names.has(free); at += 1) free = `${name} ${at}`;
  return free;
}
