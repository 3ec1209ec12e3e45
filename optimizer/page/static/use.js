// Use: what the machine does with a load behind a rectifier, and turned by hand.

import { byId, html } from "./elements.js";

/** Build the panel. */
export function buildUse() {
  byId("using").replaceChildren(html("p", {}, ""));
}

/** Show the panel for the design as it is. */
export function showUse() {}
