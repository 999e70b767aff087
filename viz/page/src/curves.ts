// The plots' curves, from the results; and their figures as CSV.

import type { Complex, Listener, Sound } from "./results.ts";

export interface Curve { name: string; values: (number | null)[]; dash?: boolean; axis?: "right" }
export interface Plot {
  id: string;
  title: string;
  about: string;
  x: number[];
  across?: Across; // nothing: frequencies in Hz, logarithmic
  unit: string; // of the values
  right?: string; // of the second axis
  decimals: number;
  curves: Curve[];
  floor?: number; // how far below the largest value the first view goes
  spots?: Spot[];
  isJoined?: boolean; // curves of several grids: a value missing at a frequency is not silence
}
/** A linear axis; words for its values where they are no numbers. */
export interface Across { title: string; words?: string[] }
/** A single point, with its name beside it. */
export interface Spot { x: number; y: number; kind: "loud" | "near" | "quiet" | "best"; text?: string }

/** Values at the frequencies of all curves together, nothing where a curve has none. */
export function joined(curves: { x: number[]; values: (number | null)[] }[]): { x: number[]; values: (number | null)[][] } {
  const x = [...new Set(curves.flatMap((curve) => curve.x))].sort((a, b) => a - b);
  return { x, values: curves.map((curve) => {
    const at = new Map(curve.x.map((f, i) => [f, curve.values[i]]));
    return x.map((f) => at.get(f) ?? null);
  }) };
}

const magnitude = (curve: Complex): number[] => curve.re.map((re, i) => Math.hypot(re, curve.im[i]));
/** 20 log10 |p / reference|; nothing where it is silent. */
export const level = (values: number[], reference: number): (number | null)[] =>
  values.map((value) => (value > 0 ? 20 * Math.log10(value / reference) : null));
const pascal = 20e-6;
const spl = (curve: Complex) => level(magnitude(curve), pascal);
const degrees = (curve: Complex) => curve.re.map((re, i) => (Math.atan2(curve.im[i], re) * 180) / Math.PI);

export function plotsOf(sound: Sound): Plot[] {
  const x = sound.frequency_hz;
  return [
    ...sound.listeners.flatMap((listener) => [soundPlot(x, listener), boardsPlot(x, listener)]),
    impedancePlot(x, sound),
    ...motionPlot(x, sound),
  ].filter((plot) => plot.curves.length > 0);
}

function soundPlot(x: number[], listener: Listener): Plot {
  return {
    id: `sound-${listener.name}`, title: `Sound at ${listener.name}`, x, unit: "dB", decimals: 1, floor: 60,
    about: "Level of everything, of cones and ports in a box that stands still, and of the walls alone.",
    curves: [
      { name: "everything", values: spl(listener.total_pa_rms) },
      { name: "direct sound", values: spl(listener.direct_pa_rms), dash: true },
      { name: "walls", values: spl(listener.walls_pa_rms) },
    ],
  };
}

function boardsPlot(x: number[], listener: Listener): Plot {
  return {
    id: `boards-${listener.name}`, title: `What each board sounds at ${listener.name}`, x, unit: "dB", decimals: 1, floor: 60,
    about: "Level of each board's own sound; they add with their phases, so one may undo another.",
    curves: listener.boards.map((part) => ({ name: part.board, values: spl(part.pressure_pa_rms) })),
  };
}

function impedancePlot(x: number[], sound: Sound): Plot {
  return {
    id: "impedance", title: "Impedance", x, unit: "ohm", right: "degrees", decimals: 2,
    about: "As the amplifier sees it, with walls that move and walls that stand still; dashed: the phase.",
    curves: sound.ways.flatMap((way) => [
      { name: way.name, values: magnitude(way.impedance_ohm) },
      { name: `${way.name}, walls still`, values: magnitude(way.impedance_still_walls_ohm) },
      { name: `${way.name}, phase`, values: degrees(way.impedance_ohm), dash: true, axis: "right" as const },
    ]),
  };
}

function motionPlot(x: number[], sound: Sound): Plot[] {
  const cones = sound.sources.filter((source) => source.kind === "cone" || source.kind === "passive");
  const mouths = sound.sources.filter((source) => source.kind === "port" || source.kind === "hole");
  const peak = (values: number[], unit: number) => values.map((value) => (Math.SQRT2 * value) / unit);
  return [
    { id: "cones", title: "Travel of the cones", x, unit: "mm", decimals: 3, about: "To one side, at the peak of a sine.",
      curves: cones.map((source) => ({ name: source.name, values: peak(magnitude(source.displacement_m_rms), 1e-3) })) },
    { id: "ports", title: "Air in ports and holes", x, unit: "m/s", decimals: 2, about: "Mean over the throat, at the peak of a sine.",
      curves: mouths.map((source) => ({ name: source.name, values: peak(magnitude(source.velocity_m_per_s_rms), 1) })) },
  ];
}

/** A line per frequency, decimal points, a header row with units; silence is an empty field. */
export function csvOf(plot: Plot): string {
  const quoted = (text: string) => `"${text.replaceAll('"', '""')}"`;
  const head = [plot.across ? quoted(plot.across.title) : "Hz", ...plot.curves.map((curve) => quoted(`${curve.name} (${curve.axis === "right" ? plot.right : plot.unit})`))];
  const lines = plot.x.map((f, i) => [f, ...plot.curves.map((curve) => curve.values[i] ?? "")].join(","));
  return `${[head.join(","), ...lines].join("\n")}\n`;
}
