// The page: the state is shown, changes go to the server, what comes back is drawn.

import { begin, canRedo, canUndo, note, onReplaced, redo, replace, state, step, undo } from "./address.js";
import { showBrief } from "./briefform.js";
import { chart, figureRows, moveDot, showWaveform } from "./chart.js";
import { buildDesign, showDesign } from "./designform.js";
import { letTurn, placeWords, showDrawing, turn } from "./drawing.js";
import { bitesList, byId, html } from "./elements.js";
import { forms, showFaults, showFields } from "./fields.js";
import { buildKept, showKept } from "./kept.js";
import { buildSearch, recall } from "./search.js";
import { ask, Faults, newestOnly } from "./server.js";
import { buildTake, offerEvenSo, showTake } from "./take.js";
import { buildUse, showUse } from "./use.js";

let angle = 0;
let timer = 0;

const preview = newestOnly("/preview", showPreview);
const curves = newestOnly("/curves", showCurves);

/**
 * @param {any} answer
 * @param {{design: Record<string, string>}} asked
 * @param {import("./fields.js").Fault[]} [faults]
 */
function showPreview(answer, asked, faults = []) {
  byId("trouble").hidden = true;
  if (JSON.stringify(asked.design) === JSON.stringify(state.design)) document.body.dataset.shown = "now";
  const verdict = byId("verdict");
  if (!answer) {
    tell(showFaults(faults, "design").left);
    verdict.textContent = "Not drawn: see the words in colour.";
    verdict.className = "wrong";
    showBites([]);
    return;
  }
  showFaults(answer.violations, "design");
  byId("drawing-more").textContent = answer.notes.map((/** @type {string} */ words) => `${words}.`).join(" ");
  showDrawing(answer, angle);
  showWaveform(answer.waveform, answer.count / 2);
  showBites(answer.cautions);
  showFigures(answer.figures ?? []);
  const wrong = answer.violations.length;
  verdict.className = wrong || answer.why ? "wrong" : "";
  verdict.textContent = [wrong ? `Does not fit: ${wrong === 1 ? "one misfit" : `${wrong} misfits`}.` : "Fits.",
    answer.why ?? ""].join(" ").trim();
  document.title = `${state.design.title ?? "Untitled"} · polepitch`;
  byId("stage-title").textContent = `The machine: ${state.design.title ?? "Untitled"}`;
  setAngle(angle);
}

/**
 * What bites: its names above the voltage, in full above the figures.
 * @param {import("./elements.js").Caution[]} cautions
 */
function showBites(cautions) {
  const names = cautions.map(({ text }) => text.split(": ", 1)[0]).join(". ");
  if (byId("bites").textContent !== names) byId("bites").textContent = names;
  byId("bites").hidden = !names;
  byId("cautions").replaceChildren(bitesList(cautions) || "");
  offerEvenSo(cautions.some(({ kind }) => kind === "burst"));
}

/** @param {string[]} words */
function tell(words) {
  byId("trouble").textContent = words.join("\n");
  byId("trouble").hidden = !words.length;
}

/** @param {import("./chart.js").Row[]} rows */
function showFigures(rows) {
  const [first] = rows;
  byId("rms").replaceChildren(first ? first.value : "–", html("small", {}, first?.remark ?? ""));
  byId("figures").replaceChildren(...figureRows(rows, Boolean(state.view.inch)));
}

/** @param {any} answer */
function showCurves(answer) {
  if (!answer) return;
  const at = (/** @type {string} */ key) => Number(state.design[key]);
  byId("charts").replaceChildren(
    chart(answer.speed, { title: "Voltage against speed", x: "speed, rpm", y: "V rms", here: at("operation.speed_rpm"),
      joined: true }),
    chart(answer.count, { title: "Voltage against number of magnets", x: "magnets, all else as it is", y: "V rms",
      here: at("carrier.count"), none: "No other number of magnets fits as everything else is." }),
    chart(answer.gap, { title: "Voltage against air gap", x: "air gap, mm", y: "V rms",
      here: at("operation.air_gap_mm"), joined: true }),
  );
}

