// Pairs of gears of a motor or a rig, from the hand on: `gears.1.…`, `gears.2.…` of its file.

import { state, step } from "./address.js";
import { byId, html } from "./elements.js";
import { entries, field, forms, keepEntries } from "./fields.js";

/**
 * The pairs of a form with their buttons.
 * @param {"rig" | "motor"} form
 * @param {string} id of the box, a plural, whose singular is the button's
 * @param {string} legend
 * @param {() => void} again shows the panel's part anew
 */
export function gearPart(form, id, legend, again) {
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
