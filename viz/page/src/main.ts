// The page: reads the data in it and puts its parts in order.

import { answerElement } from "./answer.ts";
import { changesSection } from "./changes.ts";
import { plotsOf } from "./curves.ts";
import { append, el, section } from "./dom.ts";
import { unpack, type Geometry, type PackedGeometry } from "./geometry.ts";
import { listenSection } from "./hear/listen.ts";
import { ladder } from "./ladder.ts";
import { methodSection } from "./method.ts";
import { plotElement, redrawPlots } from "./plot.ts";
import { clearest, rowsOfModes, rowsOfSound, type Row } from "./resonances.ts";
import type { Check, Modes, Sound } from "./results.ts";
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

function build(page: HTMLElement): void {
  const check = block<Check>("result", "check");
  const runs = (["sound", "modes"] as const).map(runOf).filter((run): run is Run => run !== undefined);
  const run = runs[0];
  if (!run) throw new Error("no results in this page");
  const worst = clearest(run.rows) ?? run.rows[0] ?? null;
  const store = new Store({ mode: worst?.number ?? null, board: null });
  append(page, answerElement(run.result.cabinet, run.result, run.rows, run.isPlayed, run.top));
  if (run.geometry) append(page, new Panel(run.geometry, run.rows, store).element);
  append(page, resonanceTable(run.rows, store, run.isPlayed ? { key: "over", descends: true } : { key: "frequency", descends: false }),
    ladder(run.rows, store));
  if ("listeners" in run.result) {
    const name = run.result.cabinet.name;
    append(page, section("plots", "Plots", ...plotsOf(run.result).map((plot) => plotElement(plot, name))), listenSection(run.result));
  }
  append(page, changesSection(run.result.advice), workshopSection(check, run.geometry), methodSection(check, runs.map((one) => one.result)));
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
