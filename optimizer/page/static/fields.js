// Fields of the forms whose keys the server describes: label, unit, choices and usual value come from the files' tables.

import { state, step } from "./address.js";
import { html } from "./elements.js";
import { showChoice } from "./rows.js";

/**
 * @typedef {{label: string, unit?: string, usual?: string, start?: string, text?: boolean, long?: boolean,
 *   options?: [string, string][], ticks?: [string, string][]}} Field of a form
 * @typedef {"brief" | "load" | "rig" | "motor"} Form
 * @typedef {{fields: Record<string, Record<string, Field>>, groups: Record<string, [string, string[]][]>,
 *   mechanisms: Record<string, string>, loads: {kind: string, name: string, keys: string[]}[]}} Forms
 */

/** @type {Forms} */
export const forms = { fields: {}, groups: {}, mechanisms: {}, loads: [] };

const NONE = "none"; // of a list that must not be empty: the server says so beside it
/** @type {Map<string, {input: HTMLElement | null, fault: HTMLElement, label: string}>} */
const places = new Map();

/**
 * What the form says of a key; one that stands in a list of tables is told by the key without its number.
 * @param {Form} form
 * @param {string} key
 * @returns {Field}
 */
export const fieldOf = (form, key) => forms.fields[form][key.replace(/\.\d+\./, ".")] ?? { label: key };

/**
 * Set a key. Of the brief, what is empty or usual is left out of its file.
 * @param {Form} form
 * @param {string} key
 * @param {string} value
 * @param {string} [usual]
 */
export function set(form, key, value, usual = "") {
  if (form === "brief" && (value === "" || value === usual)) delete state.brief[key];
  else state[form][key] = value;
}

/**
 * @param {Form} form
 * @param {string} key
 */
export const idOf = (form, key) => `${form === "brief" ? "b" : `u-${form}`}-${key.replaceAll(".", "-")}`;

/**
 * The field of a key. more: what this place says otherwise; chosen(value) sets the key of a list itself.
 * @param {Form} form
 * @param {string} key
 * @param {Partial<Field> & {chosen?: (value: string) => void}} [more]
 */
export function field(form, key, more) {
  const { label, unit, usual, text, long, options, chosen } = { usual: "", ...fieldOf(form, key), ...more };
  const id = idOf(form, key);
  const fault = html("p", { class: "fault", id: `${id}-fault`, hidden: true });
  const value = state[form][key] ?? (form === "brief" || options ? usual : "");
  const input = options
    ? html("select", { id, "aria-describedby": fault.id })
    : html("input", { type: "text", id, "aria-describedby": fault.id, autocomplete: "off",
      inputmode: text ? "text" : "decimal" });
  if (input instanceof HTMLSelectElement) showChoice(input, options, value);
  else input.value = value;
  const typed = () => (text || options ? input.value : input.value.trim().replace(",", ".").replace("−", "-"));
  input.addEventListener("input", () => {
    if (!chosen) set(form, key, typed(), usual);
    quiet({ input, fault });
  });
  input.addEventListener("change", () => {
    chosen?.(input.value);
    step();
  });
  places.set(`${form}.${key}`, { input, fault, label });
  return html("div", { class: `field${long ? " long" : options ? " list" : ""}` }, html("label", { for: id }, label),
    input, unit && !long ? html("span", { class: "unit" }, unit) : null, fault);
}

/**
 * Ticks for a key that holds a list of values.
 * @param {Form} form
 * @param {string} key
 */
export function ticks(form, key) {
  const { label, usual = "", ticks = [] } = fieldOf(form, key);
  const parts = () => (state[form][key] ?? usual).split(",").map((part) => part.trim());
  const chosen = () => parts().filter((part) => part && part !== NONE);
  const fault = html("p", { class: "fault", id: `${idOf(form, key)}-fault`, hidden: true });
  const words = new Map(ticks);
  const boxes = [...new Set([...ticks.map(([value]) => value), ...chosen()])].map((value) => {
    const box = html("input", { type: "checkbox", value, "aria-describedby": fault.id, onchange: () => {
      const now = new Set(chosen());
      if (box.checked) now.add(value);
      else now.delete(value);
      const kept = boxes.map((other) => other.value).filter((other) => now.has(other)).join(", ");
      set(form, key, kept || (usual && NONE), usual);
      step();
    } });
    box.checked = chosen().includes(value);
    return box;
  });
  places.set(`${form}.${key}`, { input: boxes[0] ?? null, fault, label });
  return html("fieldset", {}, html("legend", {}, label),
    html("div", { class: "ticks" },
      ...boxes.map((box) => html("label", { class: "check" }, box, ` ${words.get(box.value) ?? box.value}`))), fault);
}

