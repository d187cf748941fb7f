// The questions by the money that hangs on each, and the answers as they are given.

import { change, draft } from "./draft.js";
import { OF_BUILD } from "./class.js";
import { announce, element, fold, ledgerRow, newId, replaceIn } from "./elements.js";
import { button, field, option } from "./fields.js";
import { factField } from "./facts.js";
import { settle } from "./insurance.js";
import { capital, day, label, labelsOf, money, number, termFormat, termLabel, termValue, text, today } from "./texts.js";

const FIRST = 5;

let showsAll = false;
let saidBy = "";
let noted = null;

/** Return the part of the view, and how it shows a statement. */
export function questionsSection() {
  const list = element("div", {});
  const given = element("div", {});
  const forms = new Map();
  let latest = null;
  const showAll = () => {
    showsAll = true;
    update(latest);
    document.getElementById(`question-${FIRST}`)?.focus();
  };
  const update = async (statement) => {
    latest = statement;
    for (const question of statement.questions) {
      const of = JSON.stringify([question.plausible, question.checklist]);
      const had = forms.get(question.id);
      if (had?.of === of) continue;  // a form that is being filled in stays, unless what it says has changed
      const given = had?.given ?? { said_on: today() };
      const form = await answering(question, statement, given);
      if (had?.form?.open) form.open = true;
      forms.set(question.id, { of, given, form });
    }
    if (latest === statement) {
      replaceIn(list, listOf(statement, forms, showAll));
      replaceIn(given, givenOf());
    }
  };
  return { node: [element("p", {}, text("questions_help")), list, given], update };
}

function listOf(statement, forms, showAll) {
  const all = statement.questions;
  if (all.length === 0) return element("p", {}, text("nothing_open"));
  const shown = showsAll ? all : all.slice(0, FIRST);
  return [
    noted && element("p", { class: "noted" }, noted),
    element("ol", { class: "questions" }, shown.map((question, at) => itemOf(question, at, statement, forms.get(question.id).form))),
    shown.length < all.length && button(text("show_all_questions", { count: number(all.length) }), showAll, { id: "all-questions" }),
  ];
}

function itemOf(question, at, { estimate }, form) {
  const { low, high } = question.money_at_stake;
  const amount = (value) => money(value, estimate.currency);
  const stake = Number(high) === 0 ? null : low === high || Number(low) === 0 ? text("at_stake", { amount: amount(high) }) : text("at_stake_between", { low: amount(low), high: amount(high) });
  return element(
    "li",
    {},
    element("h3", { id: `question-${at}`, tabindex: "-1" }, question.text),
    element("p", { class: "stake" }, stake && element("strong", {}, stake), stake && ", ", label("addressee", question.to)),
    fold(
      text("why"),
      element("p", {}, question.why),
      question.clear_answer && element("p", {}, element("strong", {}, text("clear_answer")), " ", question.clear_answer),
      question.bring.length > 0 && [element("p", {}, element("strong", {}, text("bring"))), element("ul", {}, question.bring.map((each) => element("li", {}, each)))],
      question.to_see_money && element("p", {}, question.to_see_money),
    ),
    form,
  );
}

