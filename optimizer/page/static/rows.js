// Rows of controls: a slider with a number that may be anything, a list, pictures to choose from, a text.

import { html, svg } from "./elements.js";
import { tidy } from "./magnets.js";

/** A row for an entry of `layoutkeys.js`. `set(value, final)`: `final` once the hand lets go; `value()`: what it is. */
export function makeRow(entry, set, value) {
  const id = `c-${entry.key.replaceAll(".", "-")}`;
  const fault = html("p", { class: "fault", id: `${id}-fault`, hidden: true });
  const note = html("p", { class: "note", id: `${id}-note`, hidden: true });
  const parts = { entry, fault, note, inputs: [], id, described: `${id}-fault${entry.note ? ` ${id}-note` : ""}` };
  if (entry.icons) parts.element = pictureRow(entry, parts, set);
  else if (entry.options) parts.element = listRow(entry, parts, set);
  else if (entry.text) parts.element = textRow(entry, parts, set);
  else parts.element = slideRow(entry, parts, set, value);
  parts.element.append(note, fault);
  return parts;
}

function slideRow(entry, parts, set, value) {
  const { id, described } = parts;
  const slider = html("input", {
    type: "range",
    id: `${id}-slide`,
    "aria-label": `${entry.label}, slider`,
    "aria-describedby": described,
    oninput: () => set(tidy(slider.value), false),
    onchange: () => set(value(), true),
  });
  const typed = () => number.value.trim().replace(",", ".").replace("−", "-");
  const number = html("input", {
    type: "text",
    inputmode: "decimal",
    id,
    "aria-describedby": described,
    oninput: () => set(typed(), false),
    onchange: () => set(typed(), true),
    onkeydown: (event) => {
      const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (!way) return;
      event.preventDefault();
      set(tidy(Number(typed()) + way * entry.step), true);
    },
  });
  const inch = html("span", { class: "inch", hidden: true });
  Object.assign(parts, { slider, number, inch, inputs: [number], typed });
  return html("div", { class: "control" }, html("label", { for: id }, entry.label), slider, number,
    html("span", { class: "unit" }, entry.unit), inch);
}

function listRow(entry, parts, set) {
  const list = html("select", { id: parts.id, "aria-describedby": parts.described,
    onchange: () => set(list.value, true) });
  Object.assign(parts, { list, inputs: [list] });
  return html("div", { class: "control plain" }, html("label", { for: parts.id }, entry.label), list,
    html("span", { class: "unit" }, entry.unit ?? ""));
}

function textRow(entry, parts, set) {
  const number = html("input", { type: "text", id: parts.id, class: "wide", "aria-describedby": parts.described,
    oninput: () => set(number.value, false), onchange: () => set(number.value, true) });
  Object.assign(parts, { number, inputs: [number], typed: () => number.value });
  return html("div", { class: "control" }, html("label", { for: parts.id }, entry.label), number,
    html("span", { class: "unit" }, entry.unit ?? ""));
}

function pictureRow(entry, parts, set) {
  parts.radios = entry.options.map((name) =>
    html("input", { type: "radio", name: parts.id, value: name, onchange: () => set(name, true) })
  );
  const labels = parts.radios.map((radio) =>
    html("label", {}, radio,
      svg("svg", { viewBox: "0 0 24 24", "aria-hidden": "true" }, svg("path", { d: entry.icons[radio.value] ?? "" })),
      entry.labels?.[radio.value] ?? radio.value)
  );
  const group = html("div", { class: "shapes", role: "radiogroup", "aria-label": entry.label,
    "aria-describedby": parts.described }, ...labels);
  parts.inputs = [group];
  return group;
}

/** Show what a design says in its row; `inch` for lengths in inches beside the millimetres. */
export function showRow(parts, design, inch) {
  const { entry, slider, number, list, radios, element, note } = parts;
  const given = entry.key in design;
  const value = design[entry.key] ?? entry.usual ?? "";
  element.hidden = entry.when ? !entry.when(design) : !given && entry.usual === undefined;
  if (number && (document.activeElement !== number || parts.typed() !== value)) number.value = value;
  if (list) showChoice(list, entry.options(design), value);
  for (const radio of radios ?? []) radio.checked = radio.value === value;
  if (slider) showSlider(entry, slider, value, design);
  if (parts.inch) {
    parts.inch.hidden = !(inch && entry.unit === "mm" && Number(value));
    parts.inch.textContent = parts.inch.hidden ? "" : `= ${(Number(value) / 25.4).toFixed(3)} in`;
  }
  if (entry.note) {
    note.textContent = entry.note(design);
    note.hidden = !note.textContent;
  }
}

/** The options of a list, with whatever else is chosen among them. */
export function showChoice(list, options, value) {
  const all = !value || options.some(([option]) => option === value) ? options : [...options, [value, value]];
  const words = JSON.stringify(all);
  if (list.dataset.words !== words) {
    list.replaceChildren(...all.map(([option, label]) => html("option", { value: option }, label)));
  }
  list.dataset.words = words;
  list.value = value;
}

function showSlider(entry, slider, value, design) {
  const most = typeof entry.most === "function" ? entry.most(design) : entry.most;
  const at = Number(value);
  slider.min = Math.min(entry.least, Number.isFinite(at) ? at : entry.least);
  slider.max = Math.max(most, Number.isFinite(at) ? at : most);
  slider.step = entry.step;
  if (Number.isFinite(at) && Number(slider.value) !== at) slider.value = at;
  slider.setAttribute("aria-valuetext", `${value} ${entry.unit}`);
}
