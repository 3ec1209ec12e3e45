// A rewound motor beside the design: the keys of its file as fields, and what comes of it.

import { state, step } from "./address.js";
import { table } from "./chart.js";
import { bitesList, byId, html } from "./elements.js";
import { forget, namedByKey, useField } from "./usefields.js";
import { gearPart } from "./usegears.js";

/** @type {[string, any[][]][]} */
const FIELDS = [
  ["The motor as found", [
    ["title", "Name", "", { long: true, text: true }],
    ["motor.coils", "Coils (poles of the armature)", ""],
    ["motor.turns", "Turns of one coil", ""],
    ["motor.wire_diameter_mm", "Its wire, bare copper", "mm"],
    ["motor.mean_turn_mm", "Length of one turn", "mm"],
    ["motor.volts", "Read between the brushes, direct", "V"],
    ["motor.rpm", "when turned at", "rpm"],
    ["motor.magnet_arc_deg", "Arc of one magnet", "°"],
    ["motor.no_load_A", "Current when it runs free", "A"],
    ["motor.mass_g", "Mass", "g"],
  ]],
  ["Also measured, or in place of the above", [
    ["motor.resistance_ohm", "Resistance between the brushes", "Ω"],
    ["motor.speed_constant_rpm_per_V", "Speed constant, rpm per V", ""],
    ["motor.brushes_ohm", "of it in brushes and leads", "Ω"],
    ["motor.slot_area_mm2", "Area of one slot", "mm²"],
    ["motor.inductance_mH", "Inductance between the brushes", "mH"],
  ]],
  ["What to wind", [
    ["rewind.wires_mm", "Wires at hand, bare copper, mm", "", { long: true, text: true }],
    ["rewind.turns", "Turns wanted (empty: all that fit)", ""],
    ["rewind.enamel_grade", "Grade of the enamel", ""],
    ["rewind.fill_factor", "Fill factor of a slot", ""],
    ["rewind.room_ratio", "Room, of that of the old wire", ""],
  ]],
  ["Who turns it", [["turning.shaft_rpm", "Shaft", "rpm"], ["turning.body_rpm", "Body", "rpm"]]],
];
const PRICES = [["prices.currency", "Currency", "", { text: true }], ["prices.wire_per_m", "Wire, a metre", ""], [
  "prices.wire_per_kg",
  "Wire, a kilogram",
  "",
]];
const OWN_LOAD = "rewind.load_ohm"; // stays in the file; the panel's load takes its place

let outputs = {};
let diodes = [];
let bundled = {};

/** The tick and the place of the fields. changed: called when the motor comes or goes. */
export function motorPart(choices, motor, changed) {
  ({ outputs, diodes } = choices);
  bundled = motor;
  return [
    html("label", { class: "check" },
      html("input", { type: "checkbox", id: "u-beside", "aria-controls": "u-motor", onchange: (event) => {
        state.motor = event.target.checked ? { ...bundled } : {};
        step();
        changed();
      } }), " a rewound motor beside it"),
    html("div", { id: "u-motor" }),
  ];
}

/** Show the fields as the address has them. */
export function showMotor() {
  const chosen = Object.keys(state.motor).length > 0;
  byId("u-beside", HTMLInputElement).checked = chosen;
  forget("motor");
  byId("u-motor").replaceChildren(...(chosen ? form() : []));
}

function form() {
  const groups = FIELDS.map(([name, fields]) => group(name, ...fields.map(field)));
  groups[2].querySelector(".fields")?.append(
    field(["rewind.output", "Tapped through", "", { long: true, usual: "commutator",
      options: Object.entries(outputs).map(([name, words]) => [name, `${name}: ${words}`]) }]),
    field(["rewind.diode", "Its six diodes", "", { usual: "silicon", options: diodes.map((name) => [name, name]) }]),
  );
  return [...groups, gearPart("motor", "u-gears", "Gears of its own, from the hand on", showMotor),
    group("Prices, for the cost of the wire", ...PRICES.map(field)), ...others()];
}

const group = (name, ...fields) =>
  html("fieldset", {}, html("legend", {}, name), html("div", { class: "fields" }, ...fields));

const field = (/** @type {any[]} */ [key, label, unit, more]) =>
  useField("motor", key, [label, unit], { ...more, after: step });

/** What a file may hold beyond the fields above. */
function others() {
  const shown = new Set(
    [...FIELDS.flatMap(([, fields]) => fields), ...PRICES].map(([key]) => key).concat("rewind.output", "rewind.diode"),
  );
  const left = Object.keys(state.motor).filter((key) => !shown.has(key) && !key.startsWith("gears."));
  if (!left.length) return [];
  return [
    group("Also in its file",
      ...left.map((key) =>
        field([key, ...(key === OWN_LOAD ? ["A load of its own (the one above counts)", "Ω"] : namedByKey(key))])
      )),
  ];
}

/** What the server says of the motor, by itself and beside the design. */
export function motorAnswer({ title, cautions, headline, speed, picked, wires, taps, notes, beside }) {
  const lines = wires.rows.map((row,
    at) => (at === wires.mark ? [html("b", {}, `${row[0]} ◄ picked`), ...row.slice(1)] : row)
  );
  return [
    html("h3", {}, `${title}, rewound for this load`),
    bitesList(cautions) ?? "",
    html("p", {}, headline),
    html("h4", {}, `The wire picked, at ${speed}`),
    rows(picked),
    html("h4", {}, "The old coils, and every wire that fits"),
    table(wires.heads, lines),
    html("details", {}, html("summary", {}, "Other ways to tap it, and what carries these figures"),
      table(taps.heads, taps.rows), html("ul", { class: "limits" }, ...notes.map((words) => html("li", {}, words)))),
    html("h3", {}, "Side by side"),
    bitesList(beside.cautions) ?? "",
    html("p", {}, html("strong", {}, beside.headline)),
    html("p", {}, `Both ${beside.condition}.`),
    table(beside.heads, beside.rows),
    html("h4", {}, "What each is good for"),
    html("dl", { class: "good" },
      ...beside.good_for.flatMap(({ name, words }) => [html("dt", {}, name), html("dd", {}, words)])),
  ];
}

/** Figures with their names and remarks. */
export function rows(found) {
  return html("dl", { class: "figures" },
    ...found.map((row) =>
      html("div", {}, html("dt", {}, row.name),
        html("dd", {}, html("b", {}, row.value), " ", html("small", {}, row.remark)))
    ));
}
