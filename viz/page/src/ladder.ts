// All resonances on one axis: the level of each with its band, and from where it is noticed.

import { el, section } from "./dom.ts";
import { decibel, hertz } from "./numbers.ts";
import type { Row } from "./resonances.ts";
import type { Store } from "./store.ts";

const svg = <K extends keyof SVGElementTagNameMap>(tag: K, attributes: Record<string, string | number>, text?: string): SVGElementTagNameMap[K] => {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  if (text !== undefined) element.append(text);
  return element;
};

const size = { width: 760, height: 320, left: 46, right: 12, top: 10, bottom: 38 };

/** Places on the drawing: a logarithmic frequency, levels from `low` to `high`. */
export function scales(rows: Row[]) {
  const from = Math.min(...rows.map((row) => row.frequency)) / 1.06, to = Math.max(...rows.map((row) => row.frequency)) * 1.06;
  const high = Math.ceil(Math.max(0, ...rows.map((row) => Math.max(row.levelHigh ?? row.level!, row.lenient ?? row.strict!))) / 5) * 5;
  const low = -50; // far under what anyone notices
  const x = (f: number) => size.left + (Math.log(f / from) / Math.log(to / from)) * (size.width - size.left - size.right);
  const y = (dB: number) => size.top + ((high - Math.max(low, dB)) / (high - low)) * (size.height - size.top - size.bottom);
  return { x, y, low, high, from, to };
}

export function ladder(all: Row[], store: Store): HTMLElement | null {
  const rows = all.filter((row) => row.level !== null && row.strict !== null);
  if (rows.length === 0) return null;
  const { x, y, low, high, from, to } = scales(rows);
  const drawing = svg("svg", { viewBox: `0 0 ${size.width} ${size.height}`, role: "img", class: "ladder" });
  drawing.append(svg("title", {}, "Level of every resonance over its frequency; the table holds the same figures"));
  for (let dB = Math.ceil(low / 10) * 10; dB <= high; dB += 10) {
    drawing.append(svg("line", { class: "grid", x1: size.left, x2: size.width - size.right, y1: y(dB), y2: y(dB) }));
    drawing.append(svg("text", { x: size.left - 6, y: y(dB) + 4, "text-anchor": "end" }, dB < 0 ? `−${-dB}` : `${dB}`));
  }
  for (const f of [20, 50, 100, 200, 300, 500, 1000, 2000, 3000, 5000])
    if (f > from && f < to) drawing.append(svg("text", { x: x(f), y: size.height - 20, "text-anchor": "middle" }, String(f)));
  drawing.append(svg("text", { x: size.width / 2, y: size.height - 4, "text-anchor": "middle" }, "Hz"));
  const dots = rows.map((row) => mark(drawing, row, x(row.frequency), y, store));
  store.follow(({ mode }) => rows.forEach((row, k) => dots[k].classList.toggle("chosen", row.number === mode)));
  return section("levels", "How loud each is", el("div", { class: "wide" }, drawing as unknown as HTMLElement), el("p", { class: "note" },
    "Dots: a resonance's own sound against the direct sound, in dB; the thin line is where it lies nine times of ten, as far as the " +
    `figures know. Bars: from where trained ears notice it in noise, up to where they do in popular music; borderline begins 5 dB under the bar, 10 dB for dull resonances (Q up to 10). Dots at ${decibel(low)} may lie lower.`));
}

function mark(drawing: SVGSVGElement, row: Row, at: number, y: (dB: number) => number, store: Store): SVGElement {
  if (row.lenient !== null)
    drawing.append(svg("rect", { class: "noticed", x: at - 3, width: 6, y: y(row.lenient), height: Math.max(1, y(row.strict!) - y(row.lenient)) }));
  else drawing.append(svg("line", { class: "noticed", x1: at - 5, x2: at + 5, y1: y(row.strict!), y2: y(row.strict!) }));
  if (row.levelLow !== null && row.levelHigh !== null)
    drawing.append(svg("line", { class: "band", x1: at, x2: at, y1: y(row.levelLow), y2: y(row.levelHigh) }));
  const kind = { audible: "loud", borderline: "near" }[row.verdict] ?? "quiet";
  const dot = svg("circle", { class: `dot ${kind}`, cx: at, cy: y(row.level!), r: 4.5 });
  dot.append(svg("title", {}, `${row.number}: ${row.name}, ${hertz(row.frequency)}, ${decibel(row.level!)}, ${row.verdict}`));
  dot.addEventListener("click", () => store.set({ mode: row.number }));
  drawing.append(dot);
  return dot;
}
