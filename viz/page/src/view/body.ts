// The cabinet as drawn: vertices per board and node, triangles, edges, what sits in the holes; assembled, laid open or flat.
// Knows nothing of how it is drawn, so that the graphics card, the plain canvas and the pointer see the same.

import { axesOf, dot, type Geometry, type Point } from "../geometry.ts";

export interface Body {
  count: number; // vertices
  position: Float32Array; // [mm] from the cabinet's centre
  spot: Float32Array; // [mm] laid flat
  outward: Float32Array; // normals of the boards
  board: Float32Array; // index
  filled: Float32Array; // 1: a driver, port or plate in a hole
  shape: Float32Array; // of the chosen mode, largest 1
  triangles: Uint32Array;
  edges: Uint32Array;
  centre: Point;
  radius: number;
  flat: { width: number; height: number; captions: { name: string; x: number; y: number }[] };
  /** Puts a mode into `shape`; nothing: at rest. */
  show(mode: number | null): void;
}

interface Insert { first: number; nodes: number[] } // vertices of a hole's cover: centre, then rim

export function makeBody(geometry: Geometry): Body {
  const { boards, nodes, quads, boardOf } = geometry;
  const nodeOf: number[] = [], boardAt: number[] = [], places: number[] = [], filled: number[] = [];
  const slots = boards.map(() => new Map<number, number>());
  const slot = (board: number, node: number): number => {
    let at = slots[board].get(node);
    if (at === undefined) {
      at = nodeOf.length;
      slots[board].set(node, at);
      nodeOf.push(node);
      boardAt.push(board);
      filled.push(0);
      places.push(nodes[3 * node], nodes[3 * node + 1], nodes[3 * node + 2]);
    }
    return at;
  };

  const triangles: number[] = [];
  const sides = new Map<string, [number, number, number]>();
  for (let q = 0; q < boardOf.length; ++q) {
    const n = Array.from({ length: 9 }, (_, k) => slot(boardOf[q], quads[9 * q + k]));
    for (const [a, b, c, d] of [[0, 4, 8, 7], [4, 1, 5, 8], [8, 5, 2, 6], [7, 8, 6, 3]])
      triangles.push(n[a], n[b], n[c], n[a], n[c], n[d]);
    for (let s = 0; s < 4; ++s) {
      const [a, b] = [n[s], n[(s + 1) % 4]];
      const key = a < b ? `${a} ${b}` : `${b} ${a}`;
      if (!sides.delete(key)) sides.set(key, [a, n[4 + s], b]); // met twice: inside the board
    }
  }
  const edges = [...sides.values()].flatMap(([a, m, b]) => [a, m, m, b]);
  const inserts = coverHoles(geometry, slots, { nodeOf, boardAt, places, filled, triangles });

  const centre = middleOf(places);
  const count = nodeOf.length;
  const position = Float32Array.from(places, (value, i) => value - centre[i % 3]);
  let radius = 1;
  for (let v = 0; v < count; ++v) radius = Math.max(radius, Math.hypot(position[3 * v], position[3 * v + 1], position[3 * v + 2]));
  const outward = new Float32Array(3 * count);
  for (let v = 0; v < count; ++v) outward.set(boards[boardAt[v]].normal, 3 * v);
  const { spot, ...flat } = layFlat(geometry, position, boardAt);
  const shape = new Float32Array(3 * count);
  const show = (mode: number | null) => {
    const source = mode === null ? undefined : geometry.shapes.get(mode);
    shape.fill(0);
    if (!source) return;
    let largest = 1;
    for (let v = 0; v < source.length; v += 3) largest = Math.max(largest, Math.hypot(source[v], source[v + 1], source[v + 2]));
    for (let v = 0; v < count; ++v)
      for (let c = 0; c < 3; ++c) if (nodeOf[v] >= 0) shape[3 * v + c] = source[3 * nodeOf[v] + c] / largest;
    for (const { first, nodes: rim } of inserts)
      for (let c = 0; c < 3; ++c) {
        let sum = 0;
        rim.forEach((node, k) => { sum += shape[3 * (first + 1 + k) + c] = source[3 * node + c] / largest; });
        shape[3 * first + c] = sum / rim.length;
      }
  };
  return {
    count, position, spot, outward, shape, centre, radius, flat, show, board: Float32Array.from(boardAt),
    filled: Float32Array.from(filled), triangles: Uint32Array.from(triangles), edges: Uint32Array.from(edges),
  };
}