/**
 * A group of fields under a heading.
 * @param {string} name
 * @param {(HTMLElement | null)[]} fields
 */
export const group = (name, ...fields) =>
  html("fieldset", {}, html("legend", {}, name), html("div", { class: "fields" }, ...fields));

/**
 * The groups of a form as the server lists them.
 * @param {Form} form
 */
export const groupsOf = (form) =>
  forms.groups[form].map(([name, keys]) => group(name, ...keys.map((key) => field(form, key))));

/**
 * What a form's file holds beyond the fields shown already.
 * @param {"rig" | "motor"} form
 */
export function alsoInFile(form) {
  const left = Object.keys(state[form]).filter((key) => !places.has(`${form}.${key}`));
  return left.length ? [group("Also in its file", ...left.map((key) => field(form, key)))] : [];
}

/**
 * The numbers of a list's tables: `gears.1.…`, `gears.2.…`.
 * @param {Form} form
 * @param {string} table
 */
export const entries = (form, table) =>
  [...new Set(Object.keys(state[form]).map((key) => key.match(`^${table}\\.(\\d+)\\.`)?.[1]).filter(Boolean))]
    .map(Number).sort((a, b) => a - b);

/**
 * Keep the tables numbered in `wanted`, counted anew from 1.
 * @param {Form} form
 * @param {string} table
 * @param {number[]} wanted
 */
export function keepEntries(form, table, wanted) {
  const values = state[form];
  const old = { ...values };
  for (const key of Object.keys(old)) if (key.startsWith(`${table}.`)) delete values[key];
  wanted.forEach((number, at) => {
    const before = `${table}.${number}.`;
    for (const [key, value] of Object.entries(old)) {
      if (key.startsWith(before)) values[`${table}.${at + 1}.${key.slice(before.length)}`] = value;
    }
  });
}

/**
 * Values by key that a load of a kind may start from.
 * @param {string} kind
 */
export function usualLoad(kind) {
  const keys = forms.loads.find((load) => load.kind === kind)?.keys ?? [];
  const values = keys.map((key) => [key, fieldOf("load", key).start]).filter(([, value]) => value);
  return { kind, ...Object.fromEntries(values) };
}

/** @param {{input: HTMLElement | null, fault: HTMLElement}} place */
function quiet({ input, fault }) {
  fault.hidden = true;
  fault.textContent = "";
  input?.removeAttribute("aria-invalid");
}

/**
 * Forget the fields of a form that is shown anew.
 * @param {Form} form
 */
export function forget(form) {
  for (const key of [...places.keys()]) if (key.startsWith(`${form}.`)) places.delete(key);
}

/**
 * Show words beside the fields they belong to. The words of all with their fields' names, those that belong to none,
 * and the first field that is wrong.
 * @param {{key: string, words: string}[]} rows keys with their form ahead
 */
export function showFieldFaults(rows) {
  for (const place of places.values()) quiet(place);
  /** @type {string[]} */
  const left = [];
  const told = rows.map(({ key, words }) => {
    const place = placeOf(key, words);
    if (!place) {
      const short = key.replace(/^brief\.?/, "");
      left.push(short ? `${short}: ${words}` : words);
      return left[left.length - 1];
    }
    place.fault.closest("details")?.setAttribute("open", "");
    place.fault.textContent = [place.fault.textContent, words].filter(Boolean).join("; ");
    place.fault.hidden = false;
    place.input?.setAttribute("aria-invalid", "true");
    return `${place.label}: ${words}`;
  });
  return { told, left, first: [...places.values()].find((place) => !place.fault.hidden)?.input };
}

/**
 * Of a key, of the list that it is an entry of, or of what the words about a table begin with.
 * @param {string} key
 * @param {string} words
 */
const placeOf = (key, words) =>
  places.get(key) ?? places.get(key.replace(/\.\d+$/, "")) ?? places.get(`${key}.${words.split(" ")[0]}`);
