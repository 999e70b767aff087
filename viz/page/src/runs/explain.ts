// What was measured, what explains it with what odds, and the measured impedance over the computed one.

import { sizeOf, type Head } from "../answer.ts";
import { joined, type Plot, type Spot } from "../curves.ts";
import { el, plainTable, section } from "../dom.ts";
import { capital, fixed, hertz, inWords, percent, significant } from "../numbers.ts";
import { plotElement } from "../plot.ts";
import type { Explain, Known, ReadingOfExplain } from "../results.ts";

const withError = (known: Known, decimals: number): string => `${fixed(known.value, decimals)} ± ${fixed(known.error, decimals)}`;
/** Nothing is certain: 100 % is never said. */
const inOdds = (odds: number): string => (odds > 0.995 ? "> 99 %" : odds < 0.01 ? "< 1 %" : percent(odds));
const named = (reading: ReadingOfExplain): string => reading.causes[0].name;

export function headOfExplain(result: Explain): Head {
  const readings = result.readings, sure = readings.filter((one) => one.causes[0].odds >= 0.9);
  const clearest = [...sure].sort((a, b) => (b.change_ohm?.value ?? 0) - (a.change_ohm?.value ?? 0))[0];
  return {
    title: result.cabinet.name || result.cabinet.file, size: sizeOf(result.cabinet),
    plainly: "A cabinet that rings leaves small wrinkles in the impedance of its drivers, and tones in a knock. This page tells what makes each of those that were measured.",
    answer: readings.length === 0 ? "Nothing that rings was found in what was measured." :
      `${capital(inWords(readings.length))} ${readings.length === 1 ? "reading was" : "readings were"} found in what was measured; for ${inWords(sure.length)} of them one cause has odds of 90 % or more.` +
      (clearest ? ` The clearest: ${named(clearest)}, read at ${hertz(clearest.frequency_hz.value)} (${inOdds(clearest.causes[0].odds)}).` : ""),
    figures: readings.length === 0 ? [] : [{ value: `${sure.length} of ${readings.length}`, what: "readings have a cause with odds of 90 % or more" },
      ...(clearest ? [{ value: hertz(clearest.frequency_hz.value), what: named(clearest) }] : [])],
  };
}

/** The measured |Z| at a frequency, between its points. */
function ohmAt(curve: { frequency_hz: number[]; ohm: number[] }, f: number): number | null {
  const right = curve.frequency_hz.findIndex((one) => one >= f);
  if (right < 0) return null;
  if (right === 0) return curve.ohm[0];
  const [a, b] = [curve.frequency_hz[right - 1], curve.frequency_hz[right]];
  return curve.ohm[right - 1] + ((f - a) / (b - a)) * (curve.ohm[right] - curve.ohm[right - 1]);
}

export function impedancePlot(result: Explain): Plot | null {
  const both = result.impedance;
  if (!both) return null;
  const { x, values } = joined([both.measured, both.computed].map((curve) => ({ x: curve.frequency_hz, values: curve.ohm })));
  const spots: Spot[] = result.readings.flatMap((reading) => {
    const ohm = reading.measurement === "impedance" ? ohmAt(both.measured, reading.frequency_hz.value) : null;
    return ohm === null ? [] : [{ x: reading.frequency_hz.value, y: ohm, kind: "loud" as const, text: `${hertz(reading.frequency_hz.value)} ${named(reading)}` }];
  });
  return {
    id: "impedance", title: "Impedance, measured and computed", x, unit: "ohm", decimals: 3, isJoined: true, spots,
    about: "Points: the wrinkles that were found, each with its most likely cause. Drag over a part of it to see it larger.",
    curves: [{ name: "measured", values: values[0] }, { name: "computed", values: values[1], dash: true }],
  };
}

function readingLine(reading: ReadingOfExplain): (string | Node)[] {
  const [first, ...others] = reading.causes;
  return [`${withError(reading.frequency_hz, 1)} Hz`, reading.measurement, withError(reading.q, 0), reading.change_ohm ? `${withError(reading.change_ohm, 3)} ohm` : reading.level_db !== null ? `${fixed(reading.level_db, 0)} dB` : "–",
    `${first.name}${first.model ? ` (computed: ${hertz(first.model.frequency_hz)}, Q ${fixed(first.model.q, 0)})` : ""}`, inOdds(first.odds),
    others.filter((cause) => cause.odds >= 0.01).slice(0, 3).map((cause) => `${cause.name} ${inOdds(cause.odds)}`).join("; ") || "–"];
}

export function sectionsOfExplain(result: Explain): HTMLElement[] {
  const plot = impedancePlot(result), tests = result.readings.filter((reading) => reading.test);
  const humps = result.box;
  return [
    ...(plot ? [section("measured", "What was measured", plotElement(plot, result.cabinet.name), el("ul", {}, ...result.measured.map((line) => el("li", {}, line))))] : []),
    section("readings", "Readings and their causes", plainTable(["Reading", "In", "Q", "Height", "Most likely", "Odds", "Or"], result.readings.map(readingLine)),
      el("p", { class: "note" }, "Odds weigh frequency, damping and size of each reading against all that the model and common sense offer; “no cause” is among them."),
      plot === null && el("ul", {}, ...result.measured.map((line) => el("li", {}, line)))),
    ...(tests.length > 0 ? [section("tests", "To be sure", plainTable(["Reading", "What to do, and what each cause would show"], tests.map((reading) =>
      [`${hertz(reading.frequency_hz.value)}, ${named(reading)}`, reading.test!.words])))] : []),
    ...(humps ? [section("box", "The driver in its box", plainTable(["Hump", "Measured", "Computed"], humps.measured.map((hump, k) =>
      [String(k + 1), humpWords(hump), humps.model[k] ? humpWords(humps.model[k]) : "–"])))] : []),
    ...(result.computed_but_not_seen.length > 0 ? [section("unseen", "Computed, but not seen", el("p", {}, "These should have left a wrinkle in the sweep, and did not:"),
      plainTable(["Cause", "Hz", "Change ohm"], result.computed_but_not_seen.map((one) => [one.name, fixed(one.frequency_hz, 0), significant(one.change_ohm, 2)])))] : []),
    ...(result.left_out.length > 0 ? [section("leftout", "Stands out, and is not taken for a resonance",
      plainTable(["Hz", "Ohm", "Why"], result.left_out.map((one) => [fixed(one.frequency_hz, 0), significant(one.change_ohm, 2), one.reason])))] : []),
  ];
}

const humpWords = (hump: { frequency_hz: number; q: number; height_ohm: number }): string =>
  `${hertz(hump.frequency_hz)}, Q ${fixed(hump.q, 1)}, ${fixed(hump.height_ohm, 1)} ohm high`;
