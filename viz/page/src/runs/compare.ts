// Schemes side by side: their figures, their curves over each other, and what became of the first one's resonances.

import type { Head } from "../answer.ts";
import { joined, type Plot } from "../curves.ts";
import { el, plainTable, section } from "../dom.ts";
import { unpack, type PackedGeometry } from "../geometry.ts";
import { capital, decibel, fixed, hertz, signed } from "../numbers.ts";
import { plotElement } from "../plot.ts";
import type { Compare, ModeOfScheme, Scheme } from "../results.ts";
import { Pair, pairControls, type PairedMode } from "../view/pair.ts";

const at = (scheme: Scheme, place: number): ModeOfScheme | null => (place < 0 ? null : scheme.modes[place]);
const isPlayed = (result: Compare): boolean => result.schemes[0].is_played;

const modeWords = (mode: ModeOfScheme | null): string => (mode === null ? "–" : `${hertz(mode.frequency_hz)}, ${mode.board || mode.name || "no name"}`);
const levelWords = (mode: ModeOfScheme | null): string => (mode?.level_db === undefined || mode.level_db === null ? "–" : decibel(mode.level_db));
const overWords = (mode: ModeOfScheme | null): string => (mode?.over_strict_db === undefined || mode.over_strict_db === null ? "–" : signed(mode.over_strict_db, 0));

/** What one scheme is known by, in a sentence's middle. */
function known(scheme: Scheme, played: boolean): string {
  const worst = at(scheme, scheme.loudest_wall), lowest = at(scheme, scheme.first_wall_mode);
  if (played) return worst === null ? "no wall that was judged" : `its worst wall at ${hertz(worst.frequency_hz)}, ${levelWords(worst)} against the direct sound`;
  return lowest === null ? "no resonance in the range" : `its first resonance at ${hertz(lowest.frequency_hz)}`;
}

export function headOfCompare(result: Compare): Head {
  const played = isPlayed(result), first = result.schemes[0], best = result.schemes[result.best_first[0] ?? 0];
  const story = best === first
    ? `None of the others ${played ? "is quieter than" : "has a higher first resonance than"} ${first.name}, with ${known(first, played)}.`
    : `${played ? "Quietest" : "Highest first resonance"}: ${best.name}, with ${known(best, played)}. ${capital(first.name)}, against which all are held, has ${known(first, played)}.`;
  const figures = [{ value: best.name, what: played ? "the quietest" : "the highest first resonance" }];
  const [was, is] = [first, best].map((scheme) => at(scheme, scheme.loudest_wall)?.over_strict_db ?? null);
  if (played && best !== first && was !== null && is !== null) figures.push({ value: `${signed(is - was, 1)} dB`, what: `worst wall over notice, against ${first.name}` });
  if (best !== first) figures.push({ value: `${signed(best.mass_kg - first.mass_kg, 2)} kg`, what: `and ${signed(best.net_volume_l - first.net_volume_l, 1)} litres net, against ${first.name}` });
  return {
    title: result.title, size: `${result.schemes.length} schemes, resonances to ${hertz(result.upper_frequency_hz)}, ${result.accuracy} accuracy`,
    plainly: "The same box built in several ways, each computed by itself. This page shows which rings least, and what it costs in weight and litres.",
    answer: story, figures,
  };
}

function schemesTable(result: Compare): HTMLElement {
  const played = isPlayed(result), hasPrice = result.schemes.some((scheme) => scheme.price !== null);
  const heads = ["Scheme", "First resonance of a wall", ...(played ? ["Worst wall", "Its level", "Over notice dB", "Heard"] : []), "kg", "Litres net", ...(hasPrice ? ["Price by area"] : []), "Saw cuts"];
  return plainTable(heads, result.schemes.map((scheme) => {
    const worst = at(scheme, scheme.loudest_wall);
    return [scheme.name, modeWords(at(scheme, scheme.first_wall_mode)),
      ...(played ? [modeWords(worst), levelWords(worst), overWords(worst), `${scheme.walls_audible} + ${scheme.walls_borderline}`] : []),
      fixed(scheme.mass_kg, 2), fixed(scheme.net_volume_l, 1), ...(hasPrice ? [scheme.price === null ? "–" : fixed(scheme.price, 2)] : []), String(scheme.cuts)];
  }));
}

function curvesOf(result: Compare): Plot[] {
  const drawn = result.schemes.filter((scheme) => scheme.curves);
  if (drawn.length === 0) return [];
  const plot = (id: string, title: string, about: string, unit: string, decimals: number, pick: (curves: NonNullable<Scheme["curves"]>) => (number | null)[]): Plot => {
    const { x, values } = joined(drawn.map((scheme) => ({ x: scheme.curves!.frequency_hz, values: pick(scheme.curves!) })));
    return { id, title, about, x, unit, decimals, isJoined: true, curves: drawn.map((scheme, k) => ({ name: scheme.name, values: values[k] })) };
  };
  return [
    { ...plot("walls", "Sound of all walls", "Against the direct sound of cones and ports, each scheme at its worst listener.", "dB", 1, (curves) => curves.walls_against_direct_db), floor: 60 },
    plot("impedance", "Impedance", "Of the first way, in each scheme.", "ohm", 2, (curves) => curves.impedance_ohm),
  ];
}

