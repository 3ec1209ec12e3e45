// Designs kept for comparison, in the address like everything else.

import { replace, state, step } from "./address.js";
import { table } from "./chart.js";
import { byId, drawn, html } from "./elements.js";
import { ask, Faults } from "./server.js";

const MOST = 5;
let round = 0;

/** @typedef {{figures: import("./chart.js").Row[] | null, svg: string | null}} Looked */

/** Connect the button. */
export function buildKept() {
  byId("keep").addEventListener("click", () => {
    state.kept = [...state.kept, { ...state.design }].slice(-MOST);
    step();
    showKept();
  });
}

/** Show the kept designs beside one another. */
export async function showKept() {
  const mine = ++round;
  const place = byId("kept");
  if (!state.kept.length) {
    place.replaceChildren(
      html("p", {}, `Keep up to ${MOST} designs to see them beside one another; they stay in the address.`),
    );
    return;
  }
  /** @type {Looked[]} */
  const answers = [];
  for (const design of state.kept) answers.push(await looked(design));
  if (mine !== round) return;
  const names = [...new Set(answers.flatMap((answer) => answer.figures?.map((figure) => figure.name) ?? []))];
  const value = (/** @type {Looked} */ answer, /** @type {string} */ name) =>
    answer.figures?.find((figure) => figure.name === name)?.value ?? "–";
  place.replaceChildren(
    html("ul", { class: "cards" },
      ...answers.map((answer, at) =>
        html("li", {},
          html("div", { class: "card" }, answer.svg ? drawn(answer.svg, "picture") : null,
            html("strong", {}, `Kept ${at + 1}`), html("small", {}, state.kept[at].title ?? ""),
            html("div", { class: "row" },
              html("button", { type: "button", "aria-label": `Adjust kept design ${at + 1}`, onclick: () =>
                replace({ design: { ...state.kept[at] } }) }, "Adjust"),
              html("button", { type: "button", "aria-label": `Remove kept design ${at + 1}`, onclick: () => drop(at) },
                "Remove"))))
      )),
    table(["", ...answers.map((_, at) => `Kept ${at + 1}`)],
      names.map((name) => [name, ...answers.map((answer) => value(answer, name))])),
  );
}

/** @param {Record<string, string>} design */
async function looked(design) {
  try {
    return await ask("/preview", { design });
  } catch (error) {
    if (!(error instanceof Faults)) throw error;
    return { figures: null, svg: null };
  }
}

/** @param {number} at */
function drop(at) {
  state.kept = state.kept.filter((_, index) => index !== at);
  step();
  showKept();
}
