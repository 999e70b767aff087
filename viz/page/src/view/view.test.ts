import assert from "node:assert/strict";
import { test } from "node:test";
import { axesOf as boardAxes, unpack, type PackedGeometry } from "../geometry.ts";
import { makeBody } from "./body.ts";
import { axesOf, first, limited, scaleOf } from "./camera.ts";
import { diverging } from "./colours.ts";
import { boardAt, placeAll, type Look } from "./placed.ts";

const base64 = (array: ArrayBufferView): string => Buffer.from(array.buffer, array.byteOffset, array.byteLength).toString("base64");

/** Two boards of 200 mm by 200 mm that face the front, the second 100 mm behind the first, one element each. */
function packed(): PackedGeometry {
  const corner = [[0, 0], [2, 0], [2, 2], [0, 2], [1, 0], [2, 1], [1, 2], [0, 1], [1, 1]];
  const places = [0, 1].flatMap((board) => corner.flatMap(([x, z]) => [x, board, z]));
  const shape = new Int16Array(54);
  shape[3 * 8 + 1] = -1000; // the first board's middle, towards the front
  const board = (name: string, y: number) => ({
    name, is_brace: false, thickness_mm: 18, normal: [0, -1, 0] as [number, number, number],
    sawn_mm: [[0, y, 0], [200, y, 0], [200, y, 200], [0, y, 200]] as [number, number, number][], openings: [] });
  return {
    geometry: 1, boards: [board("front", 0), board("back", 100)], rods: [], shapes_left_out: 0,
    nodes: { count: 18, low_mm: [0, 0, 0], step_mm: 100, uint16: base64(Uint16Array.from(places)) },
    quads: { count: 2, nodes_uint32: base64(Uint32Array.from({ length: 18 }, (_, i) => i)), boards_uint16: base64(Uint16Array.from([0, 1])) },
    shapes: [{ mode: 4, scale: 1e-3, int16: base64(shape) }] };
}
const straight = { turn: 0, rise: 0, zoom: 1 };
const look: Look = { pose: straight, isFlat: false, open: 0, amplitude: 10, phase: 1, faded: [false, false] };

// Reference: all places and counts below by hand from the two boards. Tolerance: 32-bit floats of a few hundred, 1e-4.
const near = (a: ArrayLike<number>, b: number[]) => b.forEach((value, i) => assert.ok(Math.abs(a[i] - value) < 1e-4, `${a[i]} is not ${value}`));

test("geometry is unpacked and centred", () => {
  const geometry = unpack(packed());
  near(geometry.nodes.subarray(6, 9), [200, 0, 200]);
  const body = makeBody(geometry);
  assert.equal(body.count, 18);
  assert.equal(body.triangles.length / 3, 16);
  assert.equal(body.edges.length / 2, 16); // four sides of two halves, twice
  near(body.position.subarray(0, 3), [-100, -50, -100]);
});

test("a mode moves its nodes, its largest displacement by one", () => {
  const body = makeBody(unpack(packed()));
  body.show(4);
  near(body.shape.subarray(24, 27), [0, -1, 0]);
  body.show(null);
  near(body.shape.subarray(24, 27), [0, 0, 0]);
});

test("boards laid flat keep their size and do not overlap", () => {
  const body = makeBody(unpack(packed()));
  const xs = (from: number, to: number) => Array.from({ length: to - from }, (_, k) => body.spot[3 * (from + k)]);
  assert.ok(Math.abs(Math.max(...xs(0, 9)) - Math.min(...xs(0, 9)) - 200) < 1e-3);
  const left = Math.max(...xs(0, 9)), right = Math.min(...xs(9, 18));
  const isBeside = right > left, isBelow = body.spot[3 * 9 + 1] < body.spot[1] - 200;
  assert.ok(isBeside || isBelow);
});

test("the pointer finds the board in front, or what a faded one hides", () => {
  const body = makeBody(unpack(packed()));
  const stage = { isFlat: false, width: 400, height: 400, radius: body.radius, flatWidth: 1, flatHeight: 1 };
  const placed = placeAll(body, look, stage);
  assert.equal(boardAt(body, placed, [false, false], 3, 5), 0);
  assert.equal(boardAt(body, placed, [true, false], 3, 5), 1);
  assert.equal(boardAt(body, placed, [false, false], 300, 5), null);
});

test("from the front, x goes right and z up; the camera stays above the floor's pole", () => {
  const [right, up, towards] = axesOf(straight, false);
  near(right, [1, 0, 0]);
  near(up, [0, 0, 1]);
  near(towards, [0, -1, 0]);
  assert.equal(limited({ ...first, rise: 9 }).rise, 1.5);
  assert.ok(scaleOf({ ...straight, zoom: 2 }, { isFlat: false, width: 100, height: 200, radius: 50, flatWidth: 1, flatHeight: 1 }) > 1.9);
});

test("from outside, the right side's front edge is at the left; a top has its back at the top", () => {
  near(boardAxes([1, 0, 0]).right, [0, 1, 0]);
  near(boardAxes([0, 0, 1]).up, [0, 1, 0]);
});

// Reference: the table in viz/internal/colour_map.cpp, whose ends are L* 37 and middle L* 95. Tolerance: one grey level.
test("colours are light in the middle and mirror in lightness", () => {
  const luminance = (c: number[]) => 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2];
  assert.ok(luminance(diverging(0)) > 0.9);
  assert.ok(diverging(1)[0] > diverging(1)[2] && diverging(-1)[2] > diverging(-1)[0]);
});