interface Lists { nodeOf: number[]; boardAt: number[]; places: number[]; filled: number[]; triangles: number[] }

/** A flat cover in each hole that holds something; its rim moves as the nearest node of the board. */
function coverHoles(geometry: Geometry, slots: Map<number, number>[], lists: Lists): Insert[] {
  const inserts: Insert[] = [];
  geometry.boards.forEach((board, b) => {
    const near = [...slots[b].keys()];
    for (const { holds, outline_mm: outline } of board.openings) {
      if (!holds || near.length === 0) continue;
      const first = lists.nodeOf.length;
      const middle = [0, 1, 2].map((c) => outline.reduce((sum, p) => sum + p[c], 0) / outline.length) as Point;
      for (const place of [middle, ...outline]) {
        lists.nodeOf.push(-1);
        lists.boardAt.push(b);
        lists.filled.push(1);
        lists.places.push(...place);
      }
      outline.forEach((_, k) => lists.triangles.push(first, first + 1 + k, first + 1 + ((k + 1) % outline.length)));
      inserts.push({ first, nodes: outline.map((place) => nearest(geometry.nodes, near, place)) });
    }
  });
  return inserts;
}

function nearest(nodes: Float32Array, among: number[], place: Point): number {
  let best = among[0], least = Infinity;
  for (const node of among) {
    const away = Math.hypot(nodes[3 * node] - place[0], nodes[3 * node + 1] - place[1], nodes[3 * node + 2] - place[2]);
    if (away < least) [best, least] = [node, away];
  }
  return best;
}

function middleOf(places: number[]): Point {
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  places.forEach((value, i) => {
    low[i % 3] = Math.min(low[i % 3], value);
    high[i % 3] = Math.max(high[i % 3], value);
  });
  return low.map((value, c) => (value + high[c]) / 2) as Point;
}

/** Boards side by side as seen from outside, in rows of at most about a landscape page's proportions. */
function layFlat(geometry: Geometry, position: Float32Array, boardAt: number[]) {
  const axes = geometry.boards.map((board) => axesOf(board.normal));
  const boxes = geometry.boards.map(() => ({ left: Infinity, right: -Infinity, low: Infinity, high: -Infinity }));
  const at = (v: number) => position.subarray(3 * v, 3 * v + 3);
  boardAt.forEach((b, v) => {
    const [x, y] = [dot(at(v), axes[b].right), dot(at(v), axes[b].up)];
    const box = boxes[b];
    boxes[b] = { left: Math.min(box.left, x), right: Math.max(box.right, x), low: Math.min(box.low, y), high: Math.max(box.high, y) };
  });
  const used = boxes.map((box, b) => ({ b, width: box.right - box.left, height: box.high - box.low })).filter((box) => box.width >= 0);
  const area = used.reduce((sum, box) => sum + box.width * box.height, 0);
  const gap = 0.12 * Math.sqrt(area / Math.max(1, used.length)), wide = Math.max(1.5 * Math.sqrt(area), ...used.map((box) => box.width));
  const shifts: Point[] = geometry.boards.map(() => [0, 0, 0]);
  const captions: { name: string; x: number; y: number }[] = [];
  let x = 0, top = 0, tallest = 0, width = 0;
  for (const box of used) {
    if (x > 0 && x + box.width > wide) [x, top, tallest] = [0, top - tallest - 1.6 * gap, 0];
    shifts[box.b] = [x - boxes[box.b].left, top - box.height - boxes[box.b].low, 0];
    captions.push({ name: geometry.boards[box.b].name, x: x + box.width / 2, y: top + 0.5 * gap });
    x += box.width + gap;
    width = Math.max(width, x - gap);
    tallest = Math.max(tallest, box.height);
  }
  const height = tallest - top;
  const spot = new Float32Array(position.length);
  boardAt.forEach((b, v) => {
    spot[3 * v] = dot(at(v), axes[b].right) + shifts[b][0] - width / 2;
    spot[3 * v + 1] = dot(at(v), axes[b].up) + shifts[b][1] + height / 2;
  });
  for (const caption of captions) {
    caption.x -= width / 2;
    caption.y += height / 2;
  }
  return { spot, width, height: height + gap, captions };
}
