// Why the winner won: limits and what relaxing them would bring, the textbook beside it, the neighbours.

import { chart, table } from "./chart.js";
import { byId, html } from "./elements.js";

/**
 * Show what a search found out, or that there was none.
 * @param {any} found
 */
export function showWhy(found) {
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
    ...(found.textbook ? [html("h3", {}, "Beside the textbook"), html("p", {}, found.textbook)] : []),
    html("h3", {}, "Everything that was best of its kind"),
    chart(found.counts.map((/** @type {import("./search.js").Entry} */ entry) => [entry.count, entry.number]), {
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
