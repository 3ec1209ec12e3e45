// The controls of a design: one row per key of the layout file, a slider and a number that may be anything.

import { byId, html, svg } from "./elements.js";
import { state } from "./address.js";

const mm = (key, label, least, most, step = 0.1) => ({ key, label, unit: "mm", least, most, step });
const radius = (design) => Math.max(Number(design["space.outer_diameter_mm"]) / 2 || 50, 10);

/** Groups of rows; `most` may follow from the design. */
const GROUPS = [
  ["Magnets", [
    { key: "carrier.count", label: "Number of magnets", unit: "", least: 2, most: 40, step: 2 },
    mm("carrier.magnet.diameter_mm", "Magnet diameter", 3, 50, 0.5),
    mm("carrier.magnet.thickness_mm", "Magnet thickness", 1, 20, 0.5),
    { key: "carrier.magnet.grade", label: "Magnet grade", choice: "grades" },
    { key: "carrier.magnet.remanence_T", label: "Remanence", unit: "T", least: 0.1, most: 1.5, step: 0.01 },
    mm("carrier.pitch_radius_mm", "Pitch radius", 5, (design) => radius(design) * 1.1),
  ]],
  ["Coil", [
    { key: "winding.topology", label: "Coil shape", shapes: true },
    mm("winding.inner_radius_mm", "Inner radius", 3, (design) => radius(design)),
    mm("winding.outer_radius_mm", "Outer radius", 5, (design) => radius(design) * 1.15),
    mm("winding.width_mm", "Bundle width", 0.5, 20),
    mm("winding.height_mm", "Bundle height", 0.5, 15),
    { key: "winding.turns", label: "Turns per coil", unit: "", least: 1, most: 400, step: 1 },
    { key: "winding.wire.diameter_mm", label: "Wire, bare copper", unit: "mm", choice: "wires" },
    { key: "winding.wire.enamel_grade", label: "Enamel grade", options: ["1", "2"] },
    mm("winding.peg_diameter_mm", "Peg diameter", 1, 12, 0.5),
    { key: "winding.fill_factor", label: "Fill factor, at most", unit: "", least: 0.3, most: 0.9, step: 0.01 },
  ]],
  ["Running", [
    mm("operation.air_gap_mm", "Air gap", 0.5, 8),
    { key: "operation.speed_rpm", label: "Speed", unit: "rpm", least: 20, most: 2000, step: 10 },
  ]],
  ["Disc", [
    mm("space.outer_diameter_mm", "Outer diameter", 40, 300, 1),
    mm("space.bore_diameter_mm", "Bore diameter", 5, 120, 1),
    mm("space.wall_mm", "Wall around magnets", 0, 8, 0.1),
    { key: "title", label: "Title", text: true },
  ]],
];

const SHAPES = {
  serpentine: "M3 20V9a4 4 0 0 1 8 0v7a4 4 0 0 0 8 0V4",
  wedge: "M7 20 3 6a14 14 0 0 1 18 0l-4 14a8 8 0 0 0-10 0z",
  round: "M12 4a8 8 0 1 1 0 16a8 8 0 1 1 0-16",
};

const rows = new Map();
let more = null;
let addRow = null;

/** Build all controls. `changed(final)` is called after each change; `final` once the hand lets go. */
export function buildControls(choices, changed) {
  const form = byId("controls");
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const [name, entries] of GROUPS) {
    const group = html("fieldset", {}, html("legend", {}, name));
    for (const entry of entries) group.append(row(entry, choices, changed));
    form.append(group);
  }
  more = html("fieldset", { hidden: true }, html("legend", {}, "More"));
  form.append(more);
  addRow = (key) => more.append(row({ key, label: named(key), text: true, unit: key.match(/_(mm|T|rpm)$/)?.[1] ?? "" }, choices, changed));
}

/** A label from a key of the layout file: its last part in words. */
function named(key) {
  const words = key.split(".").slice(-2).join(": ").replace(/_(mm|T|rpm)$/, "").replaceAll("_", " ");
  return words[0].toUpperCase() + words.slice(1);
}

function row(entry, choices, changed) {
  const id = `c-${entry.key.replaceAll(".", "-")}`;
  const fault = html("p", { class: "fault", id: `${id}-fault`, hidden: true });
  const set = (value, final) => {
    state.design[entry.key] = value;
    showRow(entry.key);
    changed(final);
  };
  const parts = { entry, fault, inputs: [] };
  if (entry.shapes) parts.element = shapeRow(entry, choices.topologies, parts, set);
  else if (entry.choice || entry.options) parts.element = listRow(entry, id, entry.options ?? choices[entry.choice], parts, set);
  else if (entry.text) parts.element = textRow(entry, id, parts, set);
  else parts.element = slideRow(entry, id, parts, set);
  parts.element.append(fault);
  rows.set(entry.key, parts);
  return parts.element;
}

