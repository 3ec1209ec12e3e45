// A rewound motor beside the design: the keys of its file as fields, and what comes of it.

import { state, step } from "./address.js";
import { table } from "./chart.js";
import { bitesList, byId, html } from "./elements.js";
import { alsoInFile, forget, groupsOf } from "./fields.js";
import { gearPart } from "./usegears.js";

let bundled = {};

/** The tick and the place of the fields. changed: called when the motor comes or goes. */
export function motorPart(motor, changed) {
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
  const groups = groupsOf("motor");
  groups.splice(-1, 0, gearPart("motor", "u-gears", "Gears of its own, from the hand on", showMotor));
  return [...groups, ...alsoInFile("motor")];
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
