// The cabinet, turning: the canvas with its controls, labels and keys.

import { append, el, replaceChildren, section } from "../dom.ts";
import { dot, type Geometry } from "../geometry.ts";
import { capital, fixed, hertz } from "../numbers.ts";
import type { Row } from "../resonances.ts";
import type { Store } from "../store.ts";
import { makeBody, type Body } from "./body.ts";
import { axesOf, first, limited, project, scaleOf, type Pose, type Stage } from "./camera.ts";
import { diverging } from "./colours.ts";
import { glPainter, type Painter } from "./gl.ts";
import { boardAt, placeAll, type Look } from "./placed.ts";
import { plainPainter } from "./plain.ts";

export const beat = 1.2; // [s] of one swing on the screen, whatever the true frequency

export interface Parts { canvas: HTMLCanvasElement; frame: HTMLElement; labels: HTMLElement; note: HTMLElement }

/** WebGL where the browser has it; else a plain canvas, and a sentence that says so. */
export function painterFor(parts: Parts, body: Body): Painter {
  try {
    return glPainter(parts.canvas, body);
  } catch {
    const plain = el("canvas", { "aria-hidden": "true" });
    parts.canvas.replaceWith(plain);
    parts.canvas = plain;
    append(parts.note, "This browser draws no WebGL, so the picture below is drawn plainly: it turns and plays, but slower.");
    return plainPainter(plain, body);
  }
}

export class Panel {
  readonly element: HTMLElement;
  private body: Body;
  private painter: Painter;
  private parts: Parts;
  private pose: Pose = { ...first };
  private look: Look;
  private playing = !matchMedia("(prefers-reduced-motion: reduce)").matches;
  private started = performance.now();
  private strength = 0.5;
  private wanted = false;
  private facts = el("div", { class: "facts", "aria-live": "polite" });
  private picker = el("select", { id: "mode-picker" });

  constructor(private geometry: Geometry, private rows: Row[], private store: Store) {
    this.body = makeBody(geometry);
    const canvas = el("canvas", { "aria-hidden": "true" });
    const labels = el("div", { class: "labels", "aria-hidden": "true" });
    const frame = el("div", {
      class: "frame", tabindex: 0, role: "application",
      "aria-label": "The cabinet. Arrow keys turn it, plus and minus zoom, 0 goes back to the first view." }, canvas, labels);
    this.parts = { canvas, frame, labels, note: el("p", { class: "note" }) };
    this.look = { pose: this.pose, isFlat: false, open: 0, amplitude: 0, phase: 1, faded: geometry.boards.map(() => false) };
    this.painter = painterFor(this.parts, this.body);
    this.element = section("view", "The cabinet", this.parts.note, el("div", { class: "viewer" },
      frame, el("div", { class: "controls" }, ...this.controls())), this.facts);
    this.listen();
    store.follow((choice) => this.choose(choice.mode));
    this.faceFirst();
    new ResizeObserver(() => this.ask()).observe(frame);
  }

  private controls(): HTMLElement[] {
    for (const row of this.rows.filter((one) => this.geometry.shapes.has(one.number)))
      this.picker.append(el("option", { value: row.number }, `${row.number}: ${hertz(row.frequency)}, ${row.name || "no name"}`));
    this.picker.addEventListener("change", () => this.store.set({ mode: Number(this.picker.value) }));
    const range = (name: string, id: string, value: number, act: (value: number) => void) =>
      el("label", { for: id }, name, el("input", {
        id, type: "range", min: 0, max: 100, value: 100 * value,
        oninput: (event: Event) => { act(Number((event.target as HTMLInputElement).value) / 100); this.ask(); } }));
    const flat = el("button", { type: "button", "aria-pressed": "false", onclick: () => {
      this.look.isFlat = !this.look.isFlat;
      flat.setAttribute("aria-pressed", String(this.look.isFlat));
      this.ask();
    } }, "Boards flat, from outside");
    const play = el("button", { type: "button", "aria-pressed": String(this.playing), onclick: () => {
      this.playing = !this.playing;
      play.setAttribute("aria-pressed", String(this.playing));
      this.started = performance.now();
      this.ask();
    } }, "Moves");
    const zoom = (by: number) => () => this.turn({ zoom: this.pose.zoom * by });
    return [
      el("label", { for: "mode-picker" }, "Resonance", this.picker),
      el("div", { class: "buttons" }, play, flat),
      range("Strength", "strength", this.strength, (value) => { this.strength = value; }),
      range("Boards apart", "apart", 0, (value) => { this.look.open = value * 0.8 * this.body.radius; }),
      el("div", { class: "buttons" },
        el("button", { type: "button", onclick: zoom(1.25), "aria-label": "Nearer" }, "+"),
        el("button", { type: "button", onclick: zoom(0.8), "aria-label": "Farther" }, "−"),
        el("button", { type: "button", onclick: () => this.turn(first) }, "First view"),
        el("button", { type: "button", onclick: () => this.turn({ turn: this.pose.turn + Math.PI }) }, "From behind")),
      this.fader(), colourBar(),
    ];
  }

