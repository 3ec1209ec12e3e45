// The goal of a brief, and the load that some goals are about.

import { state, step } from "./address.js";
import { html } from "./elements.js";
import { field, forms, set, usualLoad } from "./fields.js";

const GOALS = {
  emf_rms: "highest voltage",
  power: "most power into a matched load",
  load_power: "most power into a load of mine",
  lowest_speed: "lowest speed at which my load works",
};
const LOADED = ["load_power", "lowest_speed"];

const goalNow = () => state.brief["goal.maximise"] ?? "emf_rms";

/** The goals to choose from, and the load's fields where one is meant. again(): build the form anew. */
export function goalGroup(offered, again) {
  const radios = Object.entries(GOALS).filter(([name]) => offered.goals.includes(name)).map(([name, words]) => {
    const radio = html("input", { type: "radio", name: "goal", id: `b-goal-${name}`, value: name, onchange: () => {
      setGoal(name);
      step();
      again();
    } });
    radio.checked = goalNow() === name;
    return html("label", { class: "check" }, radio, ` ${words}`);
  });
  return html("fieldset", {}, html("legend", {}, "Goal"), html("div", { class: "ticks" }, ...radios),
    LOADED.includes(goalNow()) ? html("div", { class: "fields" }, ...loadFields(again)) : null);
}

function setGoal(name) {
  set("brief", "goal.maximise", name);
  if (name !== "lowest_speed") delete state.brief["goal.load_W"];
  if (!LOADED.includes(name)) {
    for (const key of Object.keys(state.brief)) if (key.startsWith("load.")) delete state.brief[key];
  }
  if (LOADED.includes(name) && !("load.kind" in state.brief)) setLoad("bridge-resistor");
}

function setLoad(kind) {
  for (const key of Object.keys(state.brief)) if (key.startsWith("load.")) delete state.brief[key];
  for (const [key, value] of Object.entries(usualLoad(kind))) state.brief[`load.${key}`] = value;
}

function loadFields(again) {
  const kinds = forms.loads.filter(({ kind }) => kind !== "open").map(({ kind, name }) => [kind, name]);
  const dropped = "load.drop_V" in state.brief;
  const keys = forms.loads.find(({ kind }) => kind === state.brief["load.kind"])?.keys ?? [];
  const shown = keys.filter((key) => key !== (dropped ? "diode" : "drop_V"));
  return [
    field("brief", "load.kind", { options: /** @type {[string, string][]} */ (kinds), long: true, chosen: (kind) => {
      setLoad(kind);
      again();
    } }),
    ...shown.map((key) => field("brief", `load.${key}`, key === "diode" ? { usual: "silicon" } : {})),
    goalNow() === "lowest_speed" ? field("brief", "goal.load_W") : null,
  ];
}
