// The texts of the page in one language, and how amounts, shares and days are written and read there.

import { arrived } from "./service.js";

const LOCALES = document.documentElement.dataset.locales.split(" ");
const CHOSEN = "hitchworth.locale";

let known = null;

/** Load the texts of a locale: the one named, the one chosen before, or the one that the browser prefers. */
export async function loadTexts(wanted = null) {
  const locale = wanted ?? chosenBefore() ?? preferred();
  const response = await arrived(fetch(`/page/texts/${locale}.json`));
  if (!response.ok) throw new Error(`texts: ${response.status}`);
  known = await response.json();
  document.documentElement.lang = locale;
  if (wanted !== null) {
    try {
      localStorage.setItem(CHOSEN, locale);
    } catch {
      // Without storage the choice lasts as long as the page.
    }
  }
}

function chosenBefore() {
  try {
    const found = localStorage.getItem(CHOSEN);
    return LOCALES.includes(found) ? found : null;
  } catch {
    return null;
  }
}

function preferred() {
  for (const language of navigator.languages) {
    const same = LOCALES.find((each) => each === language);
    const near = LOCALES.find((each) => each.split("-")[0] === language.split("-")[0]);
    if (same ?? near) return same ?? near;
  }
  return LOCALES[0];
}

export const locales = () => LOCALES;
export const locale = () => known.locale;
export const cautions = () => known.cautions;
export const reportTitles = () => Object.entries(known.reports);

/** Return a language's own name. */
export function languageName(tag) {
  const name = new Intl.DisplayNames([tag], { type: "language" }).of(tag);
  return capital(name);
}

/** Return a text of the page, its gaps filled in. */
export function text(code, values = {}) {
  return filledIn(known.page[code] ?? code, values);
}

/** Return the questions that begin a document: {name, pointer, answer}. */
export const startQuestions = () => known.start_questions;

/** Return the currencies as choices, that of the region first. */
export function currencies() {
  const names = new Intl.DisplayNames([locale()], { type: "currency" });
  return known.currencies.filter((code) => names.of(code) !== code).map((code) => [code, `${capital(names.of(code))} (${code})`]);
}

/** Return a question that begins a document. */
export const startText = (code) => known.start[code] ?? code;

function filledIn(template, values) {
  return template.replace(/\{(\w+)\}/g, (gap, name) => values[name] ?? gap);
}

/** Return the label of a code; without one the code itself, with spaces. */
export function label(group, code) {
  return known.labels[group]?.[code] ?? String(code).replaceAll("_", " ");
}

export const heading = (group, code) => capital(label(group, code));
export const labelsOf = (group) => Object.entries(known.labels[group]);
export const capital = (words) => words.charAt(0).toLocaleUpperCase(locale()) + words.slice(1);

/** Return the label of a term; covers_perils.hail has the peril in its label. */
export function termLabel(term) {
  const [name, key] = term.split(".");
  const template = label("term", name);
  return template.replace(/\{key:(\w+)\}/, (_, group) => label(group, key));
}

/** Return the format of a term's values: money, percent, number, yes_no or a group of labels; empty for text. */
export const termFormat = (term) => known.term_formats[term.split(".")[0]] ?? "";

/** Return a value of a term in words. */
export function termValue(term, value, currency) {
  if (value === null || value === undefined) return label("term_state", "not_known");
  if (value === "none" || value === "" || value.length === 0) return label("term_state", "none");
  if (Array.isArray(value)) return value.map((item) => termValue(term, item, currency)).join(", ");
  const format = termFormat(term);
  if (typeof value === "boolean" || format === "yes_no") return label("yes_no", String(value));
  if (format === "money") return isDecimal(value) ? money(value, currency) : label("term", value);
  if (format === "percent") return isDecimal(value) ? percent(value) : String(value);
  if (format === "number") return number(value);
  return format ? label(format, value) : String(value);
}

const isDecimal = (value) => /^-?\d+(\.\d+)?$/.test(String(value));

// Amounts are decimals in text from end to end: a formatter takes the text as it is, so no cent is lost on the way.
export function money(amount, currency) {
  return new Intl.NumberFormat(locale(), { style: "currency", currency }).format(amount);
}

/** Return an amount without the minor unit, for a range. */
export function roundMoney(amount, currency) {
  return new Intl.NumberFormat(locale(), { style: "currency", currency, maximumFractionDigits: 0 }).format(amount);
}

export const percent = (share) =>
  new Intl.NumberFormat(locale(), { style: "percent", maximumFractionDigits: 1 }).format(share);
export const number = (value) => new Intl.NumberFormat(locale(), { maximumFractionDigits: 6 }).format(value);

export function day(iso) {
  return new Intl.DateTimeFormat(locale(), { dateStyle: "long", timeZone: "UTC" }).format(new Date(`${iso}T00:00:00Z`));
}

/** Return today's date where the person is, as a document has it. */
export function today() {
  const now = new Date();
  const two = (part) => String(part).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/**
 * Return a number that a person wrote, as a document has it; what is no number as it is, for the server to refuse.
 *
 * Spaces, a currency's sign or code and the sign of percent around it do not matter.
 */
export function readNumber(written) {
  const bare = written.trim().replace(/[\s\u00a0\u202f'’]/g, "");
  const compact = bare.replace(/^([A-Z]{0,3}\p{Sc}|[A-Z]{3})(?=[\d+-])/u, "").replace(/(?<=\d)(\p{Sc}|[A-Z]{3}|%)$/u, "");
  const { group, decimal } = marks();
  const grouped = new RegExp(`^[+-]?\\d{1,3}(\\${group}\\d{3})+(\\${decimal}\\d+)?$`);
  const plain = new RegExp(`^[+-]?\\d+(\\${decimal}\\d+)?$`);
  if (grouped.test(compact)) return compact.replaceAll(group, "").replace(decimal, ".");
  if (plain.test(compact)) return compact.replace(decimal, ".");
  return /^[+-]?\d+\.\d+$/.test(compact) ? compact : written.trim();
}

/** Whether a person wrote a number. */
export const isNumber = (written) => isDecimal(readNumber(written).replace(/^\+/, ""));

function marks() {
  const parts = new Intl.NumberFormat(locale(), { useGrouping: true }).formatToParts(1234567.5);
  const mark = (type, otherwise) => parts.find((part) => part.type === type)?.value ?? otherwise;
  const group = mark("group", ",");
  return { group: /\s/.test(group) ? "'" : group, decimal: mark("decimal", ".") };
}

/** Return a decimal as a person writes it here. */
export const writtenNumber = (decimal) => String(decimal).replace(".", marks().decimal);

/** Return a decimal with its point moved: a share of 0.8 is 80 percent, and the other way. */
export function movePoint(decimal, places) {
  const match = /^(-?)(\d+)(?:\.(\d+))?$/.exec(String(decimal));
  if (match === null) return decimal;
  const [, sign, whole, fraction = ""] = match;
  const zeros = "0".repeat(Math.abs(places));
  const digits = places < 0 ? zeros + whole + fraction : whole + fraction + zeros;
  const at = places < 0 ? zeros.length + whole.length + places : whole.length + places;
  const moved = `${digits.slice(0, at)}.${digits.slice(at)}`;
  return sign + moved.replace(/^0+(?=\d)/, "").replace(/\.?0+$/, "");
}
