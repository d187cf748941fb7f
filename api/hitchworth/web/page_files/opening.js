// A file that somebody brings: a document, a workbook, or a table of receipts or hours.

import { announce, element } from "./elements.js";
import { button, field } from "./fields.js";
import { notice, noticeBox, tell, withdraw } from "./notices.js";
import { ask, askJson, Problem } from "./service.js";
import { locale, text } from "./texts.js";

const DOCUMENTS = ["json", "yaml", "yml", "toml"];
const BOOKS = ["xlsx", "ods"];
const LARGEST = 10_000_000;

/**
 * Read a file. Return {document}, or {receipts} as the API answers, or null where the reader was told why not.
 *
 * settings: how a table of receipts is to be read. asReceipts: it is no document, whatever its name. again: reads it again
 * with other settings, such as without the rows that have faults.
 */
export async function readFile(file, { settings = {}, asReceipts = false, again } = {}) {
  withdraw("file");
  announce(text("reading", { file: file.name }));
  if (file.size > LARGEST) {
    notice("file", noticeBox(text("file_too_large", { file: file.name })), { focus: true });
    return null;
  }
  try {
    return await read(file, settings, asReceipts);
  } catch (problem) {
    tell("file", problem, { title: text("file_unreadable", { file: file.name }), also: remedies(problem, settings, again) });
    return null;
  }
}

const MOST_ROWS = 20;

/** Return what is offered below the faults of a table: a rate to enter, and to leave out rows, each alone or all. */
function remedies(problem, settings, again) {
  return [rateForm(problem.errors ?? [], settings, again), leavingOut(problem.errors ?? [], settings, again)];
}

/** Return the buttons that read a table again without rows that have faults; null where the faults are of no row. */
function leavingOut(errors, settings, again) {
  const cells = errors.flatMap(({ cell, also_at: others }) => [cell, ...(others ?? [])]);
  const rows = [...new Set(cells.map((cell) => Number(/\d+$/.exec(cell ?? "")?.[0])))].sort((one, other) => one - other);
  if (rows.length === 0 || !rows.every((row) => row > 1)) return null;
  const leaveOut = (out) =>
    button(text("leave_out_rows", { rows: out.join(", ") }), () => again({ ...settings, leave_out: [...(settings.leave_out ?? []), ...out] }));
  const single = rows.length > 1 ? rows.slice(0, MOST_ROWS).map((row) => leaveOut([row])) : [];
  return element("div", { class: "buttons" }, [...single, leaveOut(rows)]);
}

/** Return the form that reads a table again with an exchange rate; null where none is needed, or more than one. */
function rateForm(errors, settings, again) {
  const pairs = errors.map(({ detail }) => /^Exchange rate from ([A-Z]{3}) to ([A-Z]{3}) is needed$/.exec(detail)).filter(Boolean);
  if (new Set(pairs.map(([words]) => words)).size !== 1) return null;
  const [, from, to] = pairs[0];
  let rate;
  const submit = (event) => {
    event.preventDefault();
    event.target.querySelector("input").dispatchEvent(new Event("change"));
    if (rate !== undefined) again({ ...settings, constants: { ...settings.constants, exchange_rate: String(rate) } });
  };
  const control = field({ kind: "number", name: text("exchange_rate_of", { from, to }), required: true, taken: (value) => (rate = value) });
  return element("form", { submit }, control, element("button", { type: "submit" }, text("continue")));
}

async function read(file, settings, asReceipts) {
  const suffix = file.name.split(".").pop().toLowerCase();
  if (!asReceipts && DOCUMENTS.includes(suffix)) return { document: await documentIn(file) };
  if (!asReceipts && BOOKS.includes(suffix)) {
    try {
      return { document: await documentIn(file) };
    } catch (problem) {
      if (!(problem instanceof Problem) || !isNoDocument(problem)) throw problem;
    }
  }
  const query = { locale: locale(), settings: JSON.stringify(settings) };
  return { receipts: await askJson("POST", "/v1/receipt-imports", { body: file, query, headers: binary }) };
}

const binary = { "content-type": "application/octet-stream" };

async function documentIn(file) {
  return askJson("POST", "/v1/documents", { body: file, headers: binary });
}

/** Whether a workbook holds no document at all, rather than one with faults: then it may hold receipts. */
const isNoDocument = (problem) => problem.errors.some((fault) => fault.pointer === "" && fault.cell === "");

/** Return the demo. */
export async function demo() {
  const { content } = await ask("GET", "/page/demo.json");
  return JSON.parse(await content.text());
}
