// Where the document is kept: as the person's own file, or on the server; there with photos.

import { draft } from "./draft.js";
import { announce, element, replaceIn } from "./elements.js";
import { button, fileField } from "./fields.js";
import { addEvidence, keep, saveFile, thumbnail, watchKept } from "./kept.js";
import { keepsBuilds } from "./service.js";
import { number, text } from "./texts.js";

const PLATE = "identification_plate";

/** Return the part of the view, and how it shows a statement. */
export async function keepingSection() {
  const keeps = await keepsBuilds();
  const place = element("div", {});
  const draw = () => replaceIn(place, contents(keeps, draw));
  draw();
  watchKept(draw);
  const update = () => document.getElementById("saved-state")?.replaceChildren(stateOf(keeps));
  return { node: place, update };
}

function contents(keeps, draw) {
  const saveIt = () => {
    saveFile();
    draw();
  };
  return [
    element("p", {}, text(keeps ? "keeping_help" : "keeping_file_help")),
    element("p", { class: "hint", id: "saved-state" }, stateOf(keeps)),
    element(
      "div",
      { class: "buttons" },
      keeps && button(text(draft.kept === null ? "keep_here" : "keep_revision"), keep, { class: "main", id: "keep" }),
      button(text("save_file"), saveIt, { class: keeps ? "" : "main", id: "save-file" }),
    ),
    element("h3", { id: "photos", tabindex: "-1" }, text("photos")),
    keeps ? photos(draw) : element("p", {}, text("photos_need_server")),
  ];
}

function stateOf(keeps) {
  if (draft.isChanged) return text(draft.kept === null ? "not_saved" : "changed_since", { revision: number(draft.kept?.revision ?? 0) });
  return draft.kept === null || !keeps ? text("no_changes") : text("is_revision", { revision: number(draft.kept.revision) });
}

function photos(draw) {
  const shown = element("ul", { class: "photos" });
  show(shown);
  const add = async (file) => {
    if ((await addEvidence(file, PLATE, "photo")) === null) return;
    draw();
    document.getElementById("photos").focus();
    announce(text("photo_added", { file: file.name }));
  };
  return [
    element("p", { class: "hint" }, text(draft.kept === null ? "photos_keep_first" : "photos_help")),
    fileField(text("take_photo"), null, add, { accept: "image/*", capture: "environment" }),
    fileField(text("choose_photo"), text("choose_photo_help"), add, { accept: "image/jpeg,image/png,image/heic,image/webp,application/pdf" }),
    shown,
  ];
}

async function show(place) {
  const kept = draft.document.evidence ?? [];
  const items = await Promise.all(
    kept.map(async (evidence) => {
      const name = evidence.caption ?? evidence.file_name ?? evidence.id;
      const address = evidence.media_type.startsWith("image/") ? await thumbnail(evidence) : null;
      return element("li", {}, address && element("img", { src: address, alt: "" }), name);
    }),
  );
  replaceIn(place, items);
}
