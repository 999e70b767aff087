// How it was computed, by what figures, and what it does not know.

import { el, section } from "./dom.ts";
import { fixed, significant } from "./numbers.ts";
import type { Check, Modes, Sound, MaterialFigure } from "./results.ts";

const isSound = (result: Modes | Sound): result is Sound => "listeners" in result;

function modelFacts(result: Modes | Sound): [string, string][] {
  if (isSound(result)) {
    const { model, drive } = result;
    return [
      ["Driven at", `${significant(drive.volts_rms, 3)} V r.m.s., ${fixed(drive.direct_level_1m_db, 0)} dB at 1 m (direct sound, mean power of ${fixed(drive.level_from_hz, 0)} to ${fixed(drive.level_to_hz, 0)} Hz)`],
      ["Model", `${model.wall_modes} wall and ${model.air_modes} air modes, ${model.frequencies} frequencies; radiation interpolated within ${significant(100 * model.radiation_error, 2)} %`],
      ["Meshes", `${model.shell_unknowns} unknowns of the walls (elements ${fixed(model.shell_element_mm, 1)} mm), ${model.air_unknowns} of the air (${fixed(model.air_element_mm, 1)} mm), ${model.panels} panels outside; ${model.accuracy}`],
    ];
  }
  const { model } = result;
  return [
    ["Model", `${model.elements} elements of about ${fixed(model.element_size_mm, 1)} mm, ${model.unknowns} unknowns; ${model.accuracy}`],
    ["Complete", model.count_proved ? `no resonance below ${fixed(model.upper_frequency_hz, 0)} Hz is missing (a Sturm count proves it)` : "the list is not proved to be complete"],
    ["Mass", `${fixed(model.mass_kg, 2)} kg in the model, ${fixed(result.cabinet.mass_kg, 2)} kg in the drawing`],
  ];
}

const unknowns = [
  "Boards are taken as the library's or the file's figures say; the bands of the frequencies follow from the ranges of those figures. Trust no frequency beyond its band, and measure before you blame.",
  "Joints are taken as glued and sound unless the file says otherwise; a loose screw, a gap or a rattle is not in it.",
  "Drivers are taken as linear, at one level. Distortion, chuffing and what a grille or a stand adds are left out.",
  "Whether a resonance is noticed follows from published listening tests with other sounds and other rooms; one's own ears may differ.",
];
const cautions = [
  "Hearing: 85 dB(A) for 8 hours a day is the limit NIOSH recommends (98-126), and each 3 dB more halves the time. Sweeps with ear plugs.",
  "Drivers: start low and raise slowly; stop at the first rattle or smell.",
  "Mains: nothing live on the mains is opened or probed. Local rules and licensed practice come first.",
  "Tall or hung cabinets tip and fall: fix them as their weight asks.",
];

const ofWalls = "Boards are shells of finite elements, joints follow from the elasticity of their corner pieces, the air inside is finite elements, " +
  "the sound outside comes from boundary elements; drivers push by their frames and by the pressure of the air.";
export const ofKnocks = "Each knock is cut out at its start; what decays in all of them together gives the poles, and of these only those count that stay " +
  "where they are while their number is raised. Errors are one standard deviation.";

/** What a run says of itself. */
export interface Made { version: string; from: string; how?: string; warnings?: string[] }

export function methodSection(check: Check | undefined, results: (Modes | Sound)[], made: Made): HTMLElement {
  const list = (items: string[]) => el("ul", {}, ...items.map((item) => el("li", {}, item)));
  const facts = results.flatMap(modelFacts);
  const warnings = [...results.flatMap((result) => (isSound(result) ? result.warnings : [])), ...(made.warnings ?? [])];
  return section("method", "Method, figures, cautions",
    el("p", {}, made.how ?? ofWalls),
    facts.length > 0 && el("dl", { class: "facts-list" }, ...facts.flatMap(([name, text]) => [el("dt", {}, name), el("dd", {}, text)])),
    warnings.length > 0 && el("h3", {}, "Warnings of this run"), warnings.length > 0 && list(warnings),
    check && el("h3", {}, "Materials, and where their figures come from"), ...(check ? materialTables(check) : []),
    !made.how && el("h3", {}, "What the model does not know"), !made.how && list(unknowns), el("h3", {}, "Cautions"),
    list([...cautions, ...new Set(check ? check.materials.map((m) => m.caution).filter(Boolean) : [])]),
    el("p", { class: "note" }, `Made by stillwall ${made.version} from ${made.from}. The figures of this page stand in its source as JSON.`));
}

/** Pascals in the unit people use. */
export function figureWords(figure: MaterialFigure): string {
  const [unit, divisor] = figure.unit === "Pa" ? (figure.value >= 1e8 ? ["GPa", 1e9] as const : ["MPa", 1e6] as const) : [figure.unit.replace("m3", "m³"), 1] as const;
  const number = (value: number) => significant(value / divisor, 3);
  const range = figure.low === figure.high ? "" : ` (${number(figure.low)} to ${number(figure.high)})`;
  return `${number(figure.value)}${range}${unit ? ` ${unit}` : ""}`;
}

function materialTables(check: Check): HTMLElement[] {
  const seen = new Set<string>();
  return check.materials.flatMap((material) => {
    const lines = material.figures.map((figure) => el("tr", {}, el("th", { scope: "row" }, figure.figure), el("td", {}, figureWords(figure)),
      el("td", {}, figure.source || "–"), el("td", {}, figure.confirmed || "–")));
    // Thickness classes of one stock often share every figure.
    const key = JSON.stringify([material.title, material.figures]);
    if (seen.has(key)) return [];
    seen.add(key);
    return [el("details", { open: check.materials.length <= 2 }, el("summary", {}, `${material.title || material.name}`), el("div", { class: "wide" }, el("table", {},
      el("thead", {}, el("tr", {}, ...["Figure", "Typical (range)", "Source", "Confirmed"].map((title) => el("th", { scope: "col" }, title)))), el("tbody", {}, ...lines))))];
  });
}
