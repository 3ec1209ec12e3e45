// The magnets of a brief: a group of fields for each kind that can be had.

import { state, step } from "./address.js";
import { html } from "./elements.js";
import { entries, field, fieldOf, keepEntries, set } from "./fields.js";
import { reshaper, SIZES } from "./magnets.js";

const NO_GRADE = "none";
const reshapers = new Map();

const all = () => entries("brief", "magnets");
const number = (key, usual) => Number(state.brief[key]) || usual;

/** The groups of all magnets, and a button for more. again(): build the form anew. */
export function magnetGroups(offered, again) {
  return html("fieldset", {}, html("legend", {}, "Magnets that can be had"),
    ...all().map((entry) => magnet(entry, offered, all().length > 1, again)),
    html("button", { type: "button", id: "b-magnet-add", onclick: () => add(again) }, "Add a magnet"));
}

function magnet(entry, offered, removable, again) {
  const before = `magnets.${entry}.`;
  const shape = state.brief[`${before}shape`] ?? "disc";
  const sizes = offered.magnets[shape] ?? offered.magnets.disc;
  const graded = state.brief[`${before}remanence_T`] === undefined;
  const shapes = field("brief", `${before}shape`, { chosen: (to) => {
    reshape(entry, to, offered);
    again();
  } });
  const grades = field("brief", `${before}grade`, {
    usual: graded ? "" : NO_GRADE,
    options: [...(fieldOf("brief", "magnets.grade").options ?? []), [NO_GRADE, "by remanence"]],
    chosen: (grade) => {
      regrade(before, grade, offered);
      again();
    },
  });
  const given = (/** @type {string} */ key) => (before + key in state.brief ? field("brief", before + key) : null);
  return html("div", { class: "magnet", role: "group", "aria-label": `Magnet ${entry}` },
    html("div", { class: "fields" }, shapes, ...[...sizes, "thickness_mm"].map((key) => field("brief", before + key)),
      grades, given("remanence_T"), given("recoil_permeability"), field("brief", `${before}temperature_C`),
      field("brief", `${before}quantity`)), removable
    ? html("button", { type: "button", "aria-label": `Remove magnet ${entry}`, onclick: () => remove(entry, again) },
      "Remove")
    : null);
}

function reshape(entry, to, offered) {
  const before = `magnets.${entry}.`;
  const from = state.brief[`${before}shape`] ?? "disc";
  if (!reshapers.has(entry)) reshapers.set(entry, reshaper());
  const keys = Object.keys(SIZES).filter((key) => before + key in state.brief);
  const pitch = (number("space.outer_diameter_mm", 100) + number("space.bore_diameter_mm", 20)) / 4;
  const place = { pitch, count: number(`${before}quantity`, 12), wall: number("space.wall_mm", 2) };
  const sizes = reshapers.get(entry)(from, to, Object.fromEntries(keys.map((key) => [key, state.brief[before + key]])),
    place);
  for (const key of keys) delete state.brief[before + key];
  state.brief[`${before}shape`] = to;
  for (const key of offered.magnets[to]) state.brief[before + key] = sizes[key];
}

function regrade(before, grade, offered) {
  const [remanence, recoil] = offered.remanences[state.brief[`${before}grade`]] ?? [1.2, 1.05];
  if (grade === NO_GRADE) {
    delete state.brief[`${before}grade`];
    state.brief[`${before}remanence_T`] = String(remanence);
    state.brief[`${before}recoil_permeability`] ??= String(recoil);
  } else {
    if (`${before}remanence_T` in state.brief) {
      for (const key of ["remanence_T", "recoil_permeability"]) delete state.brief[before + key];
    }
    set("brief", `${before}grade`, grade);
  }
}

function add(again) {
  const before = `magnets.${Math.max(0, ...all()) + 1}.`;
  Object.assign(state.brief, { [`${before}shape`]: "disc", [`${before}diameter_mm`]: "10",
    [`${before}thickness_mm`]: "3", [`${before}grade`]: "N42" });
  step();
  again();
}

function remove(entry, again) {
  reshapers.clear();
  keepEntries("brief", "magnets", all().filter((other) => other !== entry));
  step();
  again();
}
