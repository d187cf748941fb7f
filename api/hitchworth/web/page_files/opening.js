// A file that somebody brings: a document, a workbook, or a table of receipts or hours.

import { announce } from "./elements.js";
import { button } from "./fields.js";
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
    tell("file", problem, { title: text("file_unreadable", { file: file.name }), also: leavingOut(problem, settings, again) });
    return null;
  }
}

/** Return the button that reads a table again without the rows that have faults; null where the faults are of no row. */
function leavingOut(problem, settings, again) {
  const rows = [...new Set((problem.errors ?? []).map(({ cell }) => Number(/\d+$/.exec(cell ?? "")?.[0])))];
  if (rows.length === 0 || !rows.every((row) => row > 1)) return null;
  const without = { ...settings, leave_out: [...(settings.leave_out ?? []), ...rows] };
  return button(text("leave_out_rows", { rows: rows.join(", ") }), () => again(without));
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
