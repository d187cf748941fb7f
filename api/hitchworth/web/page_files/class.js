// The registered class against what the trailer is built for, and the facts that would settle it.

import { element, fold, ledgerRow, replaceIn } from "./elements.js";
import { factField } from "./facts.js";
import { heading, text } from "./texts.js";

/** Return the part of the view, and how it shows a statement. */
export function classSection() {
  const result = element("div", {});
  const missing = element("div", {});
  let asked = "";
  const update = async ({ assessment }) => {
    replaceIn(result, resultOf(assessment));
    const facts = decisive(assessment);
    const now = facts.map(({ fact }) => fact).join(" ");
    if (now === asked) return;  // a field that is being filled in stays
    asked = now;
    replaceIn(missing, await missingOf(facts));
  };
  return { node: [result, missing], update };
}

const decisive = ({ missing_facts: missing }) => missing.filter((each) => each.decisive);

function resultOf(assessment) {
  const { registered, verdict, statement, built, remedies } = assessment;
  const meets = built.filter((each) => each.holds === true && each.role === "class");
  return [
    element(
      "dl",
      { class: "ledger" },
      ledgerRow(text("registered_as"), registered.class ? heading("class", registered.class) : text("not_known")),
      ledgerRow(text("built_as"), meets.length > 0 ? meets.map((each) => each.title).join(", ") : text("not_known")),
    ),
    element("p", { class: `verdict ${verdict}` }, text(`verdict_${verdict}`)),
    element("p", {}, statement),
    remedies.length > 0 && fold(text("remedies"), element("ul", {}, remedies.map(remedyOf))),
    built.length > 0 && fold(text("conditions"), built.filter((each) => each.role === "class").map(definitionOf)),
  ];
}

function remedyOf(remedy) {
  return element("li", {}, element("p", {}, remedy.route), element("p", { class: "hint" }, remedy.decided_by), element("p", { class: "hint" }, remedy.caution));
}

function definitionOf(definition) {
  return element(
    "section",
    { class: "definition" },
    element("h3", {}, definition.title),
    element("p", { class: "hint" }, [definition.citation, definition.verified ? null : text("not_verified")].filter(Boolean).join(", ")),
    element("ul", {}, definition.elements.map((each) => element("li", { class: `holds-${each.holds}` }, element("strong", {}, text(`holds_${each.holds}`)), ` ${each.text}`, element("p", { class: "hint" }, each.because)))),
  );
}

async function missingOf(facts) {
  if (facts.length === 0) return [];
  const fields = await Promise.all(facts.map((each) => factField(each.fact, { name: each.question, hint: each.measure })));
  return [element("h3", {}, text("missing_facts")), element("p", {}, text("missing_facts_help")), fields];
}