function slideRow(entry, id, parts, set) {
  const slider = html("input", {
    type: "range", id: `${id}-slide`, "aria-label": `${entry.label}, slider`, "aria-describedby": `${id}-fault`,
    oninput: () => set(tidy(slider.value), false), onchange: () => set(state.design[entry.key], true),
  });
  const number = html("input", {
    type: "text", inputmode: "decimal", id, "aria-describedby": `${id}-fault`,
    oninput: () => set(number.value.trim().replace(",", "."), false),
    onchange: () => set(number.value.trim().replace(",", "."), true),
    onkeydown: (event) => {
      const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (!way) return;
      event.preventDefault();
      set(tidy(Number(number.value) + way * entry.step), true);
    },
  });
  const inch = html("span", { class: "inch", hidden: true });
  Object.assign(parts, { slider, number, inch, inputs: [number, slider] });
  return html("div", { class: "control" },
    html("label", { for: id }, entry.label), slider, number, html("span", { class: "unit" }, entry.unit), inch);
}

const tidy = (value) => String(Number(Number(value).toFixed(6)));

function listRow(entry, id, options, parts, set) {
  const list = html("select", { id, "aria-describedby": `${id}-fault`, onchange: () => set(list.value, true) },
    ...options.map((option) => html("option", { value: option }, option)));
  Object.assign(parts, { list, inputs: [list] });
  return html("div", { class: "control plain" },
    html("label", { for: id }, entry.label), list, html("span", { class: "unit" }, entry.unit ?? ""));
}

function textRow(entry, id, parts, set) {
  const number = html("input", { type: "text", id, class: "wide", "aria-describedby": `${id}-fault`,
    oninput: () => set(number.value, false), onchange: () => set(number.value, true) });
  Object.assign(parts, { number, inputs: [number] });
  return html("div", { class: "control" }, html("label", { for: id }, entry.label), number, html("span", { class: "unit" }, entry.unit ?? ""));
}

function shapeRow(entry, names, parts, set) {
  parts.radios = names.map((name) => html("input", { type: "radio", name: "shape", value: name, onchange: () => set(name, true) }));
  parts.inputs = parts.radios;
  const labels = parts.radios.map((radio) => html("label", {}, radio,
    svg("svg", { viewBox: "0 0 24 24", "aria-hidden": "true" }, svg("path", { d: SHAPES[radio.value] ?? SHAPES.round })), radio.value));
  return html("div", { class: "shapes", role: "radiogroup", "aria-label": entry.label }, ...labels);
}

/** Show the design in all controls. */
export function showControls() {
  for (const key of Object.keys(state.design)) if (!rows.has(key)) addRow(key);
  for (const key of rows.keys()) showRow(key);
  more.hidden = [...more.children].slice(1).every((child) => child.hidden);
}

function showRow(key) {
  const { entry, slider, number, inch, list, radios, element } = rows.get(key);
  const value = state.design[key] ?? "";
  element.hidden = !(key in state.design) && key !== "title";
  if (number && document.activeElement !== number) number.value = value;
  if (number && document.activeElement === number && number.value.trim().replace(",", ".") !== value) number.value = value;
  if (list) showChoice(list, value);
  for (const radio of radios ?? []) radio.checked = radio.value === value;
  if (slider) showSlider(entry, slider, value);
  if (inch) {
    inch.hidden = !(state.view.inch && entry.unit === "mm" && Number(value));
    inch.textContent = inch.hidden ? "" : `= ${(Number(value) / 25.4).toFixed(3)} in`;
  }
}

function showChoice(list, value) {
  if (value && ![...list.options].some((option) => option.value === value)) list.append(html("option", { value }, value));
  list.value = value;
}

function showSlider(entry, slider, value) {
  const most = typeof entry.most === "function" ? entry.most(state.design) : entry.most;
  const at = Number(value);
  slider.min = Math.min(entry.least, Number.isFinite(at) ? at : entry.least);
  slider.max = Math.max(most, Number.isFinite(at) ? at : most);
  slider.step = entry.step;
  if (Number.isFinite(at) && document.activeElement !== slider) slider.value = at;
  if (Number.isFinite(at) && document.activeElement === slider && Number(slider.value) !== at) slider.value = at;
  slider.setAttribute("aria-valuetext", `${value} ${entry.unit}`);
}

/** Show words beside the controls they belong to; returns the words that belong to none. */
export function showFaults(faults) {
  const left = [];
  for (const parts of rows.values()) {
    parts.fault.hidden = true;
    parts.fault.textContent = "";
    for (const input of parts.inputs) input.removeAttribute("aria-invalid");
  }
  for (const { key, words } of faults) {
    const parts = rows.get(key);
    if (!parts || parts.element.hidden) {
      left.push(key ? `${key}: ${words}` : words);
      continue;
    }
    parts.fault.hidden = false;
    parts.fault.append(parts.fault.textContent ? `; ${words}` : words);
    for (const input of parts.inputs) if (input.type !== "range") input.setAttribute("aria-invalid", "true");
  }
  return left;
}
