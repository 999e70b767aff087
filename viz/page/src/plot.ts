// One plot: curves over a logarithmic frequency, values under the pointer or the arrow keys, zoom, PNG and CSV.

import uPlot from "uplot";
import { csvOf, type Curve, type Plot } from "./curves.ts";
import { download, el, replaceChildren, safeName } from "./dom.ts";
import { fixed, hertz, significant } from "./numbers.ts";

/** Colours that differ in lightness too; dashes and names tell more than three apart. */
const light = ["#1b5e9e", "#b34700", "#2f6f3a", "#7a3b8f", "#8a6a00", "#a02345", "#3a6a75", "#5b5b5b"];
const dark = ["#7db7ee", "#ffa35c", "#8fd19a", "#d3a4e6", "#e3c65a", "#f08fa8", "#8fc7d3", "#c4c4c4"];
const isDark = () => matchMedia("(prefers-color-scheme: dark)").matches && !matchMedia("print").matches;

/** All that are shown, redrawn together when the page is printed or its colours change. */
const redraws: (() => void)[] = [];
export function redrawPlots(): void { for (const redraw of redraws) redraw(); }

const tick = (value: number): string => (value >= 1000 ? `${value / 1000}k` : String(value));

/** 10, 20 … 90, 100, 200 … as far as they lie between. */
export function decades(low: number, high: number): number[] {
  const marks: number[] = [];
  for (let step = 10 ** Math.floor(Math.log10(low)); step <= high; step *= 10)
    for (let k = 1; k < 10; ++k) if (k * step >= low && k * step <= high) marks.push(k * step);
  return marks;
}

function seriesOf(curve: Curve, k: number, isJoined: boolean): uPlot.Series {
  return {
    label: curve.name, scale: curve.axis ?? "y", stroke: (isDark() ? dark : light)[k % light.length], width: k === 0 ? 2 : 1.5,
    dash: curve.dash ? [6, 4] : k >= light.length ? [2, 3] : undefined, points: { show: false }, spanGaps: isJoined };
}

/** Low and high of the left axis where spots lie on it too, with a little room. */
function rangeWithSpots(plot: Plot): uPlot.Range.MinMax | undefined {
  if (!plot.spots || plot.spots.length === 0) return undefined;
  const values = [...plot.curves.filter((curve) => !curve.axis).flatMap((curve) => curve.values), ...plot.spots.map((spot) => spot.y)]
    .filter((value): value is number => value !== null);
  const [low, high] = [Math.min(...values), Math.max(...values)], room = 0.08 * (high - low) || Math.max(1, 0.1 * Math.abs(high));
  return [low < 0 || low - room > 0 ? low - room : 0, high + room];
}

/** Spots and their names over the curves; a name that would lie on another is left to the table. */
function drawSpots(self: uPlot, plot: Plot): void {
  const { ctx, bbox } = self, ratio = window.devicePixelRatio;
  const colours = isDark() ? { loud: "#ff9d94", near: "#f0c069", quiet: "#b3b6ba", best: "#8cc0f2" } : { loud: "#9c1c1c", near: "#7a4b00", quiet: "#777a80", best: "#1b5e9e" };
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  ctx.font = `${11 * ratio}px sans-serif`;
  ctx.textAlign = "left"; // the axes leave their own
  ctx.textBaseline = "alphabetic";
  const taken: [number, number, number][] = [];
  for (const spot of plot.spots ?? []) {
    const [x, y] = [self.valToPos(spot.x, "x", true), self.valToPos(spot.y, "y", true)];
    ctx.fillStyle = ctx.strokeStyle = colours[spot.kind];
    ctx.lineWidth = 1.2 * ratio;
    ctx.beginPath();
    ctx.arc(x, y, (spot.kind === "quiet" ? 2.5 : 4) * ratio, 0, 2 * Math.PI);
    if (spot.kind === "quiet") ctx.stroke();
    else ctx.fill();
    if (!spot.text) continue;
    const width = ctx.measureText(spot.text).width, isRight = x + width + 8 * ratio < bbox.left + bbox.width;
    const left = isRight ? x + 7 * ratio : x - width - 7 * ratio;
    const line = [-5, -18, 12, -31, 25].map((dy) => y + dy * ratio).find((at) =>
      at > bbox.top + 10 * ratio && at < bbox.top + bbox.height &&
      taken.every(([from, to, other]) => left > to || left + width < from || Math.abs(at - other) > 12 * ratio));
    if (line === undefined) continue;
    taken.push([left, left + width, line]);
    ctx.fillStyle = isDark() ? "#d9d9d4" : "#2a2c30";
    ctx.fillText(spot.text, left, line);
  }
  ctx.restore();
}

/** A little room beside the outermost values of a linear axis. */
const besides = (low: number, high: number): uPlot.Range.MinMax => {
  const room = 0.06 * (high - low) || 1;
  return [low - room, high + room];
};

/** The value on the horizontal axis, in words. */
const placeWords = (plot: Plot, index: number): string =>
  !plot.across ? hertz(plot.x[index]) : plot.across.words?.[index] ?? `${plot.across.title} ${significant(plot.x[index], 4)}`;

