// The reports to download.

import { draft, request } from "./draft.js";
import { announce, element } from "./elements.js";
import { button } from "./fields.js";
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

/** Return the part of the view. */
export function papersSection() {
  return {
    node: [
      element("p", {}, text("papers_help")),
      element("ul", { class: "papers" }, reportTitles().map(paper)),
    ],
  };
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
  pressed.setAttribute("aria-disabled", "true");
  announce(text("making", { title }));
  try {
    const { content } = await ask("POST", path, { json: request(locale()), accept });
    save(content, fileName(`${draft.document.build.name} ${title}`, ending));
    withdraw("paper");
    announce(text("downloaded", { title, format: shown }));
  } catch (problem) {
    tell("paper", problem, { again: () => download(name, title, format, pressed) });
  } finally {
    pressed.removeAttribute("aria-disabled");
  }
}
