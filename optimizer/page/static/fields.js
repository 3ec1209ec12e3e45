// Fields of every form, drawn from what the server says of the files' keys: label, unit, choices, usual value, range.

import { state, step } from "./address.js";
import { html, svg } from "./elements.js";

/**
 * slide: ends and step of a slider, and the key of whose value the upper end is a share. pictures: view box and path by
 * value. What a place says beside: radios: choices as buttons; empty: shown without a key; set: sets the key in its own
 * way; after: what else changes with it; when: whether the file may have it; note: words below it.
 * @typedef {{label: string, unit?: string, usual?: string, start?: string, text?: boolean, long?: boolean,
 *   options?: Option[], ticks?: Option[], slide?: [number, number, number, string?],
 *   pictures?: Record<string, [string, string]>}} Known
 * @typedef {{radios?: boolean, empty?: string, choices?: () => Option[], set?: (value: string) => void,
 *   after?: () => void, when?: () => boolean, note?: () => string}} Own
 * @typedef {[string, string]} Option value and label
 * @typedef {"design" | "brief" | "load" | "rig" | "motor"} Form
 * @typedef {{key: string, words: string}} Fault
 * @typedef {{input: HTMLElement, fault: HTMLElement, label: string, element: HTMLElement, show: () => void}} Place
 * @typedef {(value: string, final: boolean) => void} Change
 * @typedef {{input: HTMLElement, parts: HTMLElement[], show: (value: string) => void}} Input
 * @typedef {(known: Known & Own, attributes: Record<string, string>, change: Change) => Input} Maker of an input
 */

/**
 * @type {{fields: Record<string, Record<string, Known>>, groups: Record<string, [string, string[]][]>,
 *   mechanisms: Record<string, string>, loads: Record<string, string[]>, sizes: Record<string, string[]>,
 *   remanences: Record<string, [number, number]>, combinations: Record<string, [number, number][]>,
 *   concentrated: string[]}}
 */
export const forms = { fields: {}, groups: {}, mechanisms: {}, loads: {}, sizes: {}, remanences: {}, combinations: {},
  concentrated: [] };

/** @type {Partial<Record<Form, (final: boolean) => void>>} What follows a change; elsewhere one that is final is a step. */
export const edited = {};

const NONE = "none"; // of a list that must not be empty: the server says so beside it
/** @type {Map<string, Place>} */
const places = new Map();

/** A number as the files have it, without what binary fractions leave. */
export const tidy = (/** @type {number | string} */ value) => String(Number(Number(value).toFixed(6)));

/**
 * What the form says of a key; one that stands in a list of tables is told by the key without its number.
 * @param {Form} form
 * @param {string} key
 * @returns {Known}
 */
export const fieldOf = (form, key) => forms.fields[form][key.replace(/\.\d+\./, ".")] ?? { label: key };

/**
 * Set a key. Of brief and design, what is usual is left out of the file; of a brief, what is empty too.
 * @param {Form} form
 * @param {string} key
 * @param {string} value
 * @param {string} [usual]
 */
export function set(form, key, value, usual = "") {
  const left = form === "brief" ? ["", usual] : form === "design" && usual ? [usual] : [];
  if (left.includes(value)) delete state[form][key];
  else state[form][key] = value;
}

/** @param {Form} form @param {string} key */
const idOf = (form, key) =>
  `${form === "design" ? "c" : form === "brief" ? "b" : `u-${form}`}-${key.replaceAll(".", "-")}`;

/**
 * The field of a key. more: what this place says otherwise.
 * @param {Form} form
 * @param {string} key
 * @param {Partial<Known> & Own} [more]
 */
export function field(form, key, more = {}) {
  const known = { usual: "", ...fieldOf(form, key), ...more };
  const { label, unit, usual, long } = known, id = idOf(form, key);
  const fault = html("p", { class: "fault", id: `${id}-fault`, hidden: true });
  const note = known.note ? html("p", { class: "note", id: `${id}-note` }) : null;
  /** @type {Change} */
  const change = (value, final) => {
    if (known.set) known.set(value);
    else set(form, key, value, usual);
    known.after?.();
    if (edited[form]) return edited[form](final);
    quiet(place);
    if (final) step();
  };
  const attributes = { id, "aria-describedby": note ? `${fault.id} ${note.id}` : fault.id };
  const chosen = known.pictures || known.radios ? radios : known.ticks ? ticks : null;
  const made = (chosen ?? (known.options || known.choices ? list : known.slide ? slider : text))(known, attributes,
    change);
  const kind = long ? " long" : known.options || known.choices ? " list" : known.slide ? " slide" : "";
  const element = chosen
    ? html("fieldset", {}, html("legend", {}, label), ...made.parts, note, fault)
    : html("div", { class: `field${kind}` }, html("label", { for: id }, label), ...made.parts, note, fault);
  if (unit && !long && !chosen) made.parts[made.parts.length - 1].after(html("span", { class: "unit" }, unit));
  const place = { input: made.input, fault, label, element, show: () => {
    made.show(state[form][key] ?? known.empty ?? (["design", "brief"].includes(form) || known.options ? usual : ""));
    const kept = key in state[form] || usual || known.empty;
    element.hidden = known.when ? !known.when() && !(key in state[form]) : form === "design" && !kept;
    if (!note || !known.note) return;
    note.textContent = known.note();
    note.hidden = !note.textContent;
  } };
  places.set(`${form}.${key}`, place);
  place.show();
  return element;
}

