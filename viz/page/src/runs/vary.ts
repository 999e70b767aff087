// One or two things of the cabinet over their values.

import type { Head } from "../answer.ts";
import type { Plot, Spot } from "../curves.ts";
import { el, plainTable, section } from "../dom.ts";
import { decibel, fixed, hertz, signed } from "../numbers.ts";
import { plotElement } from "../plot.ts";
import type { RowOfVary, Vary } from "../results.ts";

const kinds = { audible: "loud", borderline: "near" } as const;

/** Places of the values on an axis: the numbers where all begin with one and take one unit, else 1, 2, 3 … with words. */
export function placesOf(values: string[]): { at: number[]; words?: string[] } {
  const split = values.map((value) => /^\s*(-?\d+(?:\.\d+)?)(.*)$/.exec(value));
  const isNumeric = split.every((one) => one !== null && one[2] === split[0]![2] && !one[2].includes("/"));
  const at = isNumeric ? split.map((one) => Number(one![1])) : values.map((_, i) => i + 1);
  const rises = at.every((value, i) => i === 0 || value > at[i - 1]);
  return isNumeric && rises ? { at } : { at: values.map((_, i) => i + 1), words: values };
}

const named = (result: Vary, row: RowOfVary): string => result.changed.map((what, a) => `${what} ${row.values[a]}`).join(", ");

export function headOfVary(result: Vary): Head {
  const computed = result.rows.filter((row) => row.mass_kg !== undefined).length;
  const best = result.best_first.length > 0 ? result.rows[result.best_first[0]] : null;
  const last = result.best_first.length > 1 ? result.rows[result.best_first[result.best_first.length - 1]] : null;
  const known = (row: RowOfVary): string => result.is_played && row.worst_wall
    ? `the worst wall, ${row.worst_wall.board}, rings at ${hertz(row.worst_wall.frequency_hz)} and ${decibel(row.worst_wall.level_db)} against the direct sound`
    : row.first_wall_mode_hz ? `the first resonance lies at ${hertz(row.first_wall_mode_hz)}` : "no resonance lies in the range";
  const figures = best === null ? [] : [{ value: best.values.join(", "), what: `${result.is_played ? "quietest" : "highest first resonance"} (${result.changed.join(", ")})` }];
  if (best?.worst_wall && last?.worst_wall) figures.push({ value: `${signed(best.worst_wall.over_strict_db - last.worst_wall.over_strict_db, 1)} dB`, what: "worst wall over notice, from the loudest to the quietest" });
  else if (best?.first_wall_mode_hz && last?.first_wall_mode_hz) figures.push({ value: hertz(best.first_wall_mode_hz), what: `first resonance, against ${hertz(last.first_wall_mode_hz)} with the lowest` });
  return {
    title: result.title, size: `${computed} of ${result.rows.length} variants, resonances to ${hertz(result.upper_frequency_hz)}, ${result.accuracy} accuracy`,
    plainly: `One cabinet, computed again for each value of ${result.changed.join(" and of ")}. This page shows what that changes in what rings.`,
    answer: best === null ? "No variant has a resonance in the range." : `${result.is_played ? "Quietest" : "Highest first resonance"}: ${named(result, best)}, where ${known(best)}.` +
      (last === null ? "" : ` Last of all: ${named(result, last)}, where ${known(last)}.`),
    figures,
  };
}

type Value = (row: RowOfVary) => number | null;

/** One curve over a single change, one a value of the second where there are two. */
function curves(result: Vary, name: string, value: Value) {
  const second = result.values[1];
  const read = (row: RowOfVary): number | null => (row.mass_kg === undefined ? null : value(row));
  if (!second) return [{ name, values: result.rows.map(read) }];
  return second.map((word, j) => ({ name: `${result.changed[1]} ${word}`, values: result.values[0].map((_, i) => read(result.rows[i * second.length + j])) }));
}

export function plotsOfVary(result: Vary): Plot[] {
  const { at, words } = placesOf(result.values[0]), isSingle = result.values.length === 1;
  const base = { x: at, across: { title: result.changed[0], words } };
  const spots: Spot[] = isSingle ? result.rows.flatMap((row, i) => (row.modes ?? []).map((mode) => (
    { x: at[i], y: mode.frequency_hz, kind: kinds[mode.verdict as keyof typeof kinds] ?? "quiet" }))) : [];
  const over = (row: RowOfVary) => row.worst_wall?.over_strict_db ?? null;
  return [
    ...(result.is_played ? [{ ...base, id: "over", title: "Worst wall over notice", unit: "dB", decimals: 1, curves: curves(result, "worst wall over notice", over),
      about: "Of the wall nearest to being heard: its level against what trained ears find in noise." }] : []),
    { ...base, id: "modes", title: isSingle ? "Resonances of the walls" : "First resonance of a wall", unit: "Hz", decimals: 0, spots,
      about: isSingle && result.is_played ? "The line: the lowest. Points: all of them, filled where they are audible or borderline." : "The lowest in which boards bend; points are those above it.",
      curves: curves(result, "lowest", (row) => row.first_wall_mode_hz ?? null) },
    { ...base, id: "mass", title: "Weight", unit: "kg", decimals: 2, curves: curves(result, "weight", (row) => row.mass_kg ?? null), about: "Of the cabinet with its drivers." },
  ];
}

export function sectionsOfVary(result: Vary): HTMLElement[] {
  const hasPrice = result.rows.some((row) => row.price);
  const heads = [...result.changed, "First resonance of a wall", ...(result.is_played ? ["Worst wall", "Its level", "Over notice dB", "Heard"] : []), "kg", "Litres net", ...(hasPrice ? ["Price by area"] : []), "Tuning"];
  const lines = result.rows.map((row) => {
    if (row.mass_kg === undefined) return [...row.values, row.problem || "not computed", ...heads.slice(row.values.length + 1).map(() => "")];
    const worst = row.worst_wall;
    return [...row.values, row.first_wall_mode_hz ? `${hertz(row.first_wall_mode_hz)}, ${row.first_board}` : "–",
      ...(result.is_played ? [worst ? `${worst.board}, ${hertz(worst.frequency_hz)}` : "–", worst ? decibel(worst.level_db) : "–", worst ? signed(worst.over_strict_db, 1) : "–", `${row.walls_audible ?? 0} + ${row.walls_borderline ?? 0}`] : []),
      fixed(row.mass_kg, 2), fixed(row.net_volume_l ?? 0, 1), ...(hasPrice ? [row.price ? fixed(row.price, 2) : "–"] : []), row.tuning_hz ? hertz(row.tuning_hz) : "–"];
  });
  return [
    section("plots", "Plots", ...plotsOfVary(result).map((plot) => plotElement(plot, result.title))),
    section("rows", "All variants", plainTable(heads, lines, "tall"), result.is_played && el("p", { class: "note" },
      "Worst wall: the one nearest to being heard. Heard: walls audible + borderline. Draft levels lie within some 1.2 dB of fine ones.")),
  ];
}