function optionsOf(plot: Plot, width: number, onCursor: (index: number | null) => void): uPlot.Options {
  const ink = isDark() ? "#d9d9d4" : "#2a2c30", grid = { stroke: isDark() ? "#3c3f44" : "#dcdcd6", width: 1 };
  const axis = (scale: string, label: string, more: object = {}): uPlot.Axis =>
    ({ scale, label, stroke: ink, grid, ticks: grid, labelSize: 20, size: 46, font: "12px sans-serif", labelFont: "12px sans-serif", ...more });
  const left = plot.curves.filter((curve) => !curve.axis).flatMap((curve) => curve.values).filter((v): v is number => v !== null);
  const top = Math.max(...left), floor = plot.floor;
  const range: uPlot.Range.MinMax | undefined = floor === undefined ? rangeWithSpots(plot) : [Math.floor((top - floor) / 10) * 10, Math.ceil(top / 5) * 5];
  return {
    width, height: 300, legend: { show: false }, cursor: { drag: { x: true, y: false }, points: { size: 6 } },
    scales: { x: plot.across
      ? { time: false, range: (_, low, high) => besides(low, high) }
      : { time: false, distr: 3, log: 10, range: (_, low, high) => [low, high] }, y: range ? { range } : {}, right: {} },
    axes: [
      plot.across ? axis("x", plot.across.title, { size: 34, ...wordsOf(plot) }) : axis("x", "Hz", {
        filter: (_: uPlot, splits: number[]) => splits, size: 34, splits: (_: uPlot, __: number, low: number, high: number) => decades(low, high),
        values: (_: uPlot, splits: number[]) => splits.map((value) => (/^[1235]0*$/.test(String(value)) ? tick(value) : "")) }),
      axis("y", plot.unit),
      ...(plot.right ? [axis("right", plot.right, { side: 1, grid: { show: false } })] : []),
    ],
    series: [{}, ...plot.curves.map((curve, k) => seriesOf(curve, k, plot.isJoined ?? false))],
    hooks: { draw: [(self: uPlot) => drawSpots(self, plot)], setCursor: [(self: uPlot) => onCursor(self.cursor.idx ?? null)] },
  };
}

/** Words in place of numbers, one at each value. */
const wordsOf = (plot: Plot): Partial<uPlot.Axis> => plot.across?.words === undefined ? {} : {
  splits: () => plot.x, values: () => plot.across!.words!,
};

export function plotElement(plot: Plot, cabinet: string): HTMLElement {
  const readout = el("p", { class: "readout", role: "status" }), frame = el("div", {
    class: "plot", tabindex: 0, role: "group", "aria-label": `${plot.title}. Left and right arrow keys read the values.` });
  const keys = el("ul", { class: "keys" }, ...plot.curves.map((curve, k) => el("li", {}, swatch(curve, k), curve.name)));
  let drawn: uPlot | null = null, at: number | null = null;
  const read = (index: number | null) => {
    at = index;
    replaceChildren(readout, index === null ? "Point at the curves, or use the arrow keys, to read values. Drag to zoom." :
      `${placeWords(plot, index)}: ${plot.curves.map((curve) => `${curve.name} ${valueWords(curve.values[index], plot, curve)}`).join(" · ")}`);
  };
  const draw = () => {
    drawn?.destroy();
    const width = Math.max(260, frame.clientWidth || 640);
    drawn = new uPlot(optionsOf(plot, width, read), [plot.x, ...plot.curves.map((curve) => curve.values)] as uPlot.AlignedData, frame);
  };
  redraws.push(draw);
  let width = 0;
  new ResizeObserver(() => {
    if (Math.abs(frame.clientWidth - width) < 2) return;
    width = frame.clientWidth;
    draw();
  }).observe(frame);
  frame.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step || !drawn) return;
    event.preventDefault();
    const index = Math.min(plot.x.length - 1, Math.max(0, (at ?? (step > 0 ? -1 : plot.x.length)) + step));
    drawn.setCursor({ left: drawn.valToPos(plot.x[index], "x"), top: 10 });
    read(index);
  });
  read(null);
  const name = `${safeName(cabinet)}-${safeName(plot.id)}`;
  const whole = () => drawn?.setScale("x", { min: plot.x[0], max: plot.x[plot.x.length - 1] });
  return el("figure", { class: "plot-figure", id: `plot-${safeName(plot.id)}` },
    el("figcaption", {}, el("h3", {}, plot.title), el("p", {}, plot.about)), keys, frame, readout,
    el("div", { class: "buttons" },
      el("button", { type: "button", onclick: whole }, "Whole range"),
      el("button", { type: "button", onclick: () => drawn && savePng(drawn, name) }, "PNG"),
      el("button", { type: "button", onclick: () => download(`${name}.csv`, new Blob([csvOf(plot)], { type: "text/csv" })) }, "CSV")));
}

const valueWords = (value: number | null, plot: Plot, curve: Curve): string =>
  value === null ? (plot.isJoined || plot.across ? "–" : "silent") : curve.axis ? `${fixed(value, 0)} ${plot.right}` : `${fixed(value, plot.decimals)} ${plot.unit}`;

function swatch(curve: Curve, k: number): HTMLElement {
  const line = el("span", { class: "swatch", "aria-hidden": "true" });
  const colour = () => { line.style.borderTopColor = (isDark() ? dark : light)[k % light.length]; };
  line.style.borderTopStyle = curve.dash ? "dashed" : k >= light.length ? "dotted" : "solid";
  redraws.push(colour);
  colour();
  return line;
}

/** On the page's own ground, so that the picture can be read wherever it is pasted. */
function savePng(drawn: uPlot, name: string): void {
  const source = drawn.ctx.canvas, copy = el("canvas", { width: source.width, height: source.height });
  const context = copy.getContext("2d")!;
  context.fillStyle = isDark() ? "#17191c" : "#ffffff";
  context.fillRect(0, 0, copy.width, copy.height);
  context.drawImage(source, 0, 0);
  copy.toBlob((blob) => blob && download(`${name}.png`, blob));
}
