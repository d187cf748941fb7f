// Asks the API. Nothing else of the page talks to the server, but for its own files.

let key = null;

/** What the server said against a request: a problem document (RFC 9457). */
export class Problem extends Error {
  constructor(status, content, headers) {
    super(content.detail ?? content.title ?? String(status));
    this.status = status;
    this.kind = String(content.type ?? "").split("/").pop();
    this.detail = content.detail ?? "";
    this.errors = content.errors ?? [];
    this.headers = headers;
  }
}

/** No answer came: the connection is lost, or the server is not there. */
export class NoAnswer extends Error {}

/** Return a file of the page that was asked for. One that does not come is a lost connection like any other. */
export const arrived = (file) =>
  file.catch(() => {
    throw new NoAnswer();
  });

/** Use a key from now on. It is kept in the memory of this page alone, and is gone with it. */
export function useKey(text) {
  key = text;
}

export const hasKey = () => key !== null;

/**
 * Ask, and return the answer: its content, and its headers.
 *
 * Raises Problem for what the server refuses, NoAnswer when none came.
 */
export async function ask(method, path, { query = {}, json, body, headers = {}, accept = "application/json" } = {}) {
  const address = new URL(path, location.origin);
  for (const [name, value] of Object.entries(query)) {
    if (value !== null && value !== undefined) address.searchParams.set(name, value);
  }
  const sent = { accept, ...headers };
  if (json !== undefined) sent["content-type"] ??= "application/json";
  if (key !== null) sent.authorization = `Bearer ${key}`;
  const content = json === undefined ? body : JSON.stringify(json);
  let response;
  let received;
  try {
    response = await fetch(address, { method, headers: sent, body: content, cache: "no-store", credentials: "omit" });
    received = await response.blob();
  } catch {
    throw new NoAnswer();
  }
  if (!response.ok) throw new Problem(response.status, await problemIn(received), response.headers);
  return { content: received, headers: response.headers, status: response.status };
}

async function problemIn(content) {
  try {
    return JSON.parse(await content.text());
  } catch {
    return {};
  }
}

/** Ask, and return the JSON of the answer. */
export async function askJson(method, path, options = {}) {
  const { content } = await ask(method, path, options);
  return JSON.parse(await content.text());
}

const held = new Map();

/** Return reference data, which is asked for once. */
export function reference(path) {
  if (!held.has(path)) {
    const asked = askJson("GET", path).then((answer) => answer.items);
    asked.catch(() => held.delete(path));
    held.set(path, asked);
  }
  return held.get(path);
}

let service = null;

/** Return whether the server keeps builds. Without an answer it is asked again the next time. */
export const keepsBuilds = () => asked("keeps_builds");

/** Return whether the server reads plates in photos. */
export const readsPlates = () => asked("reads_plates");

async function asked(what) {
  try {
    service ??= await askJson("GET", "/");
  } catch {
    return false;
  }
  return service[what];
}