/** @param {number} degrees */
function setAngle(degrees) {
  angle = ((degrees % 360) + 360) % 360;
  turn(angle);
  const volts = moveDot(angle);
  byId("angle", HTMLInputElement).value = String(angle);
  const words = volts === null
    ? `${angle.toFixed(1)}°`
    : `${angle.toFixed(1)}°: ${volts.toFixed(2).replace("-", "−")} V`;
  byId("angle-words").textContent = words;
  byId("angle").setAttribute("aria-valuetext", words);
}

/**
 * The design has changed: ask at once, note it in the address when the hand lets go.
 * @param {boolean} final
 */
function changed(final) {
  document.body.dataset.shown = "earlier";
  preview({ design: { ...state.design } });
  clearTimeout(timer);
  timer = setTimeout(() => {
    step();
    calm();
  }, final ? 0 : 500);
}

function calm() {
  curves({ design: { ...state.design } });
  showUse();
}

function showSteps() {
  byId("undo", HTMLButtonElement).disabled = !canUndo();
  byId("redo", HTMLButtonElement).disabled = !canRedo();
}
showSteps.steps = true;

function showAll() {
  showDesign();
  showBrief();
  showTake();
  byId("inches", HTMLInputElement).checked = Boolean(state.view.inch);
  document.body.dataset.shown = "earlier";
  preview({ design: { ...state.design } });
  calm();
  recall();
  showKept();
  showSteps();
}

/** @param {File} file */
async function open(file) {
  try {
    if (file.size > 90_000) {
      throw new Faults([{ key: "",
        words: `${file.name} must be a layout, a brief, a motor, a rig or a load of at most 90 kB, was larger` }]);
    }
    replace(await ask("/read", { text: await file.text() }));
    byId("trouble").hidden = true;
  } catch (error) {
    if (!(error instanceof Faults)) throw error;
    tell([`${file.name} cannot be opened:`, error.message]);
  }
}

/** @param {KeyboardEvent} event */
function keys(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const typing = event.target instanceof Element && event.target.matches("input[type=text]");
  const key = event.key.toLowerCase();
  if (typing || !["z", "y"].includes(key)) return;
  event.preventDefault();
  if (key === "y" || event.shiftKey) redo();
  else undo();
}

/**
 * Go to a part of the page; the address keeps the design and is no place for the part's name.
 * @param {MouseEvent} event
 * @param {HTMLAnchorElement} link
 */
function leap(event, link) {
  if (event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  leapTo(link.hash.slice(1));
}

/** @param {string} name */
function leapTo(name) {
  const part = byId("work").querySelector(`:scope > section#${CSS.escape(name) || "none"}`);
  if (!(part instanceof HTMLElement)) return;
  part.focus({ preventScroll: true });
  part.scrollIntoView();
}

function connect() {
  for (const link of document.querySelectorAll("a")) link.addEventListener("click", (event) => leap(event, link));
  byId("undo").addEventListener("click", undo);
  byId("redo").addEventListener("click", redo);
  const [chosen, inches, slider] = ["open", "inches", "angle"].map((id) => byId(id, HTMLInputElement));
  chosen.addEventListener("change", () => {
    if (chosen.files?.[0]) open(chosen.files[0]);
    chosen.value = "";
  });
  inches.addEventListener("change", () => {
    if (inches.checked) state.view.inch = "1";
    else delete state.view.inch;
    note();
    showFields("design");
    preview({ design: { ...state.design } });
  });
  slider.addEventListener("input", () => setAngle(Number(slider.value)));
  letTurn((by) => setAngle(angle + by));
  addEventListener("keydown", keys);
  addEventListener("resize", placeWords);
}

async function main() {
  const start = await (await fetch("/start")).json();
  Object.assign(forms, start.forms);
  buildDesign(changed);
  buildSearch();
  buildTake();
  buildKept();
  buildUse(start.rig, start.motor);
  connect();
  onReplaced(showAll);
  onReplaced(showSteps);
  begin(start, leapTo);
}

main();
