// A rig turned by hand: the keys of its file as fields.

import { state, step } from "./address.js";
import { byId, html } from "./elements.js";
import { forget, namedByKey, useField } from "./usefields.js";
import { gearPart } from "./usegears.js";

const RETURN = [["return_force_N", "Force of the return spring", "N"], ["take_up_deg", "Idle turn before it drives",
  "°"]];
/** @type {Record<string, [string, any[][]]>} */
const MECHANISMS = {
  crank: ["a crank", [["arm_mm", "Shaft to handle", "mm", "120"]]],
  cord: ["a pulled cord on a drum", [["drum_diameter_mm", "Drum diameter", "mm", "40"], ["cord_diameter_mm",
    "Cord diameter", "mm", "2"], ["stroke_mm", "Cord pulled at a time", "mm", "500"], ["efficiency",
    "Efficiency of cord and drum", "", "0.95"], ...RETURN]],
  pump: ["a handle pushed down a twisted bar", [["lead_mm", "Travel for one turn of the bar", "mm", "40"], [
    "contact_diameter_mm",
    "Where bar and follower touch, diameter",
    "mm",
    "12",
  ], ["stroke_mm", "Stroke of the handle", "mm", "250"], ["friction_coefficient",
    "Friction coefficient of bar and follower", "", "0.15"], ["friction_angle_deg", "or its friction angle", "°"],
    ...RETURN]],
  spin: ["a flick of the fingers", [["radius_mm", "Shaft to fingers", "mm", "40"], ["stroke_mm", "Arc of one flick",
    "mm", "80"]]],
};
/** @type {[string, any[][]][]} */
const GROUPS = [
  ["The hand (left empty: a grown-up's)", [
    ["mover.cadence_per_minute", "Strokes, or turns of a crank, a minute", ""],
    ["mover.push_share", "Share of a stroke's time that drives", ""],
    ["mover.force_N", "Most force", "N"],
    ["mover.top_speed_m_per_s", "Speed at which no force is left", "m/s"],
    ["mover.lasting_power_W", "Lasting power", "W"],
  ]],
  ["Flywheel", [
    ["flywheel.mass_kg", "Mass", "kg"],
    ["flywheel.shape", "Shape", "", "shapes"],
    ["flywheel.outer_diameter_mm", "Outer diameter", "mm"],
    ["flywheel.inner_diameter_mm", "Inner diameter, of a ring", "mm"],
    ["flywheel.material", "Material", "", "materials"],
  ]],
  ["Bearings", [["bearings.kind", "Kind", "", "bearings"], ["bearings.bore_mm", "Bore of the shaft", "mm"], [
    "bearings.seals",
    "Seals",
    "",
    "seals",
  ], ["bearings.seal_torque_Nm", "Or torque of all seals of a shaft", "N m"]]],
  ["To be charged", [["charge.volts", "Least volts of use", "V"], ["charge.capacity_mAh", "Capacity", "mAh"]]],
];

let lists = {};

/** What the lists offer. */
export function offerRigs(choices) {
  lists = choices.rigs;
}

const chosenMechanism = () =>
  Object.keys(state.rig).map((key) => key.match(/^mechanism\.(\w+)\./)?.[1]).find(Boolean) ?? "pump";

/** Show the fields as the address has them; nothing without a rig. */
export function showRig() {
  byId("u-hand", HTMLInputElement).checked = Object.keys(state.rig).length > 0;
  byId("u-rig").replaceChildren(...(byId("u-hand", HTMLInputElement).checked ? form() : []));
}

const group = (name, ...fields) =>
  html("fieldset", {}, html("legend", {}, name), html("div", { class: "fields" }, ...fields));

const field = (/** @type {any[]} */ [key, label, unit, list]) =>
  useField("rig", key, [label, unit], {
    after: step,
    options: list && lists[list].map((name) => [name, name.replaceAll("-", " ") || "as bought"]),
  });

function form() {
  const kind = chosenMechanism();
  const sizes = MECHANISMS[kind]?.[1] ?? [];
  const shown = [...sizes.map(([key, label, unit]) => [`mechanism.${kind}.${key}`, label, unit]),
    ...GROUPS.flatMap(([, fields]) => fields)];
  const known = new Set(["title", ...shown.map(([key]) => key)]);
  const others = Object.keys(state.rig).filter((key) => !known.has(key) && !key.startsWith("gears."));
  const mechanism = html("select", { id: "u-mechanism", onchange: () => setMechanism(mechanism.value) },
    ...Object.entries(MECHANISMS).map(([name, [words]]) => html("option", { value: name }, words)));
  mechanism.value = kind;
  return [
    group("Turned through", useField("rig", "title", ["Name", ""], { text: true, long: true, after: step }),
      html("div", { class: "field long" }, html("label", { for: "u-mechanism" }, "Mechanism"), mechanism),
      ...shown.slice(0, sizes.length).map(field)),
    gearPart("rig", "u-rig-gears", "Gears, from the hand on", showRigAgain),
    ...GROUPS.map(([name, fields]) => group(name, ...fields.map(field))),
    ...(others.length ? [group("Also in its file", ...others.map((key) => field([key, ...namedByKey(key)])))] : []),
  ];
}

function setMechanism(kind) {
  for (const key of Object.keys(state.rig)) if (key.startsWith("mechanism.")) delete state.rig[key];
  for (const [key, , , value] of MECHANISMS[kind][1]) if (value) state.rig[`mechanism.${kind}.${key}`] = value;
  step();
  showRigAgain();
  byId("u-mechanism").focus();
}

function showRigAgain() {
  forget("rig");
  showRig();
}
