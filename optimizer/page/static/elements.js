// Making elements: HTML and SVG, text as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

/** @typedef {Record<string, any>} Attributes */
/** @typedef {(Node | string | null | undefined)[]} Children of an element; null and undefined are left out. */

/**
 * An HTML element with attributes and children (elements or texts); `on…` attributes are listeners.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} name
 * @param {Attributes} attributes
 * @param {Children} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function html(name, attributes = {}, ...children) {
  return filled(document.createElement(name), attributes, children);
}

/**
 * An SVG element, likewise.
 * @template {keyof SVGElementTagNameMap} T
 * @param {T} name
 * @param {Attributes} attributes
 * @param {Children} children
 * @returns {SVGElementTagNameMap[T]}
 */
export function svg(name, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, name), attributes, children);
}

/**
 * @template {Element} E
 * @param {E} element
 * @param {Attributes} attributes
 * @param {Children} children
 */
function filled(element, attributes, children) {
  for (const [key, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined));
  return element;
}

/**
 * A drawing from the server as an element, its layers' names as classes instead of ids.
 * @param {string} text
 * @param {"live" | "picture"} kind a class for the whole; a small picture says nothing by itself
 */
export function drawn(text, kind) {
  const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  const picture = document.importNode(root, true);
  picture.removeAttribute("width");
  picture.removeAttribute("height");
  picture.classList.add("machine", kind);
  for (const layer of picture.querySelectorAll("g[id]")) {
    layer.classList.add(layer.id);
    layer.removeAttribute("id");
  }
  for (const title of picture.querySelectorAll(kind === "live" ? "g > title" : "title")) title.remove();
  if (kind === "picture") {
    picture.setAttribute("aria-hidden", "true");
    picture.removeAttribute("role");
  }
  return picture;
}

/** @typedef {{text: string, kind: string, machine?: string}} Caution */

/**
 * Cautions of the server as a list, what each is about in bold; nothing where nothing bites.
 * @param {Caution[]} cautions
 */
export function bitesList(cautions) {
  const row = (/** @type {Caution} */ { text, machine }) => {
    const about = text.split(": ", 1)[0];
    return html("li", {}, html("strong", {}, machine ? `${machine}: ${about}.` : `${about}.`),
      text.slice(about.length + 1));
  };
  return cautions.length ? html("ul", { class: "bites" }, ...cautions.map(row)) : null;
}

/**
 * The element of that id, which the page must have.
 * @template {HTMLElement} [T=HTMLElement]
 * @param {string} id
 * @param {new () => T} [kind] of element, where more is asked of it than of any
 * @returns {T}
 */
export function byId(id, kind) {
  const found = document.getElementById(id);
  if (!(found instanceof (kind ?? HTMLElement))) throw new Error(`the page has no such ${id}`);
  return /** @type {T} */ (found);
}
