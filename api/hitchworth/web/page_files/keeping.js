// Where the document is kept: as the person's own file, or on the server; there with photos.

import { change, draft } from "./draft.js";
import { announce, element, ledgerRow, replaceIn } from "./elements.js";
import { button, field, fieldOf, fileField } from "./fields.js";
import { addEvidence, keep, plateReading, saveFile, thumbnail, watchKept } from "./kept.js";
import { keepsBuilds, readsPlates } from "./service.js";
import { capital, heading, labelsOf, number, text } from "./texts.js";

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
  const of = { subject: PLATE, kind: "photo" };
  const add = async (file) => {
    if ((await addEvidence(file, of.subject, of.kind)) === null) return;
    draw();
    document.getElementById("photos").focus();
    announce(text("photo_added", { file: file.name }));
  };
  const kinds = labelsOf("evidence_kind").map(([code, name]) => [code, capital(name)]);
  return [
    element("p", { class: "hint" }, text(draft.kept === null ? "photos_keep_first" : "photos_help")),
    field({ kind: "choice", name: text("photo_of"), value: of.subject, choices: subjects(), taken: (value) => (of.subject = value) }),
    field({ kind: "choice", name: text("photo_is"), value: of.kind, choices: kinds, taken: (value) => (of.kind = value) }),
    fileField(text("take_photo"), null, add, { accept: "image/*", capture: "environment" }),
    fileField(text("choose_photo"), text("choose_photo_help"), add, { accept: "image/jpeg,image/png,image/heic,image/webp,application/pdf" }),
    shown,
    fieldOf("/build/vin", "text", text("vin"), { hint: text("vin_help"), id: "vin" }),
  ];
}

/** Return what a photo may show, as choices: the trailer and its papers, then each part, and the plate of each part. */
function subjects() {
  const { components = [], labor = [] } = draft.document.build;
  return [
    [PLATE, text("photo_of_plate")],
    ["trailer", text("photo_of_trailer")],
    ["ownership", text("photo_of_ownership")],
    [text("photo_of_part"), components.map((part) => [part.id, part.description])],
    [text("photo_of_number"), components.map((part) => [`number:${part.id}`, part.description])],
    [text("photo_of_work"), labor.map((entry) => [entry.id, entry.task])],
  ].filter(([, shown]) => shown.length > 0);
}

async function show(place) {
  const kept = draft.document.evidence ?? [];
  const reads = kept.length > 0 && (await readsPlates());
  const items = await Promise.all(
    kept.map(async (evidence) => {
      const name = evidence.caption ?? evidence.file_name ?? evidence.id;
      const isPicture = evidence.media_type.startsWith("image/");
      const address = isPicture ? await thumbnail(evidence) : null;
      return element("li", {}, address && element("img", { src: address, alt: "" }), name, isPicture && reads && readButton(evidence, name));
    }),
  );
  replaceIn(place, items);
}

const readings = new Map();

/** Return the button that has a plate read by the server, and the numbers that it may bear; each is entered by hand. */
function readButton({ id }, name) {
  const shown = () => (readings.has(id) ? readingOf(readings.get(id)) : []);
  const read = async () => {
    const reading = await plateReading(id);
    if (reading === null) return;
    readings.set(id, reading);
    replaceIn(document.getElementById(`reading-${id}`), shown());  // the list may have been drawn anew meanwhile
  };
  return [button(text("read_plate"), read, { class: "quiet", "aria-label": text("read_plate_of", { what: name }) }), element("div", { id: `reading-${id}` }, shown())];
}

function readingOf({ proposals, caution }) {
  if (proposals.length === 0) return [element("p", {}, text("no_number_read"))];
  const enter = ({ kind, component, number }) =>
    change(({ build }) => {
      if (component === null) build.vin = number;
      else build.components.filter(({ id }) => id === component).forEach((part) => (part[kind] = number));  // its place may have changed since
    });
  const row = (proposal) => {
    const remark = proposal.on_record && text("on_record", { number: proposal.on_record });
    const isThere = ["exact", "forgiven"].includes(proposal.agreement);
    return ledgerRow(heading("number_kind", proposal.kind), proposal.number, [remark, !isThere && button(text("enter_number"), () => enter(proposal), { "aria-label": text("enter_number_what", { number: proposal.number }) })]);
  };
  return [element("dl", { class: "ledger" }, proposals.map(row)), element("p", { class: "hint" }, caution)];
}
