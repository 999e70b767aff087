// Cut list, and each board drawn with its holes.

import { axesOf, dot, type Geometry, type Point } from "./geometry.ts";
import { el, plainTable, section } from "./dom.ts";
import { fixed } from "./numbers.ts";
import type { Check } from "./results.ts";

export interface CutLine { material: string; length: number; width: number; thickness: number; names: string[] }

/** Equal pieces on one line: same material, and sizes to a tenth of a millimetre. */
export function cutList(parts: Check["parts"]): CutLine[] {
  const lines = new Map<string, CutLine>();
  for (const part of parts) {
    const key = JSON.stringify([part.material, ...[part.length_mm, part.width_mm, part.thickness_mm].map((size) => Math.round(10 * size))]);
    const line = lines.get(key) ?? { material: part.material, length: part.length_mm, width: part.width_mm, thickness: part.thickness_mm, names: [] };
    line.names.push(part.name);
    lines.set(key, line);
  }
  return [...lines.values()];
}

const size = (mm: number): string => fixed(mm, Math.abs(mm - Math.round(mm)) < 0.05 ? 0 : 1);

export function workshopSection(check: Check | undefined, geometry: Geometry | null): HTMLElement | null {
  if (!check) return null;
  const lines = cutList(check.parts).map((line) => [
    line.names.join(", "), String(line.names.length), `${size(line.length)} × ${size(line.width)} × ${size(line.thickness)}`, line.material]);
  const openings = check.openings.map((hole) => [
    hole.name, hole.board, hole.size, hole.holds, hole.fitting_mass_kg > 0 ? fixed(hole.fitting_mass_kg, 2) : "–"]);
  return section("workshop", "Cut list and boards",
    plainTable(["For", "Pieces", "Length × width × thickness mm", "Material"], lines),
    check.openings.length > 0 && plainTable(["Opening", "Board", "Size mm", "Holds", "kg"], openings),
    geometry && el("div", { class: "drawings" }, ...drawings(geometry)),
    el("p", { class: "note" }, "Sizes are the blanks' longest edges; where boards meet at a slant, bevel from the longer face. Drawings: from outside, mm, all to one scale. " +
      "Sawing: extraction and a dust mask (wood dust; MDF also formaldehyde), guard on the blade."));
}

function drawings(geometry: Geometry): HTMLElement[] {
  const flat = geometry.boards.map((board) => {
    const { right, up } = axesOf(board.normal);
    const lay = (p: Point): [number, number] => [dot(p, right), -dot(p, up)];
    const outline = board.sawn_mm.map(lay), holes = board.openings.map((hole) => hole.outline_mm.map(lay));
    const [xs, ys] = [outline.map((p) => p[0]), outline.map((p) => p[1])];
    return { board, outline, holes, left: Math.min(...xs), top: Math.min(...ys), width: Math.max(...xs) - Math.min(...xs), height: Math.max(...ys) - Math.min(...ys) };
  });
  const largest = Math.max(...flat.map((one) => Math.max(one.width, one.height)));
  const perMm = 220 / largest;
  return flat.map((one) => {
    const margin = 4 / perMm;
    const drawing = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    drawing.setAttribute("viewBox", [one.left - margin, one.top - margin, one.width + 2 * margin, one.height + 2 * margin].join(" "));
    drawing.setAttribute("width", String((one.width + 2 * margin) * perMm));
    drawing.setAttribute("height", String((one.height + 2 * margin) * perMm));
    drawing.setAttribute("aria-hidden", "true");
    for (const [points, kind] of [[one.outline, "board"] as const, ...one.holes.map((hole) => [hole, "hole"] as const)]) {
      const path = document.createElementNS("http://www.w3.org/2000/svg", "polygon");
      path.setAttribute("points", points.map((p) => p.map((c) => c.toFixed(1)).join(",")).join(" "));
      path.setAttribute("class", kind);
      path.setAttribute("stroke-width", String(1.2 / perMm));
      drawing.append(path);
    }
    const caption = `${one.board.name}${one.board.is_brace ? " (brace)" : ""}: ${size(one.width)} × ${size(one.height)}, ${size(one.board.thickness_mm)} thick`;
    const figure = el("figure", {}, el("figcaption", {}, caption));
    figure.prepend(drawing);
    return figure;
  });
}
