// Fields of the brief's form: each sets one key of the brief, and has room for words beside it.

import { state, step } from "./address.js";
import { html } from "./elements.js";
import { showChoice } from "./rows.js";

const NONE = "none"; // of a list that must not be empty: the server says so beside it
const faults = new Map();

/** Forget all fields, before the form is built anew. */
export const forgetFields = () => faults.clear();

/** Set a key of the brief; an empty value, or the usual one, is left out of its file. */
export function set(key, value, usual = "") {
  if (value === "" || value === usual) delete state.brief[key];
  else state.brief[key] = value;
}

function place(key, input, label, unit, kind = "field") {
  const fault = html("p", { class: "fault", id: `${input.id}-fault`, hidden: true });
  input.setAttribute("aria-describedby", fault.id);
  faults.set(key, { fault, input });
  return html("div", { class: kind }, html("label", { for: input.id }, label), input,
    unit ? html("span", { class: "unit" }, unit) : null, fault);
}

const idOf = (key) => `b-${key.replaceAll(".", "-")}`;

/** A text or number field. text: taken as typed, else a comma is a decimal point; usual: what its absence means. */
export function field(key, label, unit = "", { text = false, usual = "", long = false } = {}) {
  const value = () => (text ? input.value : input.value.trim().replace(",", ".").replace("−", "-"));
  const input = html("input", { type: "text", id: idOf(key), inputmode: text ? "text" : "decimal",
    oninput: () => set(key, value(), usual), onchange: step });
  input.value = state.brief[key] ?? usual;
  return place(key, input, label, unit, long ? "field long" : "field");
}

/**
 * A list to choose from: [value, label] pairs, `long` ones over the form's width. chosen(value) sets the key itself when given.
 * @param {string} key
 * @param {string} label
 * @param {string[][]} options
 * @param {{usual?: string, chosen?: (value: string) => void, long?: boolean}} [more]
 */
export function choice(key, label, options, { usual = "", chosen = undefined, long = false } = {}) {
  const list = html("select", { id: idOf(key), onchange: () => {
    if (chosen) chosen(list.value);
    else set(key, list.value, usual);
    step();
  } });
  showChoice(list, options, state.brief[key] ?? usual);
  return place(key, list, label, "", long ? "field long" : "field list");
}

/** Ticks for a list of values. usual: what its absence means; labels: words for values. */
export function ticks(name, key, options, { usual = "", labels = {} } = {}) {
  const chosen = () =>
    (state.brief[key] ?? usual).split(",").map((part) => part.trim()).filter((part) => part && part !== NONE);
  const fault = html("p", { class: "fault", id: `${idOf(key)}-fault`, hidden: true });
  const boxes = [...new Set([...options, ...chosen()])].map((option) => {
    const box = html("input", { type: "checkbox", value: option, "aria-describedby": fault.id, onchange: () => {
      const now = new Set(chosen());
      if (box.checked) now.add(option);
      else now.delete(option);
      const kept = boxes.map((label) => label.querySelector("input")?.value ?? "").filter((value) => now.has(value))
        .join(", ");
      set(key, kept || (usual && NONE), usual);
      step();
    } });
    box.checked = chosen().includes(option);
    return html("label", { class: "check" }, box, ` ${labels[option] ?? option}`);
  });
  faults.set(key, { fault, input: boxes[0]?.firstChild });
  return html("fieldset", {}, html("legend", {}, name), html("div", { class: "ticks" }, ...boxes), fault);
}

/** A group of fields under a heading. */
export const group = (name, ...fields) =>
  html("fieldset", {}, html("legend", {}, name), html("div", { class: "fields" }, ...fields));

/** Show words beside the fields they belong to; returns the words that belong to none. */
export function showBriefFaults(rows) {
  for (const { fault, input } of faults.values()) {
    fault.hidden = true;
    fault.textContent = "";
    input?.removeAttribute("aria-invalid");
  }
  const left = [];
  for (const { key, words } of rows) {
    const spot = faults.get(key) ?? faults.get(key.replace(/\.\d+$/, ""));
    if (!spot) {
      left.push(key ? `${key}: ${words}` : words);
      continue;
    }
    spot.fault.closest("details")?.setAttribute("open", "");
    spot.fault.hidden = false;
    spot.fault.append(spot.fault.textContent ? `; ${words}` : words);
    spot.input?.setAttribute("aria-invalid", "true");
  }
  return left;
}
