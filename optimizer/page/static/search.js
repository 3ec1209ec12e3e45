// The search: followed as it goes, cancelled at any time, its finds as small pictures to pick up, and why the winner won.

import { replace, state } from "./address.js";
import { chart, table } from "./chart.js";
import { byId, drawn, html, svg } from "./elements.js";
import { showFaults } from "./fields.js";
import { ask, Faults, lines } from "./server.js";

/**
 * @typedef {{count: number, phases: number, topology: string, design: Record<string, string>, best: boolean,
 *   value: string, load: string, words: string, share: number, number: number, picture: string}} Entry best of its kind
 */

/** @type {AbortController | null} */
let running = null;

const say = (/** @type {string} */ words) => {
  byId("search-words").textContent = words;
};

/** Connect the buttons. */
export function buildSearch() {
  byId("seek").addEventListener("click", seek);
  byId("cancel").addEventListener("click", () => running?.abort());
  byId("brief-reset").addEventListener("click", () => {
    showFound(null);
    say("");
  });
}

async function seek() {
  if (running) return;
  running = new AbortController();
  busy(true);
  say("");
  showFaults([], "brief");
  try {
    for await (const line of lines("/search", { brief: state.brief }, running.signal)) follow(line);
  } catch (error) {
    if (error instanceof Faults) refuse(error.rows);
    else if (error instanceof DOMException && error.name === "AbortError") say("Cancelled. Nothing was changed.");
    else refuse([{ key: "", words: "The page's program has gone. Start it again with: polepitch page" }]);
  } finally {
    running = null;
    busy(false);
  }
}

/** @param {boolean} now */
function busy(now) {
  byId("seek", HTMLButtonElement).disabled = now;
  byId("cancel").hidden = !now;
  byId("progress").hidden = !now;
  byId("share", HTMLProgressElement).value = 0;
  byId("stage-words").textContent = "Starting";
  byId("sofar").replaceChildren();
  if (now) byId("cancel").focus();
  else if (document.activeElement === document.body) byId("seek").focus();
}

/** @param {any} line of the server's answer */
function follow(line) {
  if (line.stage) {
    byId("stage-words").textContent = `${line.stage}: ${Math.round(line.share * 100)} %`;
    byId("share", HTMLProgressElement).value = line.share;
  } else if (line.svg) {
    byId("sofar").replaceChildren(
      html("p", {}, html("strong", {}, `Best so far: ${line.value}`), html("br"), line.words),
      drawn(line.svg, "picture"),
    );
  } else if (line.faults) {
    refuse(line.faults);
  } else if (line.found) {
    showFound(line.found);
    say(`${line.found.sentence} It is drawn now; Undo brings back what was there.`);
    replace({ design: { ...line.found.best.design } });
  }
}

/** @param {import("./fields.js").Fault[]} rows */
function refuse(rows) {
  const { left } = showFaults(rows, "brief");
  say(left.join("\n") || "The brief cannot be searched yet: see the words beside it.");
}

/** After a reload or a change of the brief: what an earlier search for this brief found. */
export async function recall() {
  try {
    showFound((await ask("/result", { brief: state.brief })).found);
  } catch (error) {
    if (!(error instanceof Faults)) throw error;
  }
}

/** @param {any} found */
function showFound(found) {
  byId("found").replaceChildren(...(found
    ? [
      ...(found.compared
        ? [html("p", { class: "compared" }, found.compared, " What it does get stands last on each card.")]
        : []),
      html("h3", {}, "Best by number of magnets"),
      cards(found.counts, (entry) => `${entry.count} magnets`),
      html("h3", {}, "Best by coil shape"),
      cards(found.shapes, (entry) => entry.topology),
      ...(found.phases.length
        ? [html("h3", {}, "Best by number of phases"),
          cards(found.phases, (entry) => (entry.phases > 1 ? `${entry.phases} phases` : "1 phase"))]
        : []),
    ]
    : []));
  byId("brief-reset").hidden = !found;
  document.body.classList.toggle("searched", Boolean(found));
  showWhy(found);
}

/** @param {Entry[]} entries @param {(entry: Entry) => string} name */
function cards(entries, name) {
  return html("ul", { class: "cards" }, ...entries.map((entry) =>
    html("li", {}, html("button", {
      type: "button",
      class: entry.best ? "card best" : "card",
      "aria-label": `Adjust: ${name(entry)}, ${worth(entry)}${entry.best ? ", the winner" : ""}; ${entry.words}`,
      onclick: () => {
        replace({ design: { ...entry.design } });
        say(`Picked up: ${name(entry)}, ${worth(entry)}. Adjust it; Undo brings back what was there.`);
      },
    }, drawn(entry.picture, "picture"), html("strong", {}, `${name(entry)}${entry.best ? " (winner)" : ""}`),
      svg("svg", { class: "bar", viewBox: "0 0 100 4", preserveAspectRatio: "none", "aria-hidden": "true" },
        svg("rect", { width: 100 * entry.share, height: 4 })), entry.value, html("br"), html("small", {}, entry.words),
      entry.load ? html("span", { class: "for-load" }, entry.load) : null))
  ));
}

const worth = (/** @type {Entry} */ entry) => [entry.value, entry.load].filter(Boolean).join(", ");

/**
 * Show what a search found out, or that there was none.
 * @param {any} found
 */
function showWhy(found) {
  const place = byId("why");
  if (!found) {
    place.replaceChildren(
      html("p", {},
        "Search first: then this says why the winner won, which limit binds, and what one more millimetre, magnet or metre of wire would bring."),
    );
    return;
  }
  const heads = ["", "Magnets", "Coils × turns", "Wire", found.goal, "To the best",
    ...(found.compared ? ["Load"] : [])];
  place.replaceChildren(
    html("p", {}, found.sentence, " ", found.moves),
    html("h3", {}, "What holds the winner back"),
    found.binding.length
      ? html("ul", { class: "limits" },
        ...found.binding.map((/** @type {{words: string, gain: string, value: string}} */ limit) =>
          html("li", {}, `${limit.words} would bring `, html("b", {}, limit.gain), `, ${limit.value}.`)
        ))
      : html("p", {}, "No limit by itself: relaxing any one of them brings next to nothing."),
    ...(found.slack.length ? [html("p", {}, `Next to nothing would come of: ${found.slack.join("; ")}.`)] : []),
    ...(found.bound ? [html("h3", {}, "Beside any winding at all"), html("p", {}, found.bound)] : []),
    ...(found.textbook ? [html("h3", {}, "Beside the textbook"), html("p", {}, found.textbook)] : []),
    html("h3", {}, "Everything that was best of its kind"),
    chart(found.counts.map((/** @type {Entry} */ entry) => [entry.count, entry.number]), {
      title: `${found.goal} by number of magnets, each at its best`,
      x: "magnets",
      y: found.unit,
      here: found.best.count,
      fromZero: false,
    }),
    html("details", {}, html("summary", {}, "By number of magnets, all numbers"), table(heads, found.tables.count)),
    html("details", {}, html("summary", {}, "By coil shape, all numbers"), table(heads, found.tables.shape)),
  );
}
