// Use: what the machine does with a load behind a rectifier, turned by hand over time, and beside a rewound motor.

import { state, step } from "./address.js";
import { chart } from "./chart.js";
import { bitesList, byId, html } from "./elements.js";
import { field, forget, forms, showFieldFaults, usualLoad } from "./fields.js";
import { ask, Faults, fetched } from "./server.js";
import { fileButtons } from "./take.js";
import { motorAnswer, motorPart, rows, showMotor } from "./usemotor.js";
import { showRig } from "./userig.js";

const FILES = { load: [["load.toml", "Load file", "opens here and on the command line"]],
  rig: [["rig.toml", "Rig file", "opens here and on the command line"]], motor: [
    ["motor.toml", "Motor file", "opens here and on the command line"],
    ["rewind.html", "The rewinding", "page, works offline"],
    ["rewind.json", "The rewinding", "JSON, all figures"],
    ["sweep.csv", "Every wire that fits", "for a spreadsheet"],
    ["compare.html", "Side by side", "page, works offline"],
    ["compare.json", "Side by side", "JSON, all figures"],
    ["compare.csv", "Side by side", "for a spreadsheet"],
  ] };

let rigStart = {};
let round = 0;
let edits = 0;

/** Build the panel. */
export function buildUse(rig, motor) {
  rigStart = rig;
  const kind = html("select", { id: "u-kind", onchange: () => {
    state.load = usualLoad(kind.value);
    step();
    showUse();
  } },
    ...forms.loads.filter((load) => load.kind !== "open").map((load) =>
      html("option", { value: load.kind }, load.name)
    ));
  const values = html("div", { oninput: edited },
    html("div", { class: "control plain" }, html("label", { for: "u-kind" }, "Load"), kind),
    html("div", { id: "u-load", class: "fields" }),
    html("label", { class: "check" }, html("input", { type: "checkbox", id: "u-hand", onchange: (event) => {
      state.rig = event.target.checked ? { ...rigStart } : {};
      step();
      showUse();
    } }), " turned by hand through a rig"), html("div", { id: "u-rig" }), ...motorPart(motor, showUse));
  byId("using").replaceChildren(values,
    html("div", { class: "row" }, html("button", { type: "button", id: "u-go", onclick: run }, "See what it does")),
    html("p", { id: "u-words", role: "status" }), html("div", { id: "u-answer" }));
}

/** Show the panel as the address has it; what was worked out for another design goes. */
export function showUse() {
  round += 1;
  if (!state.load.kind) state.load = usualLoad("bridge-resistor");
  byId("u-kind", HTMLSelectElement).value = state.load.kind;
  forget("load");
  forget("rig");
  const known = forms.loads.find(({ kind }) => kind === state.load.kind)?.keys ?? [];
  const shown = known.filter((key) => key !== ("drop_V" in state.load ? "diode" : "drop_V"));
  byId("u-load").replaceChildren(...shown.map((key) => field("load", key)));
  showRig();
  showMotor();
  byId("u-answer").replaceChildren();
  tell("");
}

function tell(words, wrong = false) {
  byId("u-words").className = wrong ? "fault lines" : "";
  byId("u-words").textContent = words;
}

/** A value changed: say so of an answer that stands below. */
function edited() {
  edits += 1;
  if (byId("u-answer").firstChild) tell("The values above have changed since this was worked out.");
}

const asked = () => ({
  design: state.design,
  rig: state.rig,
  motor: state.motor,
  load: Object.fromEntries(Object.entries(state.load).map(([key, value]) => [`load.${key}`, value])),
});

async function run() {
  const mine = { round, edits };
  tell("Working it out …");
  byId("u-go", HTMLButtonElement).disabled = true;
  let focused = false;
  try {
    const answer = await ask("/simulate", asked());
    if (mine.round !== round) return;
    showFieldFaults([]);
    show(answer);
    tell("Done.");
    if (mine.edits !== edits) edited();
  } catch (error) {
    if (!(error instanceof Faults)) throw error;
    if (mine.round !== round) return;
    byId("u-answer").replaceChildren();
    const { told, first } = showFieldFaults(error.rows);
    tell(told.join("\n"), true);
    first?.focus();
    focused = Boolean(first);
  } finally {
    byId("u-go", HTMLButtonElement).disabled = false;
    if (!focused && document.activeElement === document.body) byId("u-go").focus();
  }
}

function show({ load, rig, motor }) {
  const files = [...FILES.load, ...(rig ? FILES.rig : []), ...(motor ? FILES.motor : [])];
  byId("u-answer").replaceChildren(
    html("h3", {}, load.title[0].toUpperCase() + load.title.slice(1)),
    bitesList(load.cautions) ?? "",
    rows(load.rows),
    html("p", {}, load.best),
    ...load.notes.map((text) => html("p", {}, text)),
    html("div", { class: "charts" },
      chart(load.by_speed, { title: "Power of the load against speed", x: "speed, rpm", y: "W", joined: true })),
    ...(rig
      ? [html("h3", {}, rig.title), bitesList(rig.cautions) ?? "", html("p", {}, html("strong", {}, rig.headline)),
        html("ul", { class: "limits" }, ...rig.findings.map((text) => html("li", {}, text))),
        html("div", { class: "charts" },
          chart(rig.volts, { title: "Voltage over time", x: "time, s", y: "V direct", joined: true, bare: true }),
          chart(rig.rpm, { title: "Speed over time", x: "time, s", y: "rpm", joined: true, bare: true }))]
      : []),
    ...(motor ? motorAnswer(motor) : []),
    html("h4", {}, "Take these figures, and what they come from"),
    fileButtons(files, (name) => fetched("/download_simulated", { name, ...asked() }), "u-take-words"),
    html("p", { id: "u-take-words", role: "status" }),
  );
}
