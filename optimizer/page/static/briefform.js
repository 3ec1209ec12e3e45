// The brief as a form: the keys of the brief's file, each with its unit.

import { goalGroup } from "./briefgoal.js";
import { magnetGroups } from "./briefmagnets.js";
import { byId, html } from "./elements.js";
import { field, forget, forms, group, showFieldFaults, ticks } from "./fields.js";

/** @type {any} */
let offered = null;

/**
 * Build the form; called again whenever the brief is replaced, or what it asks for changes.
 * @param {any} [choices]
 */
export function showBrief(choices) {
  offered = choices ?? offered;
  const focused = document.activeElement?.id;
  forget("brief");
  const form = byId("brief");
  form.onsubmit = (event) => event.preventDefault();
  const keys = new Map(forms.groups.brief);
  const fields = (/** @type {string} */ name) =>
    group(name, ...(keys.get(name) ?? []).map((key) => field("brief", key)));
  form.replaceChildren(...["What for", "Space", "Speed", "Carrier"].map(fields), magnetGroups(offered, showBrief),
    fields("Wire"), ...(keys.get("Ticks") ?? []).map((key) => ticks("brief", key)), goalGroup(offered, showBrief),
    html("details", {}, html("summary", {}, "Printer and prices, for parts and bill of materials"), fields("Printer"),
      fields("Prices")));
  if (focused) document.getElementById(focused)?.focus();
}

/**
 * Show words beside the fields they belong to; returns the words that belong to none.
 * @param {{key: string, words: string}[]} rows
 */
export const showBriefFaults = (rows) =>
  showFieldFaults(rows.map(({ key, words }) => ({ key: key && `brief.${key}`, words }))).left;
