// A rig turned by hand: the keys of its file as fields.

import { state, step } from "./address.js";
import { byId, html } from "./elements.js";
import { alsoInFile, field, forget, forms, group, groupsOf } from "./fields.js";
import { gearPart } from "./usegears.js";

const chosenMechanism = () =>
  Object.keys(state.rig).map((key) => key.match(/^mechanism\.(\w+)\./)?.[1]).find(Boolean) ?? "pump";

/** @param {string} kind */
const keysOf = (kind) => Object.keys(forms.fields.rig).filter((key) => key.startsWith(`mechanism.${kind}.`));

/** Show the fields as the address has them; nothing without a rig. */
export function showRig() {
  const hand = Object.keys(state.rig).length > 0;
  byId("u-hand", HTMLInputElement).checked = hand;
  byId("u-rig").replaceChildren(...(hand ? form() : []));
}

function form() {
  const kind = chosenMechanism();
  const mechanism = html("select", { id: "u-mechanism", onchange: () => setMechanism(mechanism.value) },
    ...Object.entries(forms.mechanisms).map(([name, words]) => html("option", { value: name }, words)));
  mechanism.value = kind;
  return [
    group("Turned through", field("rig", "title"),
      html("div", { class: "field long" }, html("label", { for: "u-mechanism" }, "Mechanism"), mechanism),
      ...keysOf(kind).map((key) => field("rig", key))),
    gearPart("rig", "u-rig-gears", "Gears, from the hand on", showRigAgain),
    ...groupsOf("rig"),
    ...alsoInFile("rig"),
  ];
}

/** @param {string} kind */
function setMechanism(kind) {
  for (const key of Object.keys(state.rig)) if (key.startsWith("mechanism.")) delete state.rig[key];
  for (const key of keysOf(kind)) {
    const { start } = forms.fields.rig[key];
    if (start) state.rig[key] = start;
  }
  step();
  showRigAgain();
  byId("u-mechanism").focus();
}

function showRigAgain() {
  forget("rig");
  showRig();
}
