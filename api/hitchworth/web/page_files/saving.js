// Hands a file over to the person: it goes where the browser puts what it downloads.

import { element } from "./elements.js";

/** Save a content under a name. */
export function save(content, name) {
  const address = URL.createObjectURL(content);
  const link = element("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** Return the name of a file for a build. */
export function fileName(build, ending) {
  const plain = build.normalize("NFKD").replace(/[^\w]+/g, "-").replace(/^-+|-+$/g, "").toLowerCase();
  return `${plain || "camper"}${ending}`;
}
