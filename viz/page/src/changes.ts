// What to change: what the run weighed, and what came of it.

import { el, section } from "./dom.ts";
import { decibel, fixed, hertz, signed } from "./numbers.ts";
import type { Advice } from "./results.ts";

export function changesSection(advice: Advice | undefined): HTMLElement | null {
  if (!advice) return null;
  if (advice.changes.length === 0)
    return section("changes", "What to change", el("p", {}, "No change was found that is worth its wood, weight and litres."));
  const isPlayed = advice.is_played;
  const head = ["Change", "That resonance", ...(isPlayed ? ["Its level", "Worst wall then"] : []), "kg", "Litres"];
  const lines = advice.changes.map((change) => el("tr", {},
    el("th", { scope: "row" }, change.change),
    el("td", {}, change.frequency_hz === null || advice.frequency_hz === null ? "–" : `${fixed(advice.frequency_hz, 0)} → ${hertz(change.frequency_hz)}`),
    isPlayed && el("td", {}, change.level_db === null || advice.level_db === null ? "–" : `${fixed(advice.level_db, 0)} → ${decibel(change.level_db)}`),
    isPlayed && el("td", {}, change.worst_wall === null || change.worst_wall_hz === null ? "–" : `${change.worst_wall} at ${hertz(change.worst_wall_hz)}` +
      (change.worst_wall_level_db === null ? "" : `: ${decibel(change.worst_wall_level_db)}`)),
    el("td", { class: "number" }, signed(change.mass_change_kg, 2)), el("td", { class: "number" }, signed(change.volume_change_l, 2))));
  const worst = advice.worst_wall === null || advice.frequency_hz === null ? null : el("p", {}, `Worst wall: ${advice.worst_wall} at ${hertz(advice.frequency_hz)}` +
    (advice.level_db === null ? "." : `, ${decibel(advice.level_db)}.`));
  return section("changes", "What to change", worst,
    el("div", { class: "wide" }, el("table", {}, el("thead", {}, el("tr", {}, ...head.map((title) => el("th", { scope: "col" }, title)))), el("tbody", {}, ...lines))),
    el("p", { class: "note" }, "Each was computed again by itself at draft accuracy, so its figures may differ by a little from those above. Lines for the cabinet file:"),
    ...advice.changes.map((change) => el("pre", {}, `- ${change.variant}`)));
}
