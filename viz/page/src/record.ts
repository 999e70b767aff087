// What was weighed and measured at the bench, against what was stated.

import { el, plainTable, section } from "./dom.ts";
import { signed, significant } from "./numbers.ts";
import type { BenchNote, Check } from "./results.ts";

const figure = (value: number | null, unit: string): string => (value === null ? "–" : `${significant(value, 6).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "")}${unit ? ` ${unit}` : ""}`);

/** Digits after the point that a difference is worth: those of the figures themselves. */
const decimals = (note: BenchNote): number =>
  Math.max(...[note.stated, note.measured].map((value) => (value === null ? 0 : (String(value).split(".")[1] ?? "").length)));

export function recordSection(check: Check | undefined): HTMLElement | null {
  const record = check?.record ?? [];
  if (record.length === 0) return null;
  const out = record.filter((note) => note.within === false);
  return section("bench", "From the bench",
    el("p", {}, out.length === 0 ? "Nothing that was measured is out of tolerance." : `Out of tolerance: ${out.map((note) => note.what).join(", ")}.`),
    plainTable(["What", "Stated", "Measured", "Off by", "Allowed", "Within", "Note"], record.map((note) => [
      note.what, figure(note.stated, note.unit), figure(note.measured, note.unit),
      note.difference === null ? "–" : signed(note.difference, decimals(note)), note.tolerance === null ? "–" : `±${significant(note.tolerance, 3)}`,
      note.measured === null ? "not measured" : note.within === null ? "–" : note.within ? "yes" : el("span", { class: "verdict loud" }, "no"), note.note])));
}
