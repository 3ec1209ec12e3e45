// Use: what the machine does with a load behind a rectifier, and turned by hand over time.

import { byId, html } from "./elements.js";
import { note, state } from "./address.js";
import { ask, Faults } from "./server.js";
import { chart } from "./chart.js";

const LABELS = {
  resistance_ohm: ["Resistance", "Ω", "20"], capacitance_uF: ["Capacitance", "µF", "1000"], voltage_V: ["Voltage", "V", "5"],
  internal_ohm: ["Internal resistance", "Ω", "0.1"], least_input_V: ["Input, at least", "V", "4"], efficiency: ["Efficiency", "", "0.85"],
  output_V: ["Output", "V", "5"], most_W: ["Power, at most", "W", "10"],
};
const UNITS = { mm: "mm", N: "N", Nm: "N m", kg: "kg", minute: "/min", deg: "°", mAh: "mAh", V: "V", W: "W", J: "J", s: "s", rpm: "rpm" };

let offered = null;
let rigStart = {};

/** Build the panel. */
export function buildUse(choices, rig) {
  offered = choices;
  rigStart = rig;
  const kind = html("select", { id: "u-kind", onchange: () => { setKind(kind.value); note(); showUse(); } },
    ...offered.loads.filter((load) => load.kind !== "open").map((load) => html("option", { value: load.kind }, load.name)));
  byId("using").replaceChildren(
    html("div", { class: "control plain" }, html("label", { for: "u-kind" }, "Load"), kind),
    html("div", { id: "u-load", class: "fields" }),
    html("label", { class: "check" }, html("input", { type: "checkbox", id: "u-hand", onchange: (event) => {
      state.rig = event.target.checked ? { ...rigStart } : {};
      note();
      showUse();
    } }), " turned by hand through a rig"),
    html("div", { id: "u-rig", class: "fields" }),
    html("div", { class: "row" }, html("button", { type: "button", id: "u-go", onclick: run }, "See what it does")),
    html("p", { id: "u-words", role: "status" }),
    html("div", { id: "u-answer" }));
}

function setKind(kind) {
  const keys = offered.loads.find((load) => load.kind === kind)?.keys ?? [];
  state.load = { kind };
  for (const key of keys) if (LABELS[key] && (key !== "internal_ohm")) state.load[key] = LABELS[key][2];
  if (keys.includes("diode")) state.load.diode = "schottky";
}

/** Show the panel as the address has it; what was worked out for another design goes. */
export function showUse() {
  if (!state.load.kind) setKind("bridge-resistor");
  byId("u-kind").value = state.load.kind;
  byId("u-hand").checked = Object.keys(state.rig).length > 0;
  const keys = Object.keys(state.load).filter((key) => key !== "kind");
  byId("u-load").replaceChildren(...keys.map((key) => (key === "diode" ? diode() : field(state.load, key, LABELS[key]?.[0] ?? key, LABELS[key]?.[1] ?? "", "load"))));
  byId("u-rig").replaceChildren(...Object.keys(state.rig).map((key) => field(state.rig, key, ...named(key), "rig")));
  byId("u-answer").replaceChildren();
  byId("u-words").textContent = "";
}

function named(key) {
  const last = key.split(".").slice(-2).join(": ").replace("mechanism: ", "");
  const unit = last.match(/_([A-Za-z]+)$/)?.[1];
  const known = unit in UNITS;
  const words = (known ? last.slice(0, -unit.length - 1) : last).replaceAll("_", " ").replace(/ per$/, "");
  return [words[0].toUpperCase() + words.slice(1), known ? UNITS[unit] : ""];
}

function field(values, key, label, unit, group) {
  const id = `u-${group}-${key.replaceAll(".", "-")}`;
  const input = html("input", { type: "text", id, oninput: () => { values[key] = input.value.trim(); }, onchange: note });
  input.value = values[key];
  return html("div", { class: "field" }, html("label", { for: id }, label), input, html("span", { class: "unit" }, unit));
}

function diode() {
  const list = html("select", { id: "u-load-diode", onchange: () => { state.load.diode = list.value; note(); } },
    ...offered.diodes.map((name) => html("option", { value: name }, name)));
  list.value = state.load.diode;
  return html("div", { class: "field" }, html("label", { for: "u-load-diode" }, "Diodes"), list);
}

async function run() {
  const words = byId("u-words");
  words.className = "";
  words.textContent = "Working it out …";
  byId("u-go").disabled = true;
  try {
    const load = Object.fromEntries(Object.entries(state.load).map(([key, value]) => [`load.${key}`, value]));
    show(await ask("/use", { design: state.design, load, rig: state.rig }));
    words.textContent = "Done.";
  } catch (error) {
    if (!(error instanceof Faults)) throw error;
    words.className = "fault";
    words.textContent = error.message;
  } finally {
    byId("u-go").disabled = false;
    byId("u-go").focus();
  }
}

function show({ load, rig }) {
  const rows = load.rows.map((row) => html("div", {}, html("dt", {}, row.name), html("dd", {}, html("b", {}, row.value), " ", html("small", {}, row.remark))));
  byId("u-answer").replaceChildren(
    html("h3", {}, load.title[0].toUpperCase() + load.title.slice(1)), html("dl", { class: "figures" }, ...rows), html("p", {}, load.best),
    html("div", { class: "charts" }, chart(load.by_speed, { title: "Power of the load against speed", x: "speed, rpm", y: "W", joined: true })),
    ...(rig ? [html("h3", {}, rig.title), html("p", {}, html("strong", {}, rig.headline)), html("ul", { class: "limits" }, ...rig.findings.map((text) => html("li", {}, text))),
      html("div", { class: "charts" },
        chart(rig.volts, { title: "Voltage over time", x: "time, s", y: "V direct", joined: true, bare: true }),
        chart(rig.rpm, { title: "Speed over time", x: "time, s", y: "rpm", joined: true, bare: true }))] : []));
}
