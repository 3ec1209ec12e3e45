// The state of the page is its address: a layout's keys and values as its file has them, a brief's behind `brief.`,
// kept designs behind `keep.`, the view's behind `view.`. The browser's own history is undo and redo.

/**
 * @typedef {Record<string, string>} Flat values by the keys of a file
 * @typedef {"brief" | "view" | "load" | "rig" | "motor"} Part of the state, which stands before its keys
 * @typedef {{design: Flat, kept: Flat[]} & Record<Part, Flat>} State
 */

/** @type {Part[]} */
const PARTS = ["brief", "view", "load", "rig", "motor"];

/** @returns {State} */
const nothing = () => ({ design: {}, brief: {}, view: {}, load: {}, rig: {}, motor: {}, kept: [] });

export const state = nothing();

/** @type {((() => void) & {steps?: boolean})[]} */
const listeners = [];
let last = { step: 0, top: 0 }; // of the page's steps, where we are and how far one can go forward again

/**
 * Call `listener` whenever the state was replaced as a whole: at the start, by undo, redo or a new address.
 * @param {(() => void) & {steps?: boolean}} listener
 */
export function onReplaced(listener) {
  listeners.push(listener);
}

/** Where the browser's history has brought us: at a step of ours, or at an address typed by hand, which is a new one. */
function arrived() {
  const step = history.state?.step ?? last.step + 1;
  last = { step, top: Math.max(history.state ? last.top : step, history.state?.top ?? step, step) };
  history.replaceState(last, "");
}

function written() {
  const values = new URLSearchParams(state.design);
  for (const part of PARTS) for (const [key, value] of Object.entries(state[part])) values.set(`${part}.${key}`, value);
  state.kept.forEach((design, index) => {
    for (const [key, value] of Object.entries(design)) values.set(`keep.${index + 1}.${key}`, value);
  });
  return `#${values}`;
}

function read() {
  const found = nothing();
  /** @type {Record<string, Flat>} */
  const kept = {};
  for (const [key, value] of new URLSearchParams(location.hash.slice(1))) {
    const [head, ...rest] = key.split(".");
    if (head === "keep" && rest.length > 1) {
      kept[rest[0]] ??= {};
      kept[rest[0]][rest.slice(1).join(".")] = value;
    } else if (PARTS.includes(/** @type {Part} */ (head)) && rest.length) {
      found[/** @type {Part} */ (head)][rest.join(".")] = value;
    } else if (rest.length || key === "title") found.design[key] = value;
  }
  return { ...found, kept: Object.keys(kept).sort((a, b) => Number(a) - Number(b)).map((index) => kept[index]) };
}

/** The part of the page that the address names in a design's place, as in `#take`; empty when it names none, null for a design. */
function partNamed() {
  return location.hash.includes("=") ? null : location.hash.slice(1);
}

/**
 * Begin: what the address holds, and what it does not hold from `start`. leap(part): goes to a part that the address
 * names by hand; the design stays, and its own address comes back.
 * @param {{design: Flat, brief: Flat}} start
 * @param {(part: string) => void} leap
 */
export function begin(start, leap) {
  const named = partNamed();
  take(read(), start);
  const step = history.state?.step ?? 0;
  last = { step, top: Math.max(history.state?.top ?? step, step) };
  history.replaceState(last, "", written());
  addEventListener("popstate", () => {
    const part = partNamed();
    if (part !== null) {
      leap(part);
      history.back();
      return;
    }
    if (written() === location.hash && history.state?.step === last.step) return; // back from a part
    arrived();
    take(read(), start);
    for (const listener of listeners) listener();
  });
  for (const listener of listeners) listener();
  if (named) leap(named);
}

/** @param {State} found @param {{design: Flat, brief: Flat}} start */
function take(found, start) {
  const { design, brief } = start;
  Object.assign(state, found);
  if (!Object.keys(found.design).length) state.design = { ...design };
  if (!Object.keys(found.brief).length) state.brief = { ...brief };
}

/** Put the state into the address as a step that can be undone. */
export function step() {
  const now = written();
  if (now === location.hash) return;
  last = { step: last.step + 1, top: last.step + 1 };
  history.pushState(last, "", now);
  for (const listener of listeners) if (listener.steps) listener();
}

/** Put the state into the address without a step: for the view. */
export function note() {
  history.replaceState(last, "", written());
}

export const canUndo = () => last.step > 0;
export const canRedo = () => last.top > last.step;

/** One step back; the step it leads to remembers how far one can go forward again. */
export function undo() {
  if (canUndo()) history.back();
}

export function redo() {
  if (canRedo()) history.forward();
}

/**
 * Replace the state and tell everyone, as one step.
 * @param {Partial<State>} change
 */
export function replace(change) {
  Object.assign(state, change);
  step();
  for (const listener of listeners) listener();
}