/** @param {Known} known @param {Record<string, string>} attributes @param {Change} change */
function text(known, attributes, change) {
  const typed = () => (known.text ? input.value : input.value.trim().replace(",", ".").replace("−", "-"));
  const input = html("input", { type: "text", ...attributes, autocomplete: "off",
    inputmode: known.text ? "text" : "decimal", oninput: () => change(typed(), false),
    onchange: () => change(typed(), true) });
  return { input, parts: [input], show: (/** @type {string} */ value) => {
    if (document.activeElement !== input || typed() !== value) input.value = value;
  } };
}

/** @type {Maker} A number that may be anything, and a slider for the usual ones. */
const slider = (known, attributes, change) => {
  const { input, show } = text(known, attributes, change);
  const [low, high, by, of] = known.slide ?? [0, 1, 1];
  const slide = html("input", { type: "range", id: `${input.id}-slide`, "aria-label": `${known.label}, slider`,
    step: by, "aria-describedby": attributes["aria-describedby"], oninput: () => change(tidy(slide.value), false),
    onchange: () => change(tidy(slide.value), true) });
  input.addEventListener("keydown", (event) => {
    const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    if (!way) return;
    event.preventDefault();
    change(tidy(Number(input.value) + way * by), true);
  });
  const inch = html("span", { class: "inch" });
  return { input, parts: [slide, input, inch], show: (value) => {
    show(value);
    const at = Number.isFinite(Number(value)) ? Number(value) : low;
    slide.min = String(Math.min(low, at));
    slide.max = String(Math.max(of ? high * (Number(state.design[of]) || 100) : high, at));
    if (Number(slide.value) !== at) slide.value = String(at);
    slide.setAttribute("aria-valuetext", `${value} ${known.unit ?? ""}`);
    inch.hidden = !(state.view.inch && known.unit === "mm" && Number(value));
    inch.textContent = inch.hidden ? "" : `= ${(Number(value) / 25.4).toFixed(3)} in`;
  } };
};

/** @type {Maker} A list, with whatever else is chosen among its options. */
const list = ({ options, choices }, attributes, change) => {
  const input = html("select", { ...attributes, onchange: () => change(input.value, true) });
  let words = "";
  return { input, parts: [input], show: (value) => {
    const all = choices?.() ?? options ?? [];
    const shown = !value || all.some(([option]) => option === value) ? all : [...all, [value, value]];
    if (JSON.stringify(shown) !== words) {
      input.replaceChildren(...shown.map(([option, label]) => html("option", { value: option }, label)));
    }
    words = JSON.stringify(shown);
    input.value = value;
  } };
};

/** @type {Maker} Buttons of which one is pressed, with pictures where there are any. */
const radios = ({ label, options = [], pictures = {} }, { id, ...attributes }, change) => {
  const buttons = options.map(([value]) =>
    html("input", { type: "radio", name: id, id: `${id}-${value}`, value, onchange: () => change(value, true) })
  );
  const input = html("div", { class: "shapes", role: "radiogroup", "aria-label": label, ...attributes },
    ...buttons.map((button, at) => {
      const [box, path] = pictures[button.value] ?? [];
      return html("label", {}, button,
        path ? svg("svg", { viewBox: box, "aria-hidden": "true" }, svg("path", { d: path })) : null, options[at][1]);
    }));
  return { input, parts: [input], show: (value) => {
    for (const button of buttons) button.checked = button.value === value;
  } };
};

/** @type {Maker} Ticks for a key that holds a list of values. */
const ticks = ({ ticks = [], usual }, { id, ...attributes }, change) => {
  const input = html("div", { class: "ticks" });
  return { input, parts: [input], show: (value) => {
    const chosen = value.split(",").map((part) => part.trim()).filter((part) => part && part !== NONE);
    const words = new Map([...ticks, ...chosen.map((each) => /** @type {Option} */ ([each, each]))].reverse());
    const boxes = [...new Set([...ticks.map(([each]) => each), ...chosen])].map((each) => {
      const box = html("input", { type: "checkbox", value: each, ...attributes, onchange: () => {
        const kept = boxes.filter((other) => other.checked).map((other) => other.value).join(", ");
        change(kept || (usual && NONE) || "", true);
      } });
      box.checked = chosen.includes(each);
      return box;
    });
    input.replaceChildren(...boxes.map((box) => html("label", { class: "check" }, box, ` ${words.get(box.value)}`)));
  } };
};

