// Pairs of gears of a motor or a rig, from the hand on: `gears.1.…`, `gears.2.…` of its file.

import { state, step } from "./address.js";
import { byId, html } from "./elements.js";
import { useField } from "./usefields.js";

const GEAR = [["driver_teeth", "Teeth of the driver", ""], ["driven_teeth", "Teeth of the driven", ""], ["efficiency",
  "Efficiency", ""]];
const NEW = { driver_teeth: "60", driven_teeth: "12", efficiency: "0.97" };

const pairs = (name) =>
  [...new Set(Object.keys(state[name]).map((key) => key.match(/^gears\.(\d+)\./)?.[1]).filter(Boolean))].map(Number)
    .sort((a, b) => a - b);

/** The pairs of `state[name]` with their buttons. id: of the box, a plural, whose singular is the button's; again(): show the panel's part anew. */
export function gearPart(name, id, legend, again) {
  const button = id.slice(0, -1);
  const set = (wanted) => {
    setPairs(name, wanted);
    again();
    byId(button).focus();
    byId(button).dispatchEvent(new Event("input", { bubbles: true }));
  };
  const box = html("fieldset", { id, class: "gears" }, html("legend", {}, legend));
  for (const number of pairs(name)) {
    box.append(
      html("div", { class: "pair", role: "group", "aria-label": `Pair of gears ${number}` },
        html("div", { class: "fields" }, ...GEAR.map(([key, label, unit]) =>
          useField(name, `gears.${number}.${key}`, [label, unit], { after: step })
        )), html("button", { type: "button", "aria-label": `Remove pair of gears ${number}`, onclick: () =>
          set(pairs(name).filter((other) =>
            other !== number
          )) }, "Remove")),
    );
  }
  box.append(
    html("button", { type: "button", id: button, onclick: () => set([...pairs(name), 0]) }, "Add a pair of gears"),
  );
  return box;
}

/** Keep the pairs numbered in `wanted`, counted anew from 1; 0 stands for a new one. */
function setPairs(name, wanted) {
  const values = state[name];
  const old = { ...values };
  for (const key of Object.keys(old)) if (key.startsWith("gears.")) delete values[key];
  wanted.forEach((number, at) => {
    const before = `gears.${at + 1}.`;
    if (number === 0) { for (const [key, value] of Object.entries(NEW)) values[before + key] = value; }
    for (const [key, value] of Object.entries(old)) {
      if (key.startsWith(`gears.${number}.`)) values[before + key.split(".").at(-1)] = value;
    }
  });
  step();
}
