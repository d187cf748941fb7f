// The registered class against what the trailer is built for, and the facts that would settle it.

import { draft } from "./draft.js";
import { element, fold, ledgerRow, replaceIn } from "./elements.js";
import { factField } from "./facts.js";
import { fieldOf } from "./fields.js";
import { classChoices, placeChoices } from "./places.js";
import { heading, text } from "./texts.js";

/** What is asked like a fact, but is a field of the build. */
export const OF_BUILD = ["jurisdiction", "registered_class"];

/** Return the part of the view, and how it shows a statement. */
export function classSection() {
  const title = element("div", {});
  const result = element("div", {});
  const missing = element("div", {});
  let place;
  let asked = "";
  const update = async ({ assessment }) => {
    replaceIn(result, resultOf(assessment));
    if (place !== draft.document.build.jurisdiction || title.childElementCount === 0) {
      const chosen = draft.document.build.jurisdiction;
      replaceIn(title, await titleOf(chosen));
      place = chosen;
    }
    const facts = decisive(assessment);
    const now = facts.map(({ fact }) => fact).join(" ");
    if (now === asked) return;  // a field that is being filled in stays
    replaceIn(missing, await missingOf(facts));
    asked = now;
  };
  return { node: [title, result, missing], update };
}

const decisive = ({ missing_facts: missing }) => missing.filter(({ fact, decisive: settles }) => settles && !OF_BUILD.includes(fact));

/** Return the fields for where the trailer is registered, and as what. The classes are those of the place. */
async function titleOf(place) {
  const unknown = ["", text("not_known")];
  return [
    fieldOf("/build/jurisdiction", "choice", text("begin_jurisdiction"), { id: "jurisdiction", choices: [unknown, ...(await placeChoices())] }),
    fieldOf("/build/registered_class", "choice", text("begin_registered_class"), { id: "registered-class", choices: [unknown, ...(await classChoices(place))] }),
  ];
}

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
