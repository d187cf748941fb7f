// Makes the elements of the page. Every text becomes a text node, so nothing that somebody entered is ever HTML.

const SVG = "http://www.w3.org/2000/svg";
let made = 0;

/** Return an element. An attribute that is a function listens to the event of its name; null and false leave it out. */
export function element(name, attributes = {}, ...children) {
  return filled(document.createElement(name), attributes, children);
}

/** Return an element of a drawing. */
export function drawing(name, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, name), attributes, children);
}

function filled(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") node.addEventListener(name, value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

/** Return an id that no element has yet. */
export function newId() {
  made += 1;
  return `e${made}`;
}

/** Replace what a place holds. The focus stays on the element with the same id, if there is one again. */
export function replaceIn(place, ...nodes) {
  const focused = place.contains(document.activeElement) ? document.activeElement.id : "";
  place.replaceChildren(...nodes.flat(Infinity).filter(Boolean));
  if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
}

/** Say something to those who listen to the page, without moving their focus. */
export function announce(text) {
  document.getElementById("announcement").textContent = text;
}

/** Return a row of a ledger: what it is, a dotted line, the amount; below it what there is to say about it. */
export function ledgerRow(name, amount, remark = null, attributes = {}) {
  return element(
    "div",
    { class: "row", ...attributes },
    element("dt", {}, name),
    element("dd", { class: "amount" }, amount),
    remark && element("dd", { class: "remark" }, remark),
  );
}

/** Return what opens on request. */
export function fold(title, ...children) {
  return element("details", {}, element("summary", {}, title), children);
}