  private fader(): HTMLElement {
    const boxes = this.geometry.boards.map((board, b) => el("label", {}, el("input", {
      type: "checkbox", checked: true,
      onchange: (event: Event) => { this.look.faded[b] = !(event.target as HTMLInputElement).checked; this.ask(); },
    }), board.name));
    return el("details", {}, el("summary", {}, "Fade boards"), el("div", { class: "boxes" }, ...boxes));
  }

  private listen(): void {
    const { frame } = this.parts;
    let from: { x: number; y: number; moved: number } | null = null;
    frame.addEventListener("pointerdown", (event) => {
      from = { x: event.clientX, y: event.clientY, moved: 0 };
      frame.setPointerCapture(event.pointerId);
    });
    frame.addEventListener("pointermove", (event) => {
      if (!from) return;
      const [dx, dy] = [event.clientX - from.x, event.clientY - from.y];
      from = { x: event.clientX, y: event.clientY, moved: from.moved + Math.abs(dx) + Math.abs(dy) };
      if (!this.look.isFlat) this.turn({ turn: this.pose.turn - 0.01 * dx, rise: this.pose.rise + 0.01 * dy });
    });
    frame.addEventListener("pointerup", (event) => {
      if (from && from.moved < 5) this.pick(event);
      from = null;
    });
    // The page scrolls over the view as over anything else; who has clicked into it zooms.
    frame.addEventListener("wheel", (event) => {
      if (document.activeElement !== frame) return;
      event.preventDefault();
      this.turn({ zoom: this.pose.zoom * Math.exp(-0.001 * event.deltaY) });
    }, { passive: false });
    frame.addEventListener("keydown", (event) => this.press(event));
  }

