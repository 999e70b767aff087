// What a search found: the trade-off as plot and table, and the best one to paste.

import type { Head } from "../answer.ts";
import type { Plot } from "../curves.ts";
import { el, plainTable, section } from "../dom.ts";
import { decibel, fixed, hertz, signed } from "../numbers.ts";
import { plotElement } from "../plot.ts";
import type { Improve, TriedCabinet } from "../results.ts";

const isPlayed = (result: Improve): boolean => result.drawn.over_strict_db !== undefined;
const across = (result: Improve, tried: TriedCabinet): number => (result.by_price ? tried.price ?? 0 : tried.mass_kg);
const up = (result: Improve, tried: TriedCabinet): number => (isPlayed(result) ? tried.over_strict_db! : tried.first_wall_mode_hz ?? result.upper_frequency_hz);
const unit = (result: Improve): string => (result.by_price ? "price" : "kg");

export function headOfImprove(result: Improve): Head {
  const best = result.front[0], drawn = result.drawn;
  const change = (is: number, was: number, decimals: number) => signed(is - was, decimals);
  const isDrawing = best.variant === "";
  const said = isPlayed(result)
    ? `its worst wall lies ${change(best.over_strict_db!, drawn.over_strict_db!, 1)} dB against the drawing's`
    : `its first resonance lies at ${best.first_wall_mode_hz === null ? `over ${hertz(result.upper_frequency_hz)}` : hertz(best.first_wall_mode_hz)}, that of the drawing at ${drawn.first_wall_mode_hz === null ? `over ${hertz(result.upper_frequency_hz)}` : hertz(drawn.first_wall_mode_hz)}`;
  return {
    title: result.title, size: `${result.tried.length} cabinets of ${result.combinations} combinations were computed, ${result.excluded} break the limits by themselves` +
      (result.all_combinations_tried ? "" : "; not all were tried"),
    plainly: `Sought: ${result.aim_in_words}. What may be chosen: ${result.choices.join(", ")}. Each trial is a cabinet meshed and solved.`,
    answer: isDrawing ? "Of what was tried, nothing serves better than the cabinet as drawn." :
      `Best of what was tried is number 1: ${said}, at ${change(best.mass_kg, drawn.mass_kg, 2)} kg and ${change(best.net_volume_l, drawn.net_volume_l, 2)} litres.`,
    figures: isDrawing ? [] : [
      isPlayed(result) ? { value: `${change(best.over_strict_db!, drawn.over_strict_db!, 1)} dB`, what: "worst wall over notice, against the drawing" }
        : { value: best.first_wall_mode_hz === null ? `> ${hertz(result.upper_frequency_hz)}` : hertz(best.first_wall_mode_hz), what: "first resonance of a wall" },
      { value: `${change(best.mass_kg, drawn.mass_kg, 2)} kg`, what: "weight, against the drawing" },
      { value: String(result.front.length), what: "in the trade-off" }],
  };
}

/** As the search saw them: the front's own second look at normal accuracy stands in the table. */
export function frontPlot(result: Improve): Plot {
  const front = result.front.map((one, k) => ({ x: across(result, one.draft), y: up(result, one.draft), k }));
  const ordered = [...front].sort((a, b) => a.x - b.x);
  return {
    id: "front", title: `${isPlayed(result) ? "Worst wall over notice" : "First resonance of a wall"}, over ${result.by_price ? "price" : "weight"}`,
    about: "As the search saw them, at draft accuracy. Filled: the trade-off, by the numbers of the table; hollow: what else was tried and keeps the limits.",
    x: ordered.map((one) => one.x), unit: isPlayed(result) ? "dB" : "Hz", decimals: 1, across: { title: unit(result) },
    curves: [{ name: "trade-off", values: ordered.map((one) => one.y) }],
    spots: [...front.map(({ x, y, k }) => ({ x, y, kind: "best" as const, text: String(k + 1) })),
      { x: across(result, result.drawn), y: up(result, result.drawn), kind: "near", text: "as drawn" },
      ...result.tried.filter((one) => one.keeps_limits).map((one) => ({ x: across(result, one), y: up(result, one), kind: "quiet" as const }))],
  };
}

export function sectionsOfImprove(result: Improve): HTMLElement[] {
  const played = isPlayed(result), hasPrice = result.front.some((one) => one.price !== null);
  const heads = ["Number", ...result.choices, "First resonance", ...(played ? ["Worst wall", "Its level", "Over notice dB", "Heard"] : []), "kg", "Litres net", ...(hasPrice ? ["Price by area"] : [])];
  const line = (name: string, one: TriedCabinet) => [name, ...result.choices.map((choice) => one.choices?.[choice] ?? "as drawn"),
    one.first_wall_mode_hz === null ? `> ${hertz(result.upper_frequency_hz)}` : hertz(one.first_wall_mode_hz),
    ...(played ? [one.loudest_board ? `${one.loudest_board}, ${hertz(one.loudest_wall_hz!)}` : "–", one.loudest_board ? decibel(one.loudest_wall_db!) : "–", signed(one.over_strict_db!, 1), `${one.walls_audible} + ${one.walls_borderline}`] : []),
    fixed(one.mass_kg, 2), fixed(one.net_volume_l, 1), ...(hasPrice ? [one.price === null ? "–" : fixed(one.price, 2)] : [])];
  const best = result.front[0];
  return [
    section("plots", "Plot", plotElement(frontPlot(result), result.title)),
    section("front", "The trade-off", plainTable(heads, [line("as drawn", result.drawn), ...result.front.map((one, k) => line(String(k + 1), one))]),
      el("p", { class: "note" }, `Computed again at normal accuracy where that went; best first, the others give less of what is sought but are lighter${result.by_price ? " or cheaper" : ""}. Differences under 1 dB are none.`),
      best.variant !== "" && el("p", {}, "Number 1, for the cabinet file under ", el("code", {}, "variants:")), best.variant !== "" && el("pre", {}, best.variant)),
  ];
}
