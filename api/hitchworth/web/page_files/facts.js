// A fact of the trailer as a field: yes or no, a number with its unit, or one of several words.

import { change, valueAt } from "./draft.js";
import { element } from "./elements.js";
import { field } from "./fields.js";
import { reference } from "./service.js";
import { capital, label, text } from "./texts.js";

const UNITS = { m: ["m", "ft", "in"], m2: ["m2", "ft2"], kg: ["kg", "lb"], L: ["L", "gal"], "km/h": ["km/h", "mph"] };

/** Return the field of a fact. */
export async function factField(name, { name: question = capital(label("fact", name)), hint = null } = {}) {
  const known = (await reference("/v1/facts")).find((each) => each.name === name);
  const pointer = `/build/facts/${name}`;
  const stated = valueAt(pointer);
  const isRecord = stated !== null && typeof stated === "object";
  const value = (isRecord ? stated.value : stated) ?? undefined;
  const put = (next) =>
    change(({ build }) => {
      build.facts ??= {};
      if (next === undefined) delete build.facts[name];
      else build.facts[name] = next;
    });
  const common = { name: question, hint, pointer, value };
  switch (known?.type) {
    case "boolean":
      return field({ ...common, kind: "yes_no", taken: put });
    case "enum":
      return field({ ...common, kind: "choice", choices: [["", text("not_known")], ...known.values.map((each) => [each, capital(label(name, each))])], taken: put });
    case "integer":
    case "number":
      return known.unit ? measured(common, known, isRecord ? stated.unit : null, put) : field({ ...common, kind: "number", taken: put });
    default:
      return field({ ...common, kind: "text", taken: put });
  }
}

function measured(common, known, stated, put) {
  let unit = stated ?? known.unit;
  let value = common.value;
  const take = () => put(value === undefined ? undefined : unit === known.unit ? value : { value, unit });
  const units = UNITS[known.unit] ?? [known.unit];
  return element(
    "div",
    { class: "measured" },
    field({ ...common, kind: "number", taken: (next) => { value = next; take(); } }),
    units.length > 1 &&
      field({ kind: "choice", name: text("unit_of", { fact: common.name }), value: unit, choices: units.map((each) => [each, each]), taken: (next) => { unit = next; if (value !== undefined) take(); } }),
  );
}