  private press(event: KeyboardEvent): void {
    const step = 0.12;
    const moves: Record<string, Partial<Pose>> = {
      ArrowLeft: { turn: this.pose.turn + step }, ArrowRight: { turn: this.pose.turn - step },
      ArrowUp: { rise: this.pose.rise + step }, ArrowDown: { rise: this.pose.rise - step },
      "+": { zoom: this.pose.zoom * 1.25 }, "=": { zoom: this.pose.zoom * 1.25 }, "-": { zoom: this.pose.zoom * 0.8 }, "0": first,
    };
    const move = moves[event.key];
    if (!move || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    this.turn(move);
  }

  private turn(change: Partial<Pose>): void {
    this.look.pose = this.pose = limited({ ...this.pose, ...change });
    this.ask();
  }

  private pick(event: PointerEvent): void {
    const box = this.parts.frame.getBoundingClientRect(), stage = this.stage();
    const [x, y] = [event.clientX - box.left - stage.width / 2, stage.height / 2 - (event.clientY - box.top)];
    const found = boardAt(this.body, placeAll(this.body, this.look, stage), this.look.faded, x, y);
    const name = found === null ? null : this.geometry.boards[found].name;
    this.store.set({ board: name === this.store.current.board ? null : name });
  }

  /** The first view is from behind where what it shows moves most there. */
  private faceFirst(): void {
    const place = this.rows.find((row) => row.number === this.store.current.mode)?.antinodes[0];
    const board = this.geometry.boards.find((one) => one.name === place?.board);
    if (board && !board.is_brace && dot(axesOf(first, false)[2], board.normal) < -0.1) this.turn({ turn: first.turn + Math.PI });
  }

  private choose(mode: number | null): void {
    const has = mode !== null && this.geometry.shapes.has(mode);
    this.body.show(has ? mode : null);
    this.painter.reshaped();
    const row = this.rows.find((one) => one.number === mode);
    this.picker.value = has ? String(mode) : "";
    replaceChildren(this.facts, ...(row ? factsOf(row, has) : []));
    this.ask();
  }

  private stage(): Stage {
    const { frame } = this.parts;
    return {
      isFlat: this.look.isFlat, width: Math.max(50, frame.clientWidth), height: Math.max(50, frame.clientHeight),
      radius: this.body.radius + this.look.open, flatWidth: this.body.flat.width, flatHeight: this.body.flat.height };
  }

  /** Draws at the next chance, and goes on while it moves. */
  private ask(): void {
    if (this.wanted) return;
    this.wanted = true;
    requestAnimationFrame((now) => {
      this.wanted = false;
      this.draw(now);
      if (this.playing && !this.look.isFlat && this.strength > 0 && !document.hidden) this.ask();
    });
  }

  private draw(now: number): void {
    const stage = this.stage();
    this.look.amplitude = 0.25 * this.strength * this.body.radius;
    this.look.phase = this.playing ? Math.cos((2 * Math.PI * (now - this.started)) / 1000 / beat) : 1;
    this.painter.paint(this.look, stage, [0.12, 0.13, 0.15]); // boards are light in dark pages too
    this.parts.frame.style.setProperty("--proportions", `${stage.width} / ${stage.height}`);
    this.parts.frame.dataset.calls = String(this.painter.calls); // what a moment costs, for tests and for the curious
    this.parts.frame.dataset.triangles = String(this.painter.triangles);
    this.label(stage);
  }

  /** Names of boards laid flat, and where the chosen mode moves most. */
  private label(stage: Stage): void {
    const scale = scaleOf(this.pose, stage), axes = axesOf(this.pose, stage.isFlat);
    const spots: { text: string; at: ArrayLike<number>; kind: string }[] = [];
    if (stage.isFlat)
      for (const { name, x, y } of this.body.flat.captions) spots.push({ text: name, at: [x, y, 0], kind: "caption" });
    const row = this.rows.find((one) => one.number === this.store.current.mode);
    row?.antinodes.forEach((one, k) => {
      const board = this.geometry.boards.findIndex((other) => other.name === one.board);
      const v = this.vertexAt(board, one.at_mm);
      if (v < 0) return;
      const [source, lift] = stage.isFlat ? [this.body.spot, 0] : [this.body.position, this.look.open];
      const at = [0, 1, 2].map((c) => source[3 * v + c] + lift * this.body.outward[3 * v + c]);
      const faces = stage.isFlat || axes[2].reduce((sum, part, c) => sum + part * this.body.outward[3 * v + c], 0) > 0;
      spots.push({ text: String.fromCharCode(65 + k), at, kind: faces ? "mark" : "mark behind" });
    });
    while (this.parts.labels.children.length < spots.length) this.parts.labels.append(el("span"));
    [...this.parts.labels.children].forEach((child, k) => {
      const spot = spots[k], span = child as HTMLElement;
      span.hidden = !spot;
      if (!spot) return;
      const [x, y] = project(axes, scale, spot.at);
      span.textContent = spot.text;
      span.className = spot.kind;
      span.style.left = `${50 + (100 * x) / stage.width}%`; // of the frame, which keeps its proportions on paper
      span.style.top = `${50 - (100 * y) / stage.height}%`;
    });
  }

  private vertexAt(board: number, at: number[]): number {
    let best = -1, least = Infinity;
    for (let v = 0; v < this.body.count; ++v) {
      if (this.body.board[v] !== board || this.body.filled[v]) continue;
      let away = 0;
      for (let c = 0; c < 3; ++c) away += (this.body.position[3 * v + c] + this.body.centre[c] - at[c]) ** 2;
      if (away < least) [best, least] = [v, away];
    }
    return best;
  }
}

function colourBar(): HTMLElement {
  const canvas = el("canvas", { width: 128, height: 1, "aria-hidden": "true" });
  const context = canvas.getContext("2d")!;
  for (let i = 0; i < 128; ++i) {
    context.fillStyle = `rgb(${diverging((2 * i) / 127 - 1).map((c) => Math.round(255 * c)).join(",")})`;
    context.fillRect(i, 0, 1, 1);
  }
  return el("div", { class: "colour-bar" }, el("span", {}, "inwards"), canvas, el("span", {}, "outwards"));
}

/** What is known of the chosen resonance, with the places to hold a sensor to. */
function factsOf(row: Row, isDrawn: boolean): HTMLElement[] {
  const marks = row.antinodes.map((one, k) => el("li", {}, el("b", {}, `${String.fromCharCode(65 + k)} `),
    `${one.board}: ${one.from.map((from) => `${fixed(from.distance_mm, 0)} mm from its ${from.edge} edge`).join(", ")}`));
  return [
    el("h3", {}, `${row.number}: ${row.name || "no name"}, ${hertz(row.frequency)}`),
    row.reason ? el("p", {}, `${capital(row.reason)}.`) : el("p", {}, "Not judged: drivers' figures are missing."),
    isDrawn ? el("p", { hidden: true }) : el("p", { class: "note" }, "No shape of the boards is drawn for it: a wave of the air, or left out to keep the page small."),
    marks.length > 0
      ? el("div", {}, el("p", {}, "It moves most here. Hold an accelerometer to it, press with a finger, or knock beside it:"), el("ul", { class: "marks" }, ...marks))
      : el("p", { hidden: true }),
  ];
}
