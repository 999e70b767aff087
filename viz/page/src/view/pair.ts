// Two schemes side by side, turning together and on one scale: millimetres alike, and movement as large as it is loud.

import { append, el, replaceChildren } from "../dom.ts";
import type { Geometry } from "../geometry.ts";
import { makeBody, type Body } from "./body.ts";
import { first, limited, type Pose } from "./camera.ts";
import type { Painter } from "./gl.ts";
import { beat, painterFor, type Parts } from "./panel.ts";

/** A mode of a scheme: which shape, how loud (nothing: not played), and its words. */
export interface PairedMode { shape: number; level: number | null; words: string }
/** What one side shows; no mode: the scheme has none that is like it. */
export interface PairedScheme { name: string; geometry: Geometry }

interface Side { body: Body; painter: Painter; parts: Parts; caption: HTMLElement; faded: boolean[] }

/** How far each moves against the louder one, 0 … 1; alike where levels are not known. */
export function strengths(levels: (number | null)[]): number[] {
  const known = levels.filter((level): level is number => level !== null);
  const top = Math.max(...known);
  return levels.map((level) => (known.length < levels.length || level === null ? 1 : 10 ** ((level - top) / 20)));
}

export class Pair {
  readonly element: HTMLElement = el("div", { class: "pair" });
  private sides: Side[] = [];
  private pose: Pose = { ...first };
  private wanted = false;
  private playing = !matchMedia("(prefers-reduced-motion: reduce)").matches;

  constructor() { new ResizeObserver(() => this.ask()).observe(this.element); }

  /** Puts two schemes side by side. */
  set(schemes: PairedScheme[], modes: (PairedMode | null)[]): void {
    for (const side of this.sides) side.painter.dispose(); // a browser has few contexts
    const strong = strengths(modes.map((mode) => mode?.level ?? null));
    this.sides = schemes.map((scheme, k) => this.side(scheme, modes[k], strong[k]));
    replaceChildren(this.element, ...this.sides.map((side) => el("figure", {}, side.parts.note, side.parts.frame, side.caption)));
    this.ask();
  }

  get isPlaying(): boolean { return this.playing; }

  toggle(): boolean {
    this.playing = !this.playing;
    this.ask();
    return this.playing;
  }

  private side(scheme: PairedScheme, mode: PairedMode | null, strength: number): Side {
    const canvas = el("canvas", { "aria-hidden": "true" }), labels = el("div", { class: "labels" });
    const frame = el("div", { class: "frame", tabindex: 0, role: "application",
      "aria-label": `${scheme.name}. Arrow keys turn both cabinets, plus and minus zoom.` }, canvas, labels);
    const parts: Parts = { canvas, frame, labels, note: el("p", { class: "note" }) };
    const body = makeBody(scheme.geometry), has = mode !== null && scheme.geometry.shapes.has(mode.shape);
    body.show(has ? mode.shape : null);
    body.shape.forEach((value, i) => { body.shape[i] = value * strength; }); // movement and colours alike
    const painter = painterFor(parts, body);
    painter.reshaped();
    this.listen(frame);
    const words = mode === null ? "none alike" : has ? mode.words : `${mode.words}; its shape was left out to keep the page small`;
    return { body, painter, parts, faded: scheme.geometry.boards.map(() => false), caption: el("figcaption", {}, el("b", {}, scheme.name), `: ${words}`) };
  }

  private listen(frame: HTMLElement): void {
    let from: { x: number; y: number } | null = null;
    frame.addEventListener("pointerdown", (event) => {
      from = { x: event.clientX, y: event.clientY };
      frame.setPointerCapture(event.pointerId);
    });
    frame.addEventListener("pointermove", (event) => {
      if (!from) return;
      this.turn({ turn: this.pose.turn - 0.01 * (event.clientX - from.x), rise: this.pose.rise + 0.01 * (event.clientY - from.y) });
      from = { x: event.clientX, y: event.clientY };
    });
    frame.addEventListener("pointerup", () => { from = null; });
    frame.addEventListener("keydown", (event) => {
      const step = 0.12, { turn, rise, zoom } = this.pose;
      const moves: Record<string, Partial<Pose>> = { ArrowLeft: { turn: turn + step }, ArrowRight: { turn: turn - step }, ArrowUp: { rise: rise + step },
        ArrowDown: { rise: rise - step }, "+": { zoom: 1.25 * zoom }, "=": { zoom: 1.25 * zoom }, "-": { zoom: 0.8 * zoom }, "0": first };
      const move = moves[event.key];
      if (!move || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      this.turn(move);
    });
  }

  private turn(change: Partial<Pose>): void {
    this.pose = limited({ ...this.pose, ...change });
    this.ask();
  }

  private ask(): void {
    if (this.wanted) return;
    this.wanted = true;
    requestAnimationFrame((now) => {
      this.wanted = false;
      const radius = Math.max(...this.sides.map((side) => side.body.radius));
      const phase = this.playing ? Math.cos((2 * Math.PI * now) / 1000 / beat) : 1;
      for (const { painter, parts, faded } of this.sides) {
        const stage = { isFlat: false, width: Math.max(50, parts.frame.clientWidth), height: Math.max(50, parts.frame.clientHeight), radius, flatWidth: 1, flatHeight: 1 };
        painter.paint({ pose: this.pose, isFlat: false, open: 0, amplitude: 0.125 * radius, phase, faded }, stage, [0.12, 0.13, 0.15]);
        parts.frame.style.setProperty("--proportions", `${stage.width} / ${stage.height}`);
      }
      if (this.playing && !document.hidden && this.element.isConnected) this.ask();
    });
  }
}

/** Choosers for both schemes and the resonance, above a pair. */
export function pairControls(schemes: string[], modes: string[], chosen: { left: number; right: number; mode: number }, changed: () => void, pair: Pair): HTMLElement {
  const chooser = (id: string, title: string, names: string[], key: "left" | "right" | "mode") => {
    const select = el("select", { id, onchange: () => { chosen[key] = Number(select.value); changed(); } });
    names.forEach((name, k) => append(select, el("option", { value: k, selected: k === chosen[key] }, name)));
    return el("label", { for: id }, title, select);
  };
  const play = el("button", { type: "button", "aria-pressed": String(pair.isPlaying), onclick: () => play.setAttribute("aria-pressed", String(pair.toggle())) }, "Moves");
  return el("div", { class: "filters" }, chooser("pair-left", "Left", schemes, "left"), chooser("pair-right", "Right", schemes, "right"), chooser("pair-mode", "Resonance of the first", modes, "mode"), play);
}
