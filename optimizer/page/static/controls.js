// The controls of a design: one row per key of the layout file.

import { state } from "./address.js";
import { byId, html } from "./elements.js";
import { groups } from "./layoutkeys.js";
import { makeRow, showRow } from "./rows.js";

const rows = new Map();
let more = null;
let addRow = null;

/** Build all controls. `changed(final)` is called after each change; `final` once the hand lets go. */
export function buildControls(choices, changed) {
  const form = byId("controls");
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const [name, entries] of groups(choices)) {
    const group = html("fieldset", {}, html("legend", {}, name));
    for (const entry of entries) group.append(row(entry, changed));
    form.append(group);
  }
  more = html("fieldset", { hidden: true }, html("legend", {}, "More"));
  form.append(more);
  addRow = (key) =>
    more.append(row({ key, label: named(key), text: true, unit: key.match(/_(mm|T|rpm)$/)?.[1] ?? "" }, changed));
}

/** A label from a key of the layout file: its last part in words. */
function named(key) {
  const words = key.split(".").slice(-2).join(": ").replace(/_(mm|T|rpm)$/, "").replaceAll("_", " ");
  return words[0].toUpperCase() + words.slice(1);
}

function row(entry, changed) {
  const set = (value, final) => {
    if (entry.change) entry.change(state.design, value);
    else if (value === entry.usual) delete state.design[entry.key];
    else state.design[entry.key] = value;
    entry.after?.(state.design);
    showControls();
    changed(final);
  };
  const parts = makeRow(entry, set, () => state.design[entry.key] ?? entry.usual ?? "");
  rows.set(entry.key, parts);
  return parts.element;
}

/** Show the design in all controls. */
export function showControls() {
  for (const key of Object.keys(state.design)) if (!rows.has(key)) addRow(key);
  for (const parts of rows.values()) showRow(parts, state.design, Boolean(state.view.inch));
  more.hidden = [...more.children].slice(1).every((child) => child.hidden);
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
    for (const input of parts.inputs) input.setAttribute("aria-invalid", "true");
  }
  return left;
}
