// The first view: what the page is for, and the ways to begin.

import { draft, open } from "./draft.js";
import { element } from "./elements.js";
import { button, fileField } from "./fields.js";
import { mayReplace, tell } from "./notices.js";
import { demo, readFile } from "./opening.js";
import { arrived, keepsBuilds } from "./service.js";
import { text } from "./texts.js";
import { go } from "./views.js";

/** Return the first view. */
export function home() {
  const kept = element("div", {});
  keepsBuilds().then((keeps) => keeps && kept.replaceChildren(way(text("kept_builds"), text("kept_builds_help"), button(text("show_kept_builds"), () => go("kept")))));
  return [
    element("h1", {}, text("title")),
    element("p", { class: "lead" }, text("lead")),
    draft.document && resume(),
    element(
      "div",
      { class: "ways" },
      way(text("open_file"), null, fileField(text("file"), text("open_file_help"), openFile, { accept: ".csv,.tsv,.txt,.xlsx,.ods,.ics,.json,.yaml,.yml,.toml" })),
      way(text("ten_questions"), text("ten_questions_help"), button(text("begin_questions"), () => go("begin", 1))),
      way(text("demo"), text("demo_help"), button(text("open_demo"), openDemo)),
      kept,
    ),
  ];
}

function resume() {
  return element(
    "p",
    { class: "resume" },
    text("still_open", { name: draft.document.build.name }),
    " ",
    button(text("go_on"), () => go("build"), { class: "quiet" }),
  );
}

function way(title, help, control) {
  return element("section", { class: "way" }, element("h2", {}, title), help && element("p", { class: "hint" }, help), control);
}

/** Read a file and show what it holds. */
export async function openFile(file, settings = {}) {
  const found = await readFile(file, { settings, again: (others) => openFile(file, others) });
  if (found?.document) show(found.document);
  else if (found?.receipts) await review(file, found.receipts, settings);
}

async function review(file, receipts, settings) {
  try {
    (await arrived(import("./receipts.js"))).reviewReceipts(file, receipts, settings);
  } catch (problem) {
    tell("file", problem, { again: () => review(file, receipts, settings) });
  }
}

async function openDemo() {
  try {
    show(await demo(), { isDemo: true });
  } catch (problem) {
    tell("file", problem, { again: openDemo });
  }
}

function show(content, how) {
  if (!mayReplace()) return;
  open(content, how);
  go("build");
}

