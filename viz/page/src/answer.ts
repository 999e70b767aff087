// The answer: a paragraph that anyone can read, and at most three numbers.

import { el } from "./dom.ts";
import { capital, decibel, fixed, hertz, inWords, signed } from "./numbers.ts";
import { clearest, type Row } from "./resonances.ts";
import type { Advice, Cabinet, Modes, Sound } from "./results.ts";

export interface Figure { value: string; what: string }

/** The first screen: what it is about, the answer, at most three numbers. */
export interface Head { title: string; size: string; plainly: string; answer: string; figures: Figure[] }

export const headElement = (head: Head): HTMLElement => el("header", {}, el("h1", {}, head.title),
  head.size !== "" && el("p", { class: "size" }, head.size), el("p", { class: "plainly" }, head.plainly),
  el("p", { class: "answer" }, head.answer),
  head.figures.length > 0 && el("dl", { class: "figures" }, ...head.figures.slice(0, 3).map(({ value, what }) =>
    el("div", {}, el("dd", {}, value), el("dt", {}, what)))));

export const sizeOf = (cabinet: Cabinet): string =>
  `${fixed(cabinet.outer_width_mm, 0)} × ${fixed(cabinet.outer_depth_mm, 0)} × ${fixed(cabinet.outer_height_mm, 0)} mm outside (width × depth × ` +
  `height), ${cabinet.boards} boards, ${fixed(cabinet.mass_kg, 2)} kg, ${fixed(cabinet.net_volume_l, 1)} litres net`;

/** Those that were held against the direct sound. */
const judged = (rows: Row[]): Row[] => rows.filter((row) => row.verdict !== "not judged" && row.verdict !== "not played");

const some = (count: number): string => (count === 0 ? "none is" : count === 1 ? "one is" : `${inWords(count)} are`);

/** What the run says, in sentences. */
export function answerOf(all: Row[], isPlayed: boolean, top: number): string {
  const rows = isPlayed ? judged(all) : all;
  if (rows.length === 0) return `The boards have no resonance below ${fixed(top, 0)} Hz.`;
  if (!isPlayed)
    return `The boards of this cabinet have ${rows.length === 1 ? "one resonance" : `${rows.length} resonances`} below ${fixed(top, 0)} Hz. How loud is not known: ` +
      "the file does not hold the drivers' figures, so the cabinet could not be played.";
  const count = (verdict: string) => rows.filter((row) => row.verdict === verdict).length;
  const [audible, borderline] = [count("audible"), count("borderline")];
  const worst = clearest(rows);
  const counted = `Of ${rows.length} resonances below ${fixed(top, 0)} Hz, ` + (audible + borderline === 0
    ? "none is loud enough to be noticed."
    : `${some(audible)} loud enough to be heard in music and ${some(borderline)} borderline` +
      (borderline === 0 ? "." : `: trained ears may notice ${borderline === 1 ? "it" : "them"} in noise.`));
  if (!worst) return counted;
  return `${counted} The clearest is ${worst.name || "one without a name"} at ${hertz(worst.frequency)}: ${worst.reason}.`;
}

export function figuresOf(rows: Row[], advice: Advice | undefined): Figure[] {
  const figures: Figure[] = [];
  const worst = clearest(rows);
  if (worst) {
    const heard = rows.filter((row) => row.verdict === "audible" || row.verdict === "borderline").length;
    figures.push({ value: `${heard} of ${judged(rows).length}`, what: "resonances may be heard" });
    const over = worst.overStrict!;
    figures.push({ value: decibel(worst.level!),
      what: `${worst.name || "the clearest"} at ${hertz(worst.frequency)}, against the direct sound; ` +
        (over > 0 ? `${fixed(over, 0)} dB over what trained ears notice` : `${fixed(-over, 0)} dB under what trained ears notice`) });
  } else if (rows.length > 0) figures.push({ value: hertz(rows[0].frequency), what: `lowest resonance: ${rows[0].name || "no name"}` });
  const change = advice?.changes[0];
  if (change && change.level_db !== null && advice!.level_db !== null)
    figures.push({ value: `${signed(change.level_db - advice!.level_db, 1)} dB`, what: `the worst wall with ${change.change}` });
  return figures;
}

export const headOfRun = (cabinet: Cabinet, result: Modes | Sound, rows: Row[], isPlayed: boolean, top: number): Head => ({
  title: cabinet.name || cabinet.file, size: sizeOf(cabinet),
  plainly: "Every board of a box rings at some frequencies, as a drum skin does, and so does the air in it. " +
    "This page tells which, and whether anybody would hear it.",
  answer: capital(answerOf(rows, isPlayed, top)), figures: figuresOf(rows, result.advice),
});
