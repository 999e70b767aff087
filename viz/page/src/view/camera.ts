// Where the viewer stands: an orbit about the cabinet's centre, or straight before the boards laid flat.

import { cross, dot, unit, type Point } from "../geometry.ts";

export interface Pose {
  turn: number; // [rad] about the vertical; 0: from the front, positive: from the right
  rise: number; // [rad] above the horizontal
  zoom: number; // 1: all of it fits
}
export const first: Pose = { turn: 0.6, rise: 0.42, zoom: 1 };

/** What is drawn and how much room it has. */
export interface Stage { isFlat: boolean; width: number; height: number; radius: number; flatWidth: number; flatHeight: number }

export const limited = (pose: Pose): Pose => ({
  turn: pose.turn,
  rise: Math.min(1.5, Math.max(-1.5, pose.rise)),
  zoom: Math.min(6, Math.max(0.5, pose.zoom)),
});

/** Axes of the screen in the cabinet's space (x right, y back, z up): right, up, towards the viewer. */
export function axesOf(pose: Pose, isFlat: boolean): [Point, Point, Point] {
  if (isFlat) return [[1, 0, 0], [0, 1, 0], [0, 0, 1]];
  const towards = unit([Math.sin(pose.turn) * Math.cos(pose.rise), -Math.cos(pose.turn) * Math.cos(pose.rise), Math.sin(pose.rise)]);
  const right = unit([Math.cos(pose.turn), Math.sin(pose.turn), 0]);
  return [right, cross(towards, right), towards];
}

/** Pixels to the millimetre, of a parallel projection. */
export function scaleOf(pose: Pose, stage: Stage): number {
  const room = stage.isFlat
    ? Math.min(stage.width / (1.04 * stage.flatWidth), stage.height / (1.06 * stage.flatHeight))
    : Math.min(stage.width, stage.height) / (2.1 * stage.radius);
  return room * pose.zoom;
}

/** A place on the screen, [px] from its middle, y upwards, and how near it is. */
export function project(axes: [Point, Point, Point], scale: number, p: ArrayLike<number>): Point {
  return [scale * dot(axes[0], p), scale * dot(axes[1], p), dot(axes[2], p)];
}
