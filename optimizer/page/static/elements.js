// Making elements: HTML and SVG, text as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

/** An HTML element with attributes and children (elements or texts); `on…` attributes are listeners. */
export function html(name, attributes = {}, ...children) {
  return filled(document.createElement(name), attributes, children);
}

/** An SVG element, likewise. */
export function svg(name, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, name), attributes, children);
}

function filled(element, attributes, children) {
  for (const [key, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined));
  return element;
}

/** A drawing from the server as an element, its layers' names as classes instead of ids. */
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
  for (const title of picture.querySelectorAll("g > title")) title.remove();
  return picture;
}

/** Cautions of the server as a list, what each is about in bold; nothing where nothing bites. */
export function bitesList(cautions) {
  const row = ({ text, machine }) => {
    const about = text.split(": ", 1)[0];
    return html("li", {}, html("strong", {}, machine ? `${machine}: ${about}.` : `${about}.`), text.slice(about.length + 1));
  };
  return cautions.length ? html("ul", { class: "bites" }, ...cautions.map(row)) : null;
}

export const byId = (id) => document.getElementById(id);
