// One row per resonance, whatever run it comes from: the page's table, view and plots read these.

import type { Antinode, Heard, Modes, ModeOfBoards, Resonance, Sound } from "./results.ts";

export interface Row {
  number: number;
  name: string;
  frequency: number; // [Hz]
  low: number | null;
  high: number | null; // [Hz] its band
  q: number | null;
  ring: number | null; // [s]
  level: number | null;
  levelLow: number | null;
  levelHigh: number | null; // [dB]
  strict: number | null;
  lenient: number | null; // [dB] from where it is noticed
  overStrict: number | null; // [dB]
  place: string | null; // where it was judged
  verdict: string; // audible, borderline, inaudible, outside, not played
  oddsAudible: number | null;
  oddsHeard: number | null;
  boards: { name: string; share: number }[];
  through: string;
  reason: string;
  antinodes: Antinode[];
  wrinkle: { way: string; ohm: number; share: number } | null;
}

const worthNaming = 0.1;

/** Boards with at least a tenth of the motion, the largest first, at most three; the largest alone where none has. */
export function mainBoards(mode: ModeOfBoards): { name: string; share: number }[] {
  const sorted = mode.boards.map((part) => ({ name: part.board, share: part.kinetic_share })).sort((a, b) => b.share - a.share);
  const large = sorted.filter((part) => part.share >= worthNaming).slice(0, 3);
  return large.length > 0 ? large : sorted.slice(0, 1);
}

export function rowsOfModes(result: Modes): Row[] {
  return result.modes.map((mode) => {
    const played = mode.played;
    return {
      number: mode.number, name: mode.shape, frequency: mode.frequency_hz, low: mode.band_low_hz, high: mode.band_high_hz,
      q: mode.q, ring: mode.ring_time_s, level: played?.level_db ?? null, levelLow: played?.level_low_db ?? null,
      levelHigh: played?.level_high_db ?? null, strict: played ? played.level_db - played.over_strict_db : null, lenient: null,
      overStrict: played?.over_strict_db ?? null, place: played ? (played.is_in_all_directions ? "all directions" : "the listener") : null,
      verdict: played?.verdict ?? (mode.flag === "outside" ? "outside the band" : mode.flag), oddsAudible: played?.odds_audible ?? null, oddsHeard: played?.odds_heard ?? null,
      boards: mainBoards(mode), through: "", reason: mode.reason, antinodes: mode.antinodes, wrinkle: null,
    };
  });
}

/** The place at which a resonance was judged: the one the writer calls the worst. */
export const judgedAt = (resonance: Resonance): Heard | null =>
  resonance.heard.find((heard) => heard.place === resonance.worst_place) ?? null;

export function rowsOfSound(result: Sound): Row[] {
  return result.modes.map((mode) => {
    const heard = judgedAt(mode);
    const wrinkle = [...mode.wrinkles].sort((a, b) => b.change_ohm - a.change_ohm)[0];
    return {
      number: mode.number, name: mode.name, frequency: mode.frequency_hz, low: mode.band_low_hz, high: mode.band_high_hz,
      q: mode.q, ring: mode.ring_time_s, level: heard?.level_db ?? null, levelLow: heard?.level_low_db ?? null,
      levelHigh: heard?.level_high_db ?? null, strict: heard?.strict_detection_db ?? null,
      lenient: heard?.lenient_detection_db ?? null, overStrict: heard?.over_strict_db ?? null, place: heard?.place ?? null,
      verdict: heard?.verdict ?? "not judged", oddsAudible: heard?.odds_audible ?? null, oddsHeard: heard?.odds_heard ?? null,
      boards: mode.antinodes.map((one) => ({ name: one.board, share: Math.abs(one.motion) })),
      through: throughWords(mode), reason: mode.reason, antinodes: mode.antinodes,
      wrinkle: wrinkle ? { way: wrinkle.way, ohm: wrinkle.change_ohm, share: wrinkle.share_of_impedance } : null,
    };
  });
}

/** What drives a wall, or by what way a wave of the air gets out. */
function throughWords(mode: Resonance): string {
  if (mode.through) return `out of ${mode.through}`;
  if (mode.kind !== "wall") return "";
  return mode.force_share >= mode.pressure_share && mode.driver ? `force of ${mode.driver}` : "pressure of the air";
}

/** The judged row nearest to the ear; nothing where none was judged. */
export const clearest = (rows: Row[]): Row | null =>
  rows.filter((row) => row.overStrict !== null && row.verdict !== "outside the band")
    .reduce<Row | null>((best, row) => (best === null || row.overStrict! > best.overStrict! ? row : best), null);
