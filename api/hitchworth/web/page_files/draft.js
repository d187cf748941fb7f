// The document that is open: what the person entered, which kept build it is, and whether it has changed since.

const PLACE = "hitchworth.draft";
const OF_KEPT = ["id", "revision", "digest", "created_at", "updated_at", "trashed_at", "quote"];

/** document: as every computation takes it. asOf: the date that was chosen, or null. kept: {id, tag, revision} or null. */
export const draft = { document: null, asOf: null, kept: null, isChanged: false, isDemo: false };

let whenOpened = () => {};
let whenChanged = () => {};
let whenFull = () => {};

/** Name what is done when another document is open, after a change, and when the browser has no room to remember it. */
export function watch({ opened, changed, full }) {
  whenOpened = opened;
  whenChanged = changed;
  whenFull = full;
}

/** Open a document. isChanged: whether it is saved nowhere yet. isDemo: whether it is that of nobody. */
export function open(content, { asOf = null, kept = null, isChanged = false, isDemo = false } = {}) {
  const document = structuredClone(content);
  for (const name of OF_KEPT) delete document[name];
  Object.assign(draft, { document, asOf: asOf ?? document.as_of ?? null, kept, isChanged, isDemo });
  delete document.as_of;
  remember();
  whenOpened();
}

/** Change the document, and have everything computed again. */
export function change(edit) {
  edit(draft.document);
  draft.isChanged = true;
  remember();
  whenChanged();
}

/** Value it on another date. Null: today. */
export function changeDate(asOf) {
  draft.asOf = asOf;
  remember();
  whenChanged();
}

/** Note where it is saved now. content: what was saved; what was changed meanwhile is not. */
export function saved(kept = draft.kept, content = JSON.stringify(draft.document)) {
  draft.kept = kept;
  draft.isChanged = content !== JSON.stringify(draft.document);
  remember();
}

// What is typed survives a reload, but not the end of the session: a browser may be shared.
function remember() {
  try {
    sessionStorage.setItem(PLACE, JSON.stringify(draft));
  } catch {
    whenFull();
  }
}

/** Bring back what was open before a reload. Return whether anything was. */
export function recall() {
  try {
    const found = JSON.parse(sessionStorage.getItem(PLACE));
    if (!found?.document?.build) return false;
    Object.assign(draft, found);
    return true;
  } catch {
    return false;
  }
}

/** Return the document as a request, in a language. */
export function request(locale) {
  return { ...draft.document, locale, ...(draft.asOf === null ? {} : { as_of: draft.asOf }) };
}

/** Return the value at a JSON Pointer; undefined where there is none. */
export function valueAt(pointer, root = draft.document) {
  return parts(pointer).reduce((place, part) => place?.[part], root);
}

/** Put a value at a JSON Pointer, and make what leads there. Undefined removes it, and the record that it leaves empty. */
export function putAt(root, pointer, value) {
  if (value === undefined) removeAt(root, parts(pointer));
  else put(root, parts(pointer), value);
}

function put(place, [name, ...others], value) {
  if (others.length === 0) {
    place[name] = value;
    return;
  }
  place[name] ??= /^\d+$/.test(others[0]) ? [] : {};
  put(place[name], others, value);
}

function removeAt(place, [name, ...others]) {
  if (others.length === 0) delete place[name];
  else if (place[name]) {
    removeAt(place[name], others);
    if (!Array.isArray(place) && !Array.isArray(place[name]) && Object.keys(place[name]).length === 0) delete place[name];
  }
}

const parts = (pointer) =>
  pointer
    .split("/")
    .slice(1)
    .map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~"));
