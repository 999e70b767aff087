// The cabinet's mesh and shapes, unpacked from the page's data.

export interface PackedGeometry {
  geometry: number;
  boards: PackedBoard[];
  rods: [Point, Point][];
  nodes: { count: number; low_mm: Point; step_mm: number; uint16: string };
  quads: { count: number; nodes_uint32: string; boards_uint16: string };
  shapes: { mode: number; scale: number; int16: string }[];
  shapes_left_out: number;
}
export type Point = [number, number, number];
export interface PackedBoard {
  name: string;
  is_brace: boolean;
  thickness_mm: number;
  normal: Point;
  sawn_mm: Point[];
  openings: { name: string; holds: string; outline_mm: Point[] }[];
}

export interface Geometry {
  boards: PackedBoard[];
  rods: [Point, Point][];
  nodes: Float32Array; // [mm] x, y, z of each
  quads: Uint32Array; // nine nodes of each
  boardOf: Uint16Array; // per quad
  shapes: Map<number, Int16Array>; // by the mode's number: x, y, z of each node, any scale
  leftOut: number;
}

/** Bytes of a base64 text, little-endian as the writer packs them. */
export function bytesOf(base64: string): ArrayBuffer {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; ++i) bytes[i] = text.charCodeAt(i);
  return bytes.buffer;
}

export function unpack(packed: PackedGeometry): Geometry {
  if (packed.geometry !== 1) throw new Error(`geometry of another version: ${packed.geometry}`);
  const places = new Uint16Array(bytesOf(packed.nodes.uint16));
  if (places.length !== 3 * packed.nodes.count) throw new Error("nodes are missing");
  const nodes = new Float32Array(places.length);
  for (let i = 0; i < places.length; ++i) nodes[i] = packed.nodes.low_mm[i % 3] + packed.nodes.step_mm * places[i];
  const shapes = new Map<number, Int16Array>();
  for (const shape of packed.shapes) shapes.set(shape.mode, new Int16Array(bytesOf(shape.int16)));
  return {
    boards: packed.boards, rods: packed.rods, nodes, shapes, leftOut: packed.shapes_left_out,
    quads: new Uint32Array(bytesOf(packed.quads.nodes_uint32)),
    boardOf: new Uint16Array(bytesOf(packed.quads.boards_uint16)),
  };
}

export const dot = (a: ArrayLike<number>, b: ArrayLike<number>): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Point, b: Point): Point =>
  [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export const unit = (a: Point): Point => {
  const length = Math.hypot(...a) || 1;
  return [a[0] / length, a[1] / length, a[2] / length];
};

/** Axes of a board seen from outside: upright boards stand as in the cabinet, flat ones lie with the back at the top. */
export function axesOf(normal: Point): { right: Point; up: Point } {
  const right = unit(cross(Math.abs(normal[2]) > 0.9 ? [0, 1, 0] : [0, 0, 1], normal));
  return { right, up: cross(normal, right) };
}
