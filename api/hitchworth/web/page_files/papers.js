// The reports to download.

import { draft, request } from "./draft.js";
import { announce, element, replaceIn } from "./elements.js";
import { button, field } from "./fields.js";
import { tell, withdraw } from "./notices.js";
import { fileName, save } from "./saving.js";
import { ask } from "./service.js";
import { locale, reportTitles, text } from "./texts.js";

const FORMATS = [
  ["PDF", "application/pdf", ".pdf"],
  ["DOCX", "application/vnd.openxmlformats-officedocument.wordprocessingml.document", ".docx"],
  ["HTML", "text/html", ".html"],
  ["Markdown", "text/markdown", ".md"],
];

let forPolicy;

/** Return the part of the view, and how it shows a statement. */
export function papersSection() {
  const about = element("div", {});
  const update = () => replaceIn(about, choiceOfPolicy());
  return { node: [element("p", {}, text("papers_help")), about, element("ul", { class: "papers" }, reportTitles().map(paper))], update };
}

/** Return the field for the policy that the conversation sheet is about; nothing where there is no choice. */
function choiceOfPolicy() {
  const names = (draft.document.policies ?? []).map(({ name }) => name);
  if (names.length < 2) return [];
  const choices = [["", text("policy_with_most_at_stake")], ...names.map((name) => [name, name])];
  if (!names.includes(forPolicy)) forPolicy = undefined;
  return field({ kind: "choice", id: "for-policy", name: text("sheet_for_policy"), choices, value: forPolicy, taken: (value) => (forPolicy = value) });
}

function paper([name, title]) {
  return element(
    "li",
    {},
    element("h3", {}, title),
    element("p", { class: "hint" }, text(`paper_${name.replaceAll("-", "_")}`)),
    element("div", { class: "buttons" }, FORMATS.map((format) => button(format[0], (event) => download(name, title, format, event.target), { "aria-label": text("download_as", { title, format: format[0] }) }))),
  );
}

async function download(name, title, format, pressed) {
  const [shown, accept, ending] = format;
  const path = name === "conversation-sheet" ? "/v1/conversation-sheets" : `/v1/reports/${name}`;
  const query = name === "conversation-sheet" || name === "all" ? { for_policy: forPolicy } : {};
  pressed.setAttribute("aria-disabled", "true");
  announce(text("making", { title }));
  try {
    const { content } = await ask("POST", path, { query, json: request(locale()), accept });
    save(content, fileName(`${draft.document.build.name} ${title}`, ending));
    withdraw("paper");
    announce(text("downloaded", { title, format: shown }));
  } catch (problem) {
    tell("paper", problem, { again: () => download(name, title, format, pressed) });
  } finally {
    pressed.removeAttribute("aria-disabled");
  }
}
