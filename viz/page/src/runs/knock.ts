// What rings in recorded knocks.

import type { Head } from "../answer.ts";
import type { Plot } from "../curves.ts";
import { el, plainTable, section } from "../dom.ts";
import { fixed, hertz, inWords } from "../numbers.ts";
import { plotElement } from "../plot.ts";
import type { Knock } from "../results.ts";

export function headOfKnock(result: Knock, title: string): Head {
  const modes = result.modes, loudest = [...modes].sort((a, b) => b.level_db - a.level_db)[0];
  const used = result.knocks.filter((knock) => knock.used).length;
  return {
    title, size: result.knocks.length > 0 ? `${used} of ${result.knocks.length} knocks used, ${hertz(result.from_hz)} to ${hertz(result.to_hz)}` : `${hertz(result.from_hz)} to ${hertz(result.to_hz)}`,
    plainly: "Who knocks on a board hears what it rings at and how long. This page tells which tones are in the knocks, and how little each is damped (its Q: about the swings it makes before it is gone).",
    answer: loudest === undefined ? "Nothing that rings was found." :
      `${modes.length === 1 ? "One tone rings" : `${inWords(modes.length)} tones ring`.replace(/^./, (c) => c.toUpperCase())} in these knocks. ` +
      `The strongest is at ${hertz(loudest.frequency_hz)} with a Q of ${fixed(loudest.q, 0)}.`,
    figures: loudest === undefined ? [] : [{ value: hertz(loudest.frequency_hz), what: "the strongest" }, { value: fixed(loudest.q, 0), what: "its Q" }],
  };
}

export function spectrumPlot(result: Knock): Plot | null {
  const { frequency_hz: x, level_db: values } = result.spectrum;
  if (x.length === 0) return null;
  const near = (f: number) => values[x.reduce((best, one, i) => (Math.abs(one - f) < Math.abs(x[best] - f) ? i : best), 0)];
  return {
    id: "spectrum", title: "Spectrum of the knocks", x, unit: "dB", decimals: 1, curves: [{ name: "mean of the knocks used", values }],
    about: "Against its strongest line. Points: the tones that were found, with their Q.",
    spots: result.modes.map((mode) => ({ x: mode.frequency_hz, y: near(mode.frequency_hz), kind: "best", text: `${hertz(mode.frequency_hz)}, Q ${fixed(mode.q, 0)}` })),
  };
}

const faults: Record<string, string> = { silent: "no sound above the noise", cut_off: "cut off before it had died away", clipped: "too loud for the recorder", no_knock: "no knock", noisy: "too near to the noise" };

export function sectionsOfKnock(result: Knock, title: string): HTMLElement[] {
  const plot = spectrumPlot(result);
  return [
    ...(plot ? [section("plots", "Plot", plotElement(plot, title))] : []),
    section("tones", "Tones", plainTable(["Hz", "±", "Q", "± of Q", "Level dB", "In knocks"], result.modes.map((mode) => [
      fixed(mode.frequency_hz, 1), fixed(mode.frequency_error_hz, 2), fixed(mode.q, 0), fixed(mode.q_error, 1), fixed(mode.level_db, 0), String(mode.knocks)]))),
    ...(result.room_t60_s !== null ? [section("room", "The room", el("p", {}, `The room sounds along, about ${fixed(result.room_t60_s, 2)} s of it.`),
      result.of_room.length > 0 && el("p", {}, `Lines that do not stand out of it, the room's or too weak to tell: ${result.of_room.map((mode) => hertz(mode.frequency_hz)).join(", ")}.`))] : []),
    section("knocks", "Knocks", el("ul", {}, ...result.recordings.map((line) => el("li", {}, line))),
      result.knocks.length > 0 && plainTable(["Recording", "At s", "Length s", "Over the noise dB", "Used"], result.knocks.map((knock) => [
        knock.recording, fixed(knock.at_s, 2), fixed(knock.length_s, 2), fixed(knock.over_noise_db, 0), knock.used ? "yes" : `no: ${knock.faults.map((fault) => faults[fault] ?? fault).join(", ")}`]), "tall")),
  ];
}
