// Builds that the server keeps: their list, and the open one saved as its next revision.

import { draft, open, saved } from "./draft.js";
import { announce, element } from "./elements.js";
import { button } from "./fields.js";
import { mayReplace, notice, noticeBox, tell, withdraw } from "./notices.js";
import { fileName, save } from "./saving.js";
import { ask, askJson } from "./service.js";
import { tryNow } from "./statement.js";
import { heading, locale, number, text } from "./texts.js";
import { go, showAgain } from "./views.js";

const BUILDS = "/v1/builds";

let newBuild = null;
let whenKept = () => {};

/** Name what is done when the open document has been kept. */
export function watchKept(done) {
  whenKept = done;
}

/** Return the view of all kept builds; null where the list cannot be had. */
export async function keptBuilds() {
  try {
    const page = await askJson("GET", BUILDS, { query: { sort: "-updated_at" } });
    return [element("h1", {}, text("kept_builds")), list(page)];
  } catch (problem) {
    tell("kept", problem, { again: () => showAgain({ focus: true }) });
    return [element("h1", {}, text("kept_builds")), element("p", {}, text("kept_not_shown"))];
  }
}

function list(page) {
  if (page.items.length === 0) return [element("p", {}, text("nothing_kept")), button(text("to_start"), () => go("home"))];
  const items = element("ul", { class: "builds" }, page.items.map(entry));
  const more = button(text("show_more"), async () => {
    const next = await askJson("GET", page.next);
    more.remove();
    items.after(list(next));
  });
  return element("div", {}, items, page.next && more);
}

function entry(build) {
  const when = new Intl.DateTimeFormat(locale(), { dateStyle: "medium", timeStyle: "short" }).format(new Date(build.updated_at));
  return element(
    "li",
    {},
    button(build.name, () => openKept(build.id), { class: "link" }),
    element("p", { class: "hint" }, [build.registered_class && heading("class", build.registered_class), text("revision_of", { revision: number(build.revision), when })].filter(Boolean).join(", ")),
  );
}

/** Open a kept build. */
export async function openKept(id) {
  try {
    if (!mayReplace()) return;
    await take(id);
    go("build");
  } catch (problem) {
    tell("kept", problem, { again: () => openKept(id) });
  }
}

async function take(id) {
  const { content, headers } = await ask("GET", `${BUILDS}/${id}`);
  const build = JSON.parse(await content.text());
  open(build, { asOf: draft.kept?.id === id ? draft.asOf : null, kept: { id, tag: headers.get("etag"), revision: build.revision } });
}

/** Keep the open document: as a new build, or as the next revision of its own. Return whether it is kept now. */
export async function keep() {
  const sent = JSON.stringify(draft.document);
  try {
    const { content, headers } = draft.kept === null ? await create(sent) : await replace();
    const build = JSON.parse(await content.text());
    saved({ id: build.id, tag: headers.get("etag"), revision: build.revision }, sent);
    newBuild = null;
    whenKept();
    ["kept", "conflict"].forEach(withdraw);
    tryNow();
    announce(text("kept_as", { revision: number(build.revision) }));
    return true;
  } catch (problem) {
    if (problem.status === 412) await explain();
    else tell("kept", problem, { again: keep });
    return false;
  }
}

// Sent again after a lost answer, it is still the one build: the same key stands for the same request.
function create(sent) {
  if (newBuild?.sent !== sent) newBuild = { sent, key: newKey() };
  return ask("POST", BUILDS, { json: draft.document, headers: { "idempotency-key": newBuild.key } });
}

const newKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

function replace() {
  return ask("PUT", `${BUILDS}/${draft.kept.id}`, { json: draft.document, headers: { "if-match": draft.kept.tag } });
}

/** Say what another tab or person has kept meanwhile, and let the person choose. */
async function explain() {
  try {
    const { id } = draft.kept;
    const { content, headers } = await ask("GET", `${BUILDS}/${id}`);
    const theirs = JSON.parse(await content.text());
    const kept = { id, tag: headers.get("etag"), revision: theirs.revision };
    const differences = await askJson("POST", "/v1/document-comparisons", { json: { before: documentOf(theirs), after: documentOf(draft.document), locale: locale() } });
    if (differences.changes.length === 0) {
      saved(kept);  // the lost answer was to this very document
      whenKept();
      announce(text("kept_as", { revision: number(kept.revision) }));
      return;
    }
    notice("conflict", conflict(kept, differences), { focus: true });
  } catch (problem) {
    tell("kept", problem, { again: keep });
  }
}

function documentOf(build) {
  const { id, revision, digest, created_at, updated_at, trashed_at, quote, ...document } = build;
  return draft.asOf === null ? document : { ...document, as_of: draft.asOf };
}

function conflict(kept, differences) {
  const done = (action) => async () => {
    withdraw("conflict");
    await action();
    showAgain();
  };
  return noticeBox(
    text("conflict"),
    element("p", {}, text("conflict_help", { revision: number(kept.revision) })),
    element("p", {}, text("conflict_differences")),
    element("ul", {}, differences.changes.map((each) => element("li", {}, each.text))),
    element(
      "div",
      { class: "buttons" },
      button(text("conflict_mine"), done(async () => {
        draft.kept = kept;
        await keep();
      })),
      button(text("conflict_theirs"), done(() => take(kept.id))),
      button(text("conflict_new"), done(async () => {
        draft.kept = null;
        await keep();
      })),
      button(text("save_file"), saveFile),
    ),
  );
}

/** Save the document as the person's own file. */
export function saveFile() {
  const content = draft.asOf === null ? draft.document : { ...draft.document, as_of: draft.asOf };
  save(new Blob([JSON.stringify(content, null, 2), "\n"], { type: "application/json" }), fileName(draft.document.build.name, ".json"));
  if (draft.kept === null) saved();
}

/** Add a photo to the kept build, and read the build again, which has it now. Return what was added, or null. */
export async function addEvidence(file, subject, kind) {
  if ((draft.isChanged || draft.kept === null) && !(await keep())) return null;
  const query = { subject, kind, file_name: file.name };
  try {
    const { content } = await ask("POST", `${BUILDS}/${draft.kept.id}/evidence`, { body: file, query, headers: { "content-type": file.type || "application/octet-stream" } });
    const added = JSON.parse(await content.text());
    const kept = await askJson("GET", `${BUILDS}/${added.build}`);
    draft.document.evidence = kept.evidence;
    saved({ id: added.build, tag: `"${kept.digest}"`, revision: kept.revision });
    return added;
  } catch (problem) {
    tell("kept", problem);
    return null;
  }
}

/** Return what the server reads in a photo of a plate, or null where the person was told why not. */
export async function plateReading(evidence) {
  try {
    return await askJson("GET", `${BUILDS}/${draft.kept.id}/evidence/${evidence}/reading`, { query: { locale: locale() } });
  } catch (problem) {
    tell("kept", problem);
    return null;
  }
}

/** Return the address of a small picture of a file of evidence, or null. */
export async function thumbnail(evidence) {
  try {
    const { content } = await ask("GET", `${BUILDS}/${draft.kept.id}/evidence/${evidence.id}/thumbnail`, { accept: "image/*" });
    return URL.createObjectURL(content);
  } catch {
    return null;
  }
}
