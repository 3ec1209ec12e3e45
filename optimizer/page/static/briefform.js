// The brief as a form: the keys of the brief's file, its magnets, its goal and the load that some goals are about.

import { state, step } from "./address.js";
import { byId, html } from "./elements.js";
import { entries, field, forget, forms, group, keepEntries, loadFields, set, setLoad } from "./fields.js";
import { gradeField, reshape } from "./magnets.js";

const LOADED = ["load_power", "lowest_speed"]; // goals that are about a load

const number = (/** @type {string} */ key, /** @type {number} */ usual) => Number(state.brief[key]) || usual;
const goalNow = () => state.brief["goal.maximise"] ?? "emf_rms";

/** Build the form; called again whenever the brief is replaced, or what it asks for changes. */
export function showBrief() {
  const focused = document.activeElement?.id;
  forget("brief");
  const form = byId("brief");
  form.onsubmit = (event) => event.preventDefault();
  const keys = new Map(forms.groups.brief);
  const fields = (/** @type {string} */ name) =>
    group(name, ...(keys.get(name) ?? []).map((key) => field("brief", key)));
  form.replaceChildren(...["What for", "Space", "Speed", "Carrier"].map(fields), magnets(), spools(), fields("Wire"),
    ...(keys.get("Ticks") ?? []).map((key) => field("brief", key)), ...goal(),
    html("details", {}, html("summary", {}, "Printer and prices, for parts and bill of materials"), fields("Printer"),
      fields("Prices")));
  if (focused) document.getElementById(focused)?.focus();
}

/** The goals to choose from, and the load's fields where one is meant. */
function goal() {
  return [
    field("brief", "goal.maximise", { radios: true, set: (name) => {
      set("brief", "goal.maximise", name, "emf_rms");
      if (name !== "lowest_speed") delete state.brief["goal.load_W"];
      const loaded = LOADED.includes(name);
      if (!loaded || !("load.kind" in state.brief)) setLoad("brief", "load.", loaded ? "bridge-resistor" : "");
      showBrief();
    } }),
    LOADED.includes(goalNow())
      ? group("Its load", ...loadFields("brief", "load.", showBrief),
        goalNow() === "lowest_speed" ? field("brief", "goal.load_W") : null)
      : null,
  ].filter((each) => each !== null);
}

/** The groups of all magnets, and a button for more. */
function magnets() {
  const all = entries("brief", "magnets");
  return html("fieldset", {}, html("legend", {}, "Magnets that can be had"),
    ...all.map((entry) => magnet(entry, all.length > 1)),
    html("button", { type: "button", id: "b-magnet-add", onclick: add }, "Add a magnet"));
}

/** @param {number} entry @param {boolean} removable */
function magnet(entry, removable) {
  const before = `magnets.${entry}.`;
  const sizes = forms.sizes[state.brief[`${before}shape`] ?? "disc"] ?? forms.sizes.disc;
  const shown = (/** @type {string[]} */ ...keys) => keys.map((key) => field("brief", before + key));
  return html("div", { class: "magnet", role: "group", "aria-label": `Magnet ${entry}` },
    html("div", { class: "fields" }, field("brief", `${before}shape`, { set: (to) => {
      const pitch = (number("space.outer_diameter_mm", 100) + number("space.bore_diameter_mm", 20)) / 4;
      const place = { pitch, count: number(`${before}quantity`, 12), wall: number("space.wall_mm", 2) };
      reshape(state.brief, before, to, place);
      showBrief();
    } }), ...shown(...sizes, "thickness_mm"),
      field("brief", `${before}grade`, gradeField("brief", () => state.brief, before, showBrief)),
      ...shown(...(`${before}grade` in state.brief ? [] : ["remanence_T", "pull_N", "recoil_permeability"]),
        "temperature_C", "quantity", "price")), removable
    ? html("button", { type: "button", "aria-label": `Remove magnet ${entry}`,
      onclick: () => remove("magnets", entry) }, "Remove")
    : null);
}

/** The spools at hand, each in one piece, and a button for more. */
function spools() {
  const all = entries("brief", "spools"), name = "Spools at hand";
  const keys = new Map(forms.groups.brief).get(name) ?? [];
  return html("fieldset", {}, html("legend", {}, name),
    ...all.map((entry) =>
      html("div", { class: "magnet", role: "group", "aria-label": `Spool ${entry}` },
        html("div", { class: "fields" }, ...keys.map((key) =>
          field("brief", key.replace("spools.", `spools.${entry}.`))
        )), html("button", { type: "button", "aria-label": `Remove spool ${entry}`, onclick: () =>
          remove("spools", entry) }, "Remove"))
    ), html("button", { type: "button", id: "b-spool-add", onclick: () => {
      const before = `spools.${Math.max(0, ...all) + 1}.`;
      Object.assign(state.brief, { [`${before}diameter_mm`]: "0.3", [`${before}length_m`]: "50" });
      step();
      showBrief();
    } }, "Add a spool"));
}

/** @param {"magnets" | "spools"} table @param {number} entry */
function remove(table, entry) {
  keepEntries("brief", table, entries("brief", table).filter((other) => other !== entry));
  step();
  showBrief();
}

function add() {
  const before = `magnets.${Math.max(0, ...entries("brief", "magnets")) + 1}.`;
  Object.assign(state.brief, { [`${before}shape`]: "disc", [`${before}diameter_mm`]: "10",
    [`${before}thickness_mm`]: "3", [`${before}grade`]: "N42" });
  step();
  showBrief();
}
