// Use: what the machine does with a load behind a rectifier, turned by hand over time, and beside a rewound motor.

import { state } from "./address.js";
import { chart, figureRows, table } from "./chart.js";
import { bitesList, byId, html } from "./elements.js";
import { setLoad, showFaults } from "./fields.js";
import { ask, Faults, fetched } from "./server.js";
import { fileButtons } from "./take.js";
import { showForms, tick } from "./useforms.js";

/** @type {Record<string, import("./take.js").File[]>} */
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

let round = 0;
let edits = 0;

/**
 * Build the panel.
 * @param {Record<string, string>} rig to start from
 * @param {Record<string, string>} motor likewise
 */
export function buildUse(rig, motor) {
  byId("using").replaceChildren(
    html("div", { oninput: changed }, html("div", { id: "u-load", class: "fields" }),
      ...tick("rig", "u-hand", "turned by hand through a rig", rig, showUse),
      ...tick("motor", "u-beside", "a rewound motor beside it", motor, showUse)),
    html("div", { class: "row" }, html("button", { type: "button", id: "u-go", onclick: run }, "See what it does")),
    html("p", { id: "u-words", role: "status" }),
    html("div", { id: "u-answer" }),
  );
}

/** Show the panel as the address has it; what was worked out for another design goes. */
export function showUse() {
  round += 1;
  if (!state.load.kind) setLoad("load", "", "bridge-resistor");
  showForms(showUse);
  byId("u-answer").replaceChildren();
  tell("");
}

/** @param {string} words @param {boolean} [wrong] */
function tell(words, wrong = false) {
  byId("u-words").className = wrong ? "fault lines" : "";
  byId("u-words").textContent = words;
}

/** A value changed: say so of an answer that stands below. */
function changed() {
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
    showFaults([], "load", "rig", "motor");
    show(answer);
    tell("Done.");
    if (mine.edits !== edits) changed();
  } catch (error) {
    if (!(error instanceof Faults)) throw error;
    if (mine.round !== round) return;
    byId("u-answer").replaceChildren();
    const { told, first } = showFaults(error.rows, "load", "rig", "motor");
    tell(told.join("\n"), true);
    first?.focus();
    focused = Boolean(first);
  } finally {
    byId("u-go", HTMLButtonElement).disabled = false;
    if (!focused && document.activeElement === document.body) byId("u-go").focus();
  }
}

const figures = (/** @type {import("./chart.js").Row[]} */ rows) =>
  html("dl", { class: "figures" }, ...figureRows(rows));
const list = (/** @type {string[]} */ texts) =>
  html("ul", { class: "limits" }, ...texts.map((text) => html("li", {}, text)));

/** @param {any} answer of the server */
function show({ load, rig, motor }) {
  const files = [...FILES.load, ...(rig ? FILES.rig : []), ...(motor ? FILES.motor : [])];
  byId("u-answer").replaceChildren(
    html("h3", {}, load.title[0].toUpperCase() + load.title.slice(1)),
    bitesList(load.cautions) ?? "",
    figures(load.rows),
    html("p", {}, load.best),
    ...load.notes.map((/** @type {string} */ text) => html("p", {}, text)),
    html("div", { class: "charts" },
      chart(load.by_speed, { title: "Power of the load against speed", x: "speed, rpm", y: "W", joined: true })),
    ...(rig ? rigAnswer(rig) : []),
    ...(motor ? motorAnswer(motor) : []),
    html("h4", {}, "Take these figures, and what they come from"),
    fileButtons(files, (name) => fetched("/download_simulated", { name, ...asked() }), "u-take-words"),
    html("p", { id: "u-take-words", role: "status" }),
  );
}

/** @param {any} rig what the server says of a run */
const rigAnswer = (rig) => [
  html("h3", {}, rig.title),
  bitesList(rig.cautions) ?? "",
  html("p", {}, html("strong", {}, rig.headline)),
  list(rig.findings),
  html("div", { class: "charts" },
    chart(rig.volts, { title: "Voltage over time", x: "time, s", y: "V direct", joined: true, bare: true }),
    chart(rig.rpm, { title: "Speed over time", x: "time, s", y: "rpm", joined: true, bare: true })),
];

/** @param {any} motor what the server says of it, by itself and beside the design */
function motorAnswer({ title, cautions, headline, speed, picked, wires, taps, notes, beside }) {
  const lines = wires.rows.map((/** @type {string[]} */ row, /** @type {number} */ at) =>
    at === wires.mark ? [html("b", {}, `${row[0]} ◄ picked`), ...row.slice(1)] : row
  );
  return [
    html("h3", {}, `${title}, rewound for this load`),
    bitesList(cautions) ?? "",
    html("p", {}, headline),
    html("h4", {}, `The wire picked, at ${speed}`),
    figures(picked),
    html("h4", {}, "The old coils, and every wire that fits"),
    table(wires.heads, lines),
    html("details", {}, html("summary", {}, "Other ways to tap it, and what carries these figures"),
      table(taps.heads, taps.rows), list(notes)),
    html("h3", {}, "Side by side"),
    bitesList(beside.cautions) ?? "",
    html("p", {}, html("strong", {}, beside.headline)),
    html("p", {}, `Both ${beside.condition}.`),
    table(beside.heads, beside.rows),
    html("h4", {}, "What each is good for"),
    html("dl", { class: "good" },
      ...beside.good_for.flatMap((/** @type {{name: string, words: string}} */ { name, words }) => [
        html("dt", {}, name),
        html("dd", {}, words),
      ])),
  ];
}