/** Return the form that takes the answer to a question, folded; null for one that settles no figure. */
async function answering(question, { estimate }, answer) {
  const { policy, term, fact, loss } = question.settles;
  if (question.checklist.length > 0) {
    return fold(text("fill_in"), await Promise.all(question.checklist.map((each) => factField(each.fact, { name: each.question, hint: each.measure }))));
  }
  if (OF_BUILD.includes(fact)) return null;  // the part on the class has its field
  if (fact) return fold(text("fill_in"), await factField(fact));
  if (!term) return null;
  Object.assign(answer, { policy, term, loss });
  const missing = element("p", { class: "fault", hidden: true }, text("choose_first"));
  const submit = (event) => {
    event.preventDefault();
    settle(event.target);
    const { value } = answer;
    missing.hidden = value !== undefined;
    if (value === undefined) {
      announce(text("choose_first"));
      event.target.querySelector("input, select").focus();
      return;
    }
    record(Object.fromEntries(Object.entries(answer).filter(([, each]) => each !== null && each !== undefined && each !== "")));
    document.getElementById("questions-title").focus();
  };
  return fold(
    text("note_answer"),
    element(
      "form",
      { submit },
      missing,
      valueField(question, answer, estimate.currency),
      field({ kind: "text", name: text("said_by"), hint: text("said_by_help"), value: answer.said_by ?? saidBy, taken: (value) => (answer.said_by = saidBy = value ?? "") }),
      field({ kind: "date", name: text("said_on"), value: answer.said_on, max: today(), taken: (value) => (answer.said_on = value) }),
      field({ kind: "text", name: text("reference"), hint: text("reference_help"), value: answer.reference, taken: (value) => (answer.reference = value) }),
      element("button", { type: "submit", class: "main" }, text("note_this")),
    ),
  );
}

/** Return the field for the answer itself: the plausible answers with what each would pay, and another one. */
function valueField(question, answer, currency) {
  const { term } = question.settles;
  const name = newId();
  const format = termFormat(term);
  const plausible = question.plausible.length > 0 ? question.plausible : format === "yes_no" ? [{ value: true }, { value: false }] : [];
  const set = (value) => () => (answer.value = value);
  const isGiven = (value) => JSON.stringify(value) === JSON.stringify(answer.value);
  const isOther = answer.value !== undefined && !plausible.some((each) => isGiven(each.value));
  const isOpen = ["money", "percent", "number", ""].includes(format);
  const other = isOpen && field({ kind: { money: "amount", percent: "percent", number: "number" }[format] ?? "text", name: plausible.length > 0 ? text("another_answer") : text("the_answer"), value: isOther ? answer.value : undefined, taken: (value) => (answer.value = value) });
  if (plausible.length === 0 && other) return other;
  return element(
    "div",
    {},
    element(
      "fieldset",
      { class: "field" },
      element("legend", {}, text("the_answer")),
      plausible.map((each) => option({ type: "radio", name, checked: isGiven(each.value) }, pays(each, term, currency), set(each.value))),
      plausible.length === 0 && labelsOf(format).map(([value, shown]) => option({ type: "radio", name, checked: isGiven(value) }, capital(shown), set(value))),
    ),
    other,
  );
}

function pays(plausible, term, currency) {
  const shown = capital(termValue(term, plausible.value, currency));
  const { low, high } = plausible.payable ?? {};
  if (low === undefined) return shown;
  return low === high ? text("then_pays", { answer: shown, amount: money(low, currency) }) : text("then_pays_between", { answer: shown, low: money(low, currency), high: money(high, currency) });
}

function record(answer) {
  noted = text("noted", { what: termLabel(answer.term), answer: termValue(answer.term, answer.value, draft.document.build.currency) });
  change((document) => (document.answers = [...(document.answers ?? []), answer]));
}

function givenOf() {
  const answers = draft.document.answers ?? [];
  if (answers.length === 0) return [];
  const { currency } = draft.document.build;
  return [
    element("h3", {}, text("answers_given")),
    element(
      "dl",
      { class: "ledger" },
      answers.map((answer, at) => {
        const about = answer.fact ? label("fact", answer.fact) : termLabel(answer.term ?? "");
        const who = [answer.said_by, answer.said_on && day(answer.said_on), answer.reference].filter(Boolean).join(", ");
        const back = button(text("take_back"), () => change((document) => document.answers.splice(at, 1)), { class: "quiet", id: `answer-${at}`, "aria-label": text("take_back_what", { what: about }) });
        return ledgerRow([answer.policy, answer.loss, about].filter(Boolean).join(": "), termValue(answer.term ?? "", answer.value, currency), [element("span", {}, who), back]);
      }),
    ),
  ];
}