/**
 * A group of fields under a heading.
 * @param {string} name
 * @param {(HTMLElement | null)[]} fields
 */
export const group = (name, ...fields) =>
  html("fieldset", {}, html("legend", {}, name), html("div", { class: "fields" }, ...fields));

/**
 * The groups of a form as the server lists them. own: by key, what the form's fields say and do beside.
 * @param {Form} form
 * @param {Record<string, Partial<Known> & Own>} [own]
 */
export const groupsOf = (form, own = {}) =>
  forms.groups[form].map(([name, keys]) => group(name, ...keys.map((key) => field(form, key, own[key]))));

/**
 * What a form's file holds beyond the fields shown already.
 * @param {Form} form
 */
export function alsoInFile(form) {
  const left = Object.keys(state[form]).filter((key) => !places.has(`${form}.${key}`));
  return left.length ? [group("Also in its file", ...left.map((key) => field(form, key)))] : [];
}

/**
 * The fields of a load's kind. chosen: called when another kind is chosen.
 * @param {"load" | "brief"} form
 * @param {string} before its keys
 * @param {() => void} chosen
 */
export function loadFields(form, before, chosen) {
  const { [`${before}kind`]: kind, [`${before}drop_V`]: dropped } = state[form];
  const shown = (forms.loads[kind] ?? []).filter((key) => key !== (dropped === undefined ? "drop_V" : "diode"));
  const set = (/** @type {string} */ value) => {
    setLoad(form, before, value);
    chosen();
  };
  return [field(form, `${before}kind`, { long: true, set }),
    ...shown.map((key) => field(form, before + key, form === "brief" && key === "diode" ? { usual: "silicon" } : {}))];
}

/**
 * Set a load of a kind, with what its keys may start from; none: no load.
 * @param {"load" | "brief"} form
 * @param {string} before
 * @param {string} [kind]
 */
export function setLoad(form, before, kind) {
  for (const key of Object.keys(state[form])) if (key.startsWith(before)) delete state[form][key];
  if (!kind) return;
  state[form][`${before}kind`] = kind;
  for (const key of forms.loads[kind] ?? []) {
    const { start } = fieldOf("load", key);
    if (start) state[form][before + key] = start;
  }
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

/** @param {{input: HTMLElement, fault: HTMLElement}} place */
function quiet({ input, fault }) {
  fault.hidden = true;
  fault.textContent = "";
  input.removeAttribute("aria-invalid");
}

/** @param {Form[]} shown */
const placesOf = (...shown) =>
  [...places].filter(([name]) => shown.some((form) => name.startsWith(`${form}.`))).map(([, place]) => place);

/**
 * Show what the state says in the fields of a form.
 * @param {Form} form
 */
export const showFields = (form) => {
  for (const place of placesOf(form)) place.show();
};

/**
 * Forget the fields of a form that is shown anew.
 * @param {Form} form
 */
export function forget(form) {
  for (const key of [...places.keys()]) if (key.startsWith(`${form}.`)) places.delete(key);
}

/**
 * Show words beside the fields of `shown` that they belong to. The words of all with their fields' names, those that
 * belong to none, and the first field that is wrong.
 * @param {Fault[]} rows keys of several forms with their form ahead
 * @param {Form[]} shown
 */
export function showFaults(rows, ...shown) {
  placesOf(...shown).forEach(quiet);
  /** @type {string[]} */
  const left = [];
  const told = rows.map(({ key, words }) => {
    const place = placeOf(shown.length > 1 ? key : `${shown[0]}.${key}`, words);
    if (!place || place.element.hidden) {
      left.push(key ? `${key}: ${words}` : words);
      return left[left.length - 1];
    }
    place.fault.closest("details")?.setAttribute("open", "");
    place.fault.textContent = [place.fault.textContent, words].filter(Boolean).join("; ");
    place.fault.hidden = false;
    place.input.setAttribute("aria-invalid", "true");
    return `${place.label}: ${words}`;
  });
  return { told, left, first: placesOf(...shown).find((place) => !place.fault.hidden)?.input };
}

/**
 * Of a key, of the list that it is an entry of, or of what the words about a table begin with.
 * @param {string} key
 * @param {string} words
 */
const placeOf = (key, words) =>
  places.get(key) ?? places.get(key.replace(/\.\d+$/, "")) ?? places.get(`${key}.${words.split(" ")[0]}`);
