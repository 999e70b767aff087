// The page: reads the data in it and puts its parts in order.

import { headElement, headOfRun, type Head } from "./answer.ts";
import { changesSection } from "./changes.ts";
import { plotsOf } from "./curves.ts";
import { append, el, section } from "./dom.ts";
import { unpack, type Geometry, type PackedGeometry } from "./geometry.ts";
import { listenSection } from "./hear/listen.ts";
import { ladder } from "./ladder.ts";
import { methodSection, ofKnocks, type Made } from "./method.ts";
import { plotElement, redrawPlots } from "./plot.ts";
import { recordSection } from "./record.ts";
import { clearest, rowsOfModes, rowsOfSound, type Row } from "./resonances.ts";
import type { Check, Compare, Explain, Improve, Knock, Modes, Sound, Vary, Workshop } from "./results.ts";
import { headOfCompare, sectionsOfCompare } from "./runs/compare.ts";
import { headOfExplain, sectionsOfExplain } from "./runs/explain.ts";
import { headOfImprove, sectionsOfImprove } from "./runs/improve.ts";
import { headOfKnock, sectionsOfKnock } from "./runs/knock.ts";
import { headOfVary, sectionsOfVary } from "./runs/vary.ts";
import { headOfWorkshop, sectionsOfWorkshop, type Drawing } from "./runs/workshop.ts";
import { Store } from "./store.ts";
import { resonanceTable } from "./table.ts";
import { Panel } from "./view/panel.ts";
import { workshopSection } from "./workshop.ts";

function block<T>(kind: string, verb: string): T | undefined {
  const element = document.querySelector(`script[type="application/json"][data-${kind}="${verb}"]`);
  return element ? (JSON.parse(element.textContent!) as T) : undefined;
}

interface Run { result: Modes | Sound; rows: Row[]; isPlayed: boolean; top: number; geometry: Geometry | null }

function runOf(verb: "modes" | "sound"): Run | undefined {
  const packed = block<PackedGeometry>("geometry", verb), geometry = packed ? unpack(packed) : null;
  if (verb === "sound") {
    const result = block<Sound>("result", verb);
    return result && { result, rows: rowsOfSound(result), isPlayed: true, top: result.frequency_hz[result.frequency_hz.length - 1], geometry };
  }
  const result = block<Modes>("result", verb);
  return result && { result, rows: rowsOfModes(result), isPlayed: result.model.is_played, top: result.model.upper_frequency_hz, geometry };
}

/** What rings and what is heard of it: the view, the table, the plots, what to change. */
function partsOfRun(run: Run): (HTMLElement | null)[] {
  const worst = clearest(run.rows) ?? run.rows[0] ?? null;
  const store = new Store({ mode: worst?.number ?? null, board: null });
  const parts: (HTMLElement | null)[] = [
    run.geometry && new Panel(run.geometry, run.rows, store).element,
    resonanceTable(run.rows, store, run.isPlayed ? { key: "over", descends: true } : { key: "frequency", descends: false }),
    ladder(run.rows, store)];
  if ("listeners" in run.result) {
    const name = run.result.cabinet.name;
    parts.push(section("plots", "Plots", ...plotsOf(run.result).map((plot) => plotElement(plot, name))), listenSection(run.result));
  }
  return [...parts, changesSection(run.result.advice)];
}

/** What one verb adds: the first screen, if the page is about it, and its parts. */
interface Part { head: () => Head; sections: () => HTMLElement[]; made: Made }

/** In the order of a page that holds several. */
function otherParts(check: Check | undefined): Part[] {
  const parts: Part[] = [], title = document.title;
  const from = check ? check.cabinet.file : title;
  const add = <T extends { version: string }>(verb: string, make: (result: T) => Omit<Part, "made">, more: (result: T) => Partial<Made> = () => ({})) => {
    const result = block<T>("result", verb);
    if (result) parts.push({ ...make(result), made: { version: result.version, from, ...more(result) } });
  };
  add<Explain>("explain", (result) => ({ head: () => headOfExplain(result), sections: () => sectionsOfExplain(result) }), (result) => ({ warnings: result.warnings }));
  add<Knock>("knock", (result) => ({ head: () => headOfKnock(result, title), sections: () => sectionsOfKnock(result, title) }), (result) => ({ how: ofKnocks, warnings: result.warnings }));
  add<Compare>("compare", (result) => ({ head: () => headOfCompare(result), sections: () => sectionsOfCompare(result, result.schemes.map((_, k) => block<PackedGeometry>("geometry", `compare-${k}`))) }));
  add<Vary>("vary", (result) => ({ head: () => headOfVary(result), sections: () => sectionsOfVary(result) }));
  add<Improve>("improve", (result) => ({ head: () => headOfImprove(result), sections: () => sectionsOfImprove(result) }));
  add<Workshop>("workshop", (result) => ({
    head: () => headOfWorkshop(result, check!), sections: () => sectionsOfWorkshop(result, block<Drawing[]>("drawings", "workshop") ?? []) }));
  return parts;
}

function build(page: HTMLElement): void {
  const check = block<Check>("result", "check");
  const runs = (["sound", "modes"] as const).map(runOf).filter((run): run is Run => run !== undefined);
  const run = runs[0], others = otherParts(check);
  if (!run && others.length === 0) throw new Error("no results in this page");
  append(page, headElement(run ? headOfRun(run.result.cabinet, run.result, run.rows, run.isPlayed, run.top) : others[0].head()));
  if (run) append(page, ...partsOfRun(run));
  for (const part of others) append(page, ...part.sections());
  append(page, recordSection(check));
  if (run && !block("result", "workshop")) append(page, workshopSection(check, run.geometry));
  const made = run ? { version: run.result.version, from: run.result.cabinet.file } : others[0].made;
  append(page, methodSection(check, runs.map((one) => one.result), { ...made, warnings: others.flatMap((part) => part.made.warnings ?? []) }));
}

const page = document.getElementById("page")!;
try {
  build(page);
} catch (error) {
  append(page, el("p", { role: "alert" }, `This page cannot be shown: ${error instanceof Error ? error.message : String(error)}. Its figures stand in its source as JSON.`));
  throw error;
}
for (const query of ["(prefers-color-scheme: dark)", "print"]) matchMedia(query).addEventListener("change", redrawPlots);
window.addEventListener("beforeprint", () => document.querySelectorAll("details").forEach((one) => { if (!one.classList.contains("licences")) one.open = true; }));
