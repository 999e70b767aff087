// Where the vertices are at a moment: for the plain canvas, for labels and for what is under the pointer.

import type { Body } from "./body.ts";
import { axesOf, project, scaleOf, type Pose, type Stage } from "./camera.ts";

export interface Look {
  pose: Pose;
  isFlat: boolean;
  open: number; // [mm] that boards are drawn apart
  amplitude: number; // [mm] of the largest displacement
  phase: number; // −1 … 1
  faded: boolean[]; // per board
}

/** x, y [px from the middle], nearness of every vertex. */
export function placeAll(body: Body, look: Look, stage: Stage): Float32Array {
  const axes = axesOf(look.pose, look.isFlat), scale = scaleOf(look.pose, stage);
  const placed = new Float32Array(3 * body.count);
  const p = [0, 0, 0];
  const a = look.amplitude * look.phase;
  for (let v = 0; v < body.count; ++v) {
    for (let c = 0; c < 3; ++c) {
      const i = 3 * v + c;
      p[c] = look.isFlat ? body.spot[i] : body.position[i] + look.open * body.outward[i] + a * body.shape[i];
    }
    placed.set(project(axes, scale, p), 3 * v);
  }
  return placed;
}

/** Displacement along the board's normal, −1 … 1. */
export const valueAt = (body: Body, v: number): number =>
  body.shape[3 * v] * body.outward[3 * v] + body.shape[3 * v + 1] * body.outward[3 * v + 1] +
  body.shape[3 * v + 2] * body.outward[3 * v + 2];

/** The board under a point [px from the middle, y upwards]; nothing: none. Faded boards are looked through. */
export function boardAt(body: Body, placed: Float32Array, faded: boolean[], x: number, y: number): number | null {
  let found: number | null = null, nearest = -Infinity;
  for (let t = 0; t < body.triangles.length; t += 3) {
    const [a, b, c] = [body.triangles[t], body.triangles[t + 1], body.triangles[t + 2]];
    if (faded[body.board[a]]) continue;
    const [ax, ay] = [placed[3 * a], placed[3 * a + 1]];
    const [ux, uy, vx, vy] = [placed[3 * b] - ax, placed[3 * b + 1] - ay, placed[3 * c] - ax, placed[3 * c + 1] - ay];
    const area = ux * vy - uy * vx;
    if (Math.abs(area) < 1e-9) continue;
    const s = ((x - ax) * vy - (y - ay) * vx) / area, r = (ux * (y - ay) - uy * (x - ax)) / area;
    if (s < 0 || r < 0 || s + r > 1) continue;
    const near = placed[3 * a + 2] * (1 - s - r) + placed[3 * b + 2] * s + placed[3 * c + 2] * r;
    if (near > nearest) [found, nearest] = [body.board[a], near];
  }
  return found;
}
