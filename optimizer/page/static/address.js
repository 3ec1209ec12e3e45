// The state of the page is its address: a layout's keys and values as its file has them, a brief's behind `brief.`,
// kept designs behind `keep.`, the view's behind `view.`. The browser's own history is undo and redo.

const PREFIXES = { brief: "brief.", view: "view.", load: "load.", rig: "rig.", motor: "motor." };

export const state = { design: {}, brief: {}, view: {}, load: {}, rig: {}, motor: {}, kept: [] };

const listeners = [];

/** Call `listener` whenever the state was replaced as a whole: at the start, by undo, redo or a new address. */
export function onReplaced(listener) {
  listeners.push(listener);
}

function place() {
  const step = history.state?.step ?? 0;
  return { step, top: Math.max(history.state?.top ?? step, step) };
}

function written() {
  const values = new URLSearchParams(state.design);
  for (const [name, prefix] of Object.entries(PREFIXES)) {
    for (const [key, value] of Object.entries(state[name])) values.set(prefix + key, value);
  }
  state.kept.forEach((design, index) => {
    for (const [key, value] of Object.entries(design)) values.set(`keep.${index + 1}.${key}`, value);
  });
  return `#${values}`;
}

function read() {
  const found = { design: {}, brief: {}, view: {}, load: {}, rig: {}, motor: {} };
  const kept = {};
  for (const [key, value] of new URLSearchParams(location.hash.slice(1))) {
    const [head, ...rest] = key.split(".");
    if (head === "keep" && rest.length > 1) (kept[rest[0]] ??= {})[rest.slice(1).join(".")] = value;
    else if (head in PREFIXES && rest.length) found[head][rest.join(".")] = value;
    else if (rest.length || key === "title") found.design[key] = value;
  }
  return { ...found, kept: Object.keys(kept).sort((a, b) => a - b).map((index) => kept[index]) };
}

/** Begin: what the address holds, and what it does not hold from `start`. */
export function begin(start) {
  const found = read();
  take(found, start);
  history.replaceState(place(), "", written());
  const again = () => {
    take(read(), start);
    listeners.forEach((listener) => listener());
  };
  addEventListener("popstate", again);
  listeners.forEach((listener) => listener());
}

function take(found, start) {
  state.design = Object.keys(found.design).length ? found.design : { ...start.design };
  state.brief = Object.keys(found.brief).length ? found.brief : { ...start.brief };
  Object.assign(state, { view: found.view, kept: found.kept, load: found.load, rig: found.rig, motor: found.motor });
}

/** Put the state into the address as a step that can be undone. */
export function step() {
  const now = written();
  if (now === location.hash) return;
  const at = place().step + 1;
  history.pushState({ step: at, top: at }, "", now);
  listeners.filter((listener) => listener.steps).forEach((listener) => listener());
}

/** Put the state into the address without a step: for the view. */
export function note() {
  history.replaceState(place(), "", written());
}

export const canUndo = () => place().step > 0;
export const canRedo = () => place().top > place().step;

/** One step back; the step it leads to remembers how far one can go forward again. */
export function undo() {
  if (canUndo()) moved(-1);
}

export function redo() {
  if (canRedo()) moved(1);
}

function moved(by) {
  const top = place().top;
  addEventListener("popstate", () => {
    history.replaceState({ step: history.state?.step ?? 0, top }, "");
    listeners.filter((listener) => listener.steps).forEach((listener) => listener());
  }, { once: true });
  history.go(by);
}

/** Replace the state and tell everyone, as one step. */
export function replace(change) {
  Object.assign(state, change);
  step();
  listeners.forEach((listener) => listener());
}
