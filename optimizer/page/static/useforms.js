// The forms of the panel Use: a load, a rig turned by hand and a motor beside, as their files have them.

import { state, step } from "./address.js";
import { byId, html } from "./elements.js";
import { alsoInFile, entries, field, forget, forms, group, groupsOf, keepEntries, loadFields } from "./fields.js";

/**
 * A tick that brings a rig or a motor, and the place of its form. start: what it begins with; shown: called then.
 * @param {"rig" | "motor"} form
 * @param {string} id
 * @param {string} label
 * @param {Record<string, string>} start
 * @param {() => void} shown
 */
export const tick = (form, id, label, start, shown) => [
  html("label", { class: "check" },
    html("input", { type: "checkbox", id, "aria-controls": `u-${form}`,
      onchange: (/** @type {{target: HTMLInputElement}} */ { target }) => {
        state[form] = target.checked ? { ...start } : {};
        step();
        shown();
      } }), ` ${label}`),
  html("div", { id: `u-${form}` }),
];

/**
 * Show the fields as the address has them.
 * @param {() => void} again shows the whole panel anew
 */
export function showForms(again) {
  forget("load");
  byId("u-load").replaceChildren(...loadFields("load", "", again));
  showRig();
  showMotor();
}

const showRig = () => show("rig", "u-hand", rigFields);
const showMotor = () => show("motor", "u-beside", motorFields);

/** @param {"rig" | "motor"} form @param {string} tick @param {() => HTMLElement[]} fields */
function show(form, tick, fields) {
  const chosen = Object.keys(state[form]).length > 0;
  byId(tick, HTMLInputElement).checked = chosen;
  forget(form);
  byId(`u-${form}`).replaceChildren(...(chosen ? [...fields(), ...alsoInFile(form)] : []));
}

/** @param {string} kind */
const mechanismKeys = (kind) => Object.keys(forms.fields.rig).filter((key) => key.startsWith(`mechanism.${kind}.`));

function rigFields() {
  const kind = Object.keys(state.rig).map((key) => key.match(/^mechanism\.(\w+)\./)?.[1]).find(Boolean) ?? "pump";
  const options = Object.entries(forms.mechanisms);
  return [
    group("Turned through", field("rig", "title"),
      field("rig", "mechanism", { label: "Mechanism", options, long: true, empty: kind, set: setMechanism }),
      ...mechanismKeys(kind).map((key) => field("rig", key))),
    gears("rig", "u-rig-gears", "Gears, from the hand on", showRig),
    ...groupsOf("rig"),
  ];
}

function motorFields() {
  const groups = groupsOf("motor");
  groups.splice(-1, 0, gears("motor", "u-gears", "Gears of its own, from the hand on", showMotor));
  return groups;
}

/** @param {string} kind */
function setMechanism(kind) {
  for (const key of Object.keys(state.rig)) if (key.startsWith("mechanism.")) delete state.rig[key];
  for (const key of mechanismKeys(kind)) {
    const { start } = forms.fields.rig[key];
    if (start) state.rig[key] = start;
  }
  showRig();
  byId("u-rig-mechanism").focus();
}

/**
 * Pairs of gears, `gears.1.…`, `gears.2.…` of a file, with their buttons.
 * @param {"rig" | "motor"} form
 * @param {string} id of the box, a plural, whose singular is the button's
 * @param {string} legend
 * @param {() => void} again shows the form anew
 */
function gears(form, id, legend, again) {
  const button = id.slice(0, -1);
  const keys = Object.keys(forms.fields[form]).filter((key) => key.startsWith("gears."));
  const shown = () => {
    step();
    again();
    byId(button).focus();
    byId(button).dispatchEvent(new Event("input", { bubbles: true }));
  };
  const remove = (/** @type {number} */ number) => {
    keepEntries(form, "gears", entries(form, "gears").filter((other) => other !== number));
    shown();
  };
  const add = () => {
    const before = `gears.${entries(form, "gears").length + 1}`;
    for (const key of keys) state[form][key.replace("gears", before)] = forms.fields[form][key].start ?? "";
    shown();
  };
  const pairs = entries(form, "gears").map((number) =>
    html("div", { class: "pair", role: "group", "aria-label": `Pair of gears ${number}` },
      html("div", { class: "fields" }, ...keys.map((key) => field(form, key.replace("gears", `gears.${number}`)))),
      html("button", { type: "button", "aria-label": `Remove pair of gears ${number}`, onclick: () => remove(number) },
        "Remove"))
  );
  return html("fieldset", { id, class: "gears" }, html("legend", {}, legend), ...pairs,
    html("button", { type: "button", id: button, onclick: add }, "Add a pair of gears"));
}