/** A line per wall mode of the first scheme, and where each of the others has it. */
function followed(result: Compare): HTMLElement {
  const first = result.schemes[0];
  const lines = first.modes.map((mode, m) => ({ mode, m })).filter(({ mode }) => mode.kind === "wall").map(({ mode, m }) => [
    mode.name || mode.board || "no name", ...result.schemes.map((scheme) => {
      const met = scheme.same_as_first.find((one) => one.mode_of_first === m);
      const there = met ? scheme.modes[met.mode] : null;
      return there === null ? "none alike" : hertz(there.frequency_hz) + (there.level_db === undefined || there.level_db === null ? "" : `, ${decibel(there.level_db)}`);
    })]);
  return section("followed", "What became of each resonance", el("p", { class: "note" },
    `Resonances of the walls of ${first.name}, and in each other scheme the one that is most alike in shape.`),
  plainTable(["Resonance", ...result.schemes.map((scheme) => scheme.name)], lines, "tall"));
}

/** Where a mode of the first scheme is met again; nothing: none is alike. */
const metIn = (scheme: Scheme, modeOfFirst: number): number | null => scheme.same_as_first.find((one) => one.mode_of_first === modeOfFirst)?.mode ?? null;

/** The same resonance in two schemes, drawn side by side. */
function pairSection(result: Compare, packed: (PackedGeometry | undefined)[]): HTMLElement | null {
  const first = result.schemes[0], walls = first.modes.map((mode, m) => ({ mode, m })).filter(({ mode }) => mode.kind === "wall");
  if (packed.length < 2 || packed.some((one) => one === undefined) || walls.length === 0) return null;
  const geometries = packed.map((one) => unpack(one!)), pair = new Pair();
  const best = result.best_first[0] ?? 1, right = best === 0 ? 1 : best;
  // What is nearest to the ear of those that both have.
  const nearness = ({ mode, m }: (typeof walls)[number]) => (metIn(result.schemes[right], m) === null ? -1e9 : mode.over_strict_db ?? -mode.frequency_hz);
  const nearest = walls.reduce((place, wall, k) => (nearness(wall) > nearness(walls[place]) ? k : place), 0);
  const chosen = { left: 0, right, mode: nearest };
  const modeOf = (k: number): PairedMode | null => {
    const there = metIn(result.schemes[k], walls[chosen.mode].m);
    if (there === null) return null;
    const mode = result.schemes[k].modes[there];
    return { shape: there + 1, level: mode.level_db ?? null, words: `${mode.name || mode.board || "no name"}, ${hertz(mode.frequency_hz)}${mode.level_db === undefined || mode.level_db === null ? "" : `, ${decibel(mode.level_db)}`}` };
  };
  const show = () => pair.set([chosen.left, chosen.right].map((k) => ({ name: result.schemes[k].name, geometry: geometries[k] })), [modeOf(chosen.left), modeOf(chosen.right)]);
  const controls = pairControls(result.schemes.map((scheme) => scheme.name), walls.map(({ mode }) => `${hertz(mode.frequency_hz)}, ${mode.name || mode.board}`), chosen, show, pair);
  show();
  return section("pair", "Side by side", controls, pair.element, el("p", { class: "note" }, `Both turn together and are drawn to one scale; ${isPlayed(result) ? "movement and colours go by the level at the listener, the louder one at full size" : "movement is drawn alike, since nothing was played"}. Drag, or use the arrow keys.`));
}

export function sectionsOfCompare(result: Compare, packed: (PackedGeometry | undefined)[]): HTMLElement[] {
  const plots = curvesOf(result), pair = pairSection(result, packed);
  return [
    ...(pair ? [pair] : []),
    section("schemes", "The schemes", schemesTable(result), el("p", { class: "note" }, (isPlayed(result)
      ? "Worst wall: the one nearest to being heard. Over notice: its dB against what trained ears find in noise. Heard: walls audible + borderline. "
      : `Not played: ${result.without_drivers_figures.length > 0 ? `drivers' figures are missing in ${result.without_drivers_figures.join(", ")}` : "only the boards were computed"}. `) +
      "Cabinets are computed alike, so that their differences are surer than their figures.")),
    ...(plots.length > 0 ? [section("plots", "Plots", ...plots.map((plot) => plotElement(plot, result.title)))] : []),
    followed(result),
  ];
}
