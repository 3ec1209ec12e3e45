// Files to take: made by the server, saved by the browser.

import { note, state } from "./address.js";
import { byId, html } from "./elements.js";
import { Faults, fetched } from "./server.js";

/** @typedef {[name: string, label: string, remark: string]} File */

/** @type {File[]} */
const DESIGN = [
  ["build_pack.zip", "Build pack", "everything below in one zip"],
  ["template.pdf", "Paper template", "PDF at full size, tiled"],
  ["template.dxf", "Outline, DXF", "for laser or mill"],
  ["template.svg", "Outline, SVG", "for laser or plotter"],
  ["layout.toml", "Layout file", "opens here and on the command line"],
  ["winding_card.html", "Winding card", "for the bench"],
  ["parts.csv", "Parts list", "for a spreadsheet"],
  ["report.html", "Report", "figures and cautions of this machine"],
  ...["stl", "3mf"].flatMap((kind) =>
    ["Carrier", "Cover", "Former"].map((
      part,
    ) => /** @type {File} */ ([`${part.toLowerCase()}.${kind}`, part, `${kind.toUpperCase()} to print`]))
  ),
];
/** @type {File[]} */
const SEARCH = [
  ["search.zip", "Everything of the search", "plots, report and the winner's pack"],
  ["search_report.html", "Report of the search", "one page, works offline"],
  ["result.json", "Result", "JSON, all figures"],
  ["brief.toml", "Brief file", "opens here and on the command line"],
];

/** Build the buttons. */
export function buildTake() {
  const paper = html("select", { id: "paper", onchange: () => {
    state.view.paper = paper.value;
    note();
  } }, html("option", { value: "A4" }, "A4"), html("option", { value: "Letter" }, "Letter"));
  byId("files").replaceChildren(
    html("label", { class: "check", id: "even-so-row", hidden: true },
      html("input", { type: "checkbox", id: "even-so" }),
      " This machine bursts at its own speed: make its parts even so"),
    html("div", { class: "row" }, html("label", { for: "paper" }, "Paper"), html("span", {}, paper)),
    html("h3", {}, "This design"),
    fileButtons(DESIGN, ofDesign, "take-words"),
    html("h3", {}, "The search and its brief"),
    fileButtons(SEARCH, ofDesign, "take-words"),
  );
}

/** Show the paper that the address names. */
export function showTake() {
  byId("paper", HTMLSelectElement).value = state.view.paper === "Letter" ? "Letter" : "A4";
}

/**
 * Whether the word that a machine which bursts asks for is offered; it holds for the machine shown.
 * @param {boolean} bursts
 */
export function offerEvenSo(bursts) {
  byId("even-so-row").hidden = !bursts;
  if (!bursts) byId("even-so", HTMLInputElement).checked = false;
}

const ofDesign = (/** @type {string} */ name) =>
  fetched("/download", { name, design: state.design, brief: state.brief, paper: byId("paper", HTMLSelectElement).value,
    even_so: byId("even-so", HTMLInputElement).checked });

/**
 * A button for each file.
 * @param {File[]} files
 * @param {(name: string) => Promise<Blob>} made gives the bytes by name
 * @param {string} told id of the place for words
 */
export function fileButtons(files, made, told) {
  return html("ul", { class: "files" }, ...files.map(([name, label, remark]) =>
    html("li", {}, html("button", {
      type: "button",
      class: name === "build_pack.zip" ? "main" : "",
      "data-file": name,
      onclick: (/** @type {{currentTarget: HTMLButtonElement}} */ { currentTarget }) =>
        save({ name, label, made, words: byId(told) }, currentTarget),
    }, label, html("small", {}, `${name} · ${remark}`)))
  ));
}

/**
 * @param {{name: string, label: string, made: (name: string) => Promise<Blob>, words: HTMLElement}} file
 * @param {HTMLButtonElement} button
 */
async function save({ name, label, made, words }, button) {
  button.setAttribute("aria-busy", "true");
  button.disabled = true;
  words.className = "";
  words.textContent = `Making ${label.toLowerCase()} …`;
  try {
    const bytes = await made(name);
    const address = URL.createObjectURL(bytes);
    html("a", { href: address, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(address), 10_000);
    words.textContent = `${name} is ready: ${bytes.size.toLocaleString("en")} bytes.`;
  } catch (error) {
    if (!(error instanceof Faults)) throw error;
    words.className = "fault";
    words.textContent = `${label} cannot be made: ${error.message}`;
  } finally {
    button.removeAttribute("aria-busy");
    button.disabled = false;
    button.focus();
  }
}
