// Starts the page: its texts, its frame, its views.

import { draft, recall, watch } from "./draft.js";
import { element, newId, replaceIn } from "./elements.js";
import { home, openFile } from "./home.js";
import { tell, tellFull, withdraw } from "./notices.js";
import { arrived } from "./service.js";
import { compute, forget } from "./statement.js";
import { cautions, languageName, loadTexts, locale, locales, text } from "./texts.js";
import { defineView, go, showAgain } from "./views.js";

defineView("home", home);
defineView("begin", async (part) => (await arrived(import("./begin.js"))).question(part));
defineView("receipts", async () => (await arrived(import("./receipts.js"))).receipts());
defineView("build", async () => (await arrived(import("./build.js"))).buildView());
defineView("kept", async () => (await arrived(import("./kept.js"))).keptBuilds());
watch({ opened: forget, changed, full: tellFull });

// What was refused before this change is no longer of interest.
function changed() {
  withdraw("file");
  withdraw("kept");
  compute();
}

function frame() {
  const id = newId();
  const languages = element("select", { id, change: (event) => speak(event.target.value) }, locales().map((tag) => element("option", { value: tag, selected: tag === locale(), lang: tag }, languageName(tag))));
  const toStart = (event) => {
    event.preventDefault();
    go("home");
  };
  const skip = (event) => {
    event.preventDefault();
    document.getElementById("content").focus();
  };
  replaceIn(
    document.getElementById("head"),
    element("a", { class: "skip", href: "#content", click: skip }, text("skip_to_content")),
    element("a", { class: "mark", href: "/", click: toStart }, "Hitchworth"),
    element("div", { class: "language" }, element("label", { for: id }, text("language")), languages),
  );
  replaceIn(
    document.getElementById("foot"),
    element("h2", {}, text("cautions")),
    element("ul", {}, cautions().map((caution) => element("li", {}, caution))),
    element("p", {}, element("a", { href: "/docs" }, text("for_programs"))),
  );
}

async function speak(chosen) {
  try {
    await loadTexts(chosen);
  } catch (problem) {
    frame();
    tell("view", problem, { again: () => speak(chosen) });
    return;
  }
  withdraw("view");
  frame();
  forget();
  await showAgain();
  document.querySelector("#head select").focus();
}

// A file may be dropped anywhere: into the open document where it holds receipts.
for (const kind of ["dragover", "drop"]) {
  window.addEventListener(kind, (event) => {
    event.preventDefault();
    document.body.classList.toggle("dropping", kind === "dragover");
    const [file] = kind === "drop" ? event.dataTransfer.files : [];
    if (file) openFile(file);
  });
}
window.addEventListener("dragleave", () => document.body.classList.remove("dropping"));

window.addEventListener("beforeunload", (event) => {
  if (draft.isChanged) event.preventDefault();
});

await loadTexts();
frame();
recall();
showAgain();
