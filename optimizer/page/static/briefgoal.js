// The goal of a brief, and the load that some goals are about.

import { state, step } from "./address.js";
import { choice, field, set } from "./brieffields.js";
import { html } from "./elements.js";
import { LOAD_KEYS, usualLoad } from "./loadkeys.js";

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
      setGoal(name, offered);
      step();
      again();
    } });
    radio.checked = goalNow() === name;
    return html("label", { class: "check" }, radio, ` ${words}`);
  });
  return html("fieldset", {}, html("legend", {}, "Goal"), html("div", { class: "ticks" }, ...radios),
    LOADED.includes(goalNow()) ? html("div", { class: "fields" }, ...loadFields(offered, again)) : null);
}

function setGoal(name, offered) {
  set("goal.maximise", name);
  if (name !== "lowest_speed") delete state.brief["goal.load_W"];
  if (!LOADED.includes(name)) {
    for (const key of Object.keys(state.brief)) if (key.startsWith("load.")) delete state.brief[key];
  }
  if (LOADED.includes(name) && !("load.kind" in state.brief)) setLoad("bridge-resistor", offered);
}

function setLoad(kind, offered) {
  for (const key of Object.keys(state.brief)) if (key.startsWith("load.")) delete state.brief[key];
  for (const [key, value] of Object.entries(usualLoad(kind, offered))) state.brief[`load.${key}`] = value;
}

function loadFields(offered, again) {
  const kinds = offered.loads.filter(({ kind }) => kind !== "open").map(({ kind, name }) => [kind, name]);
  const keys = offered.loads.find(({ kind }) => kind === state.brief["load.kind"])?.keys ?? [];
  const given = keys.filter((key) => key in LOAD_KEYS || (key !== "diode" && `load.${key}` in state.brief));
  return [
    choice("load.kind", "Load", kinds, { long: true, chosen: (kind) => {
      setLoad(kind, offered);
      again();
    } }),
    ...given.map((key) => field(`load.${key}`, ...(LOAD_KEYS[key] ?? [key, ""]).slice(0, 2))),
    keys.includes("diode") && !("load.drop_V" in state.brief)
      ? choice("load.diode", "Diodes", offered.diodes.map((name) => [name, name]), { usual: "silicon" })
      : null,
    goalNow() === "lowest_speed" ? field("goal.load_W", "It works from (empty: any)", "W") : null,
  ];
}
