// The faults of a problem in the language of the page. The API names them in English.

import { locale, text } from "./texts.js";

const NO_VALUES = ["nothing", "none", "an empty cell"];

let known = null;

/** Return the faults with their texts in the language of the page; what it has no text for stays in English. */
export async function inWords(errors) {
  try {
    await load();
  } catch {
    return errors.map((fault) => ({ ...fault, isForeign: !locale().startsWith("en") }));
  }
  return errors.map((fault) => {
    const detail = localized(fault.detail, known.details);
    const expected = localized(fault.expected, known.expected);
    return { ...fault, detail: detail ?? fault.detail, expected: expected ?? fault.expected, isForeign: detail === null && !locale().startsWith("en") };
  });
}

async function load() {
  if (known?.locale === locale()) return;
  const response = await fetch(`/page/faults/${locale()}.json`);
  if (!response.ok) throw new Error(`faults: ${response.status}`);
  const { details, expected } = await response.json();
  known = { locale: locale(), details: details.map(pattern), expected: expected.map(pattern) };
}

/** Return a text with gaps as a pattern: a gap holds anything. */
function pattern([template, translated]) {
  const literals = template.split(/\{(\w+)\}/);
  const source = literals.map((part, at) => (at % 2 ? `(?<${part}>.*)` : part.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"))).join("");
  return { matches: new RegExp(`^${source}$`, "s"), translated };
}

function localized(words, patterns) {
  if (!words) return words;
  for (const { matches, translated } of patterns) {
    const found = matches.exec(words);
    if (found === null) continue;
    const gaps = { ...found.groups };
    if (gaps.expected !== undefined) gaps.expected = localized(gaps.expected, patterns) ?? gaps.expected;
    return translated.replace(/\{(\w+)\}/g, (gap, name) => gaps[name] ?? gap);
  }
  return null;
}

/** Return what is wrong in a cell in a line, with what stands there. */
export const cellFaultText = (fault) =>
  [faultText(fault), fault.found && !NO_VALUES.includes(fault.found) && text("found", { found: fault.found })].filter(Boolean).join("; ");

/** Return what is wrong in a line. */
export const faultText = (fault) =>
  [fault.detail.replace(/\.$/, ""), fault.expected && text("expected", { expected: fault.expected })].filter(Boolean).join("; ");
