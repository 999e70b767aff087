// The same picture without a graphics card: triangles from back to front on a plain canvas.

import type { Body } from "./body.ts";
import { diverging } from "./colours.ts";
import type { Painter } from "./gl.ts";
import { placeAll, valueAt } from "./placed.ts";

const css = (colour: number[], light: number, opacity: number): string =>
  `rgba(${colour.map((c) => Math.round(255 * c * light)).join(",")},${opacity})`;

export function plainPainter(canvas: HTMLCanvasElement, body: Body): Painter {
  const context = canvas.getContext("2d")!;
  const count = body.triangles.length / 3;
  const order = Uint32Array.from({ length: count }, (_, t) => t);
  const near = new Float32Array(count);
  return {
    calls: 0,
    triangles: count,
    reshaped() {},
    dispose() {},
    paint(look, stage, ink) {
      const ratio = Math.min(2, window.devicePixelRatio);
      canvas.width = Math.round(stage.width * ratio);
      canvas.height = Math.round(stage.height * ratio);
      context.setTransform(ratio, 0, 0, -ratio, (stage.width * ratio) / 2, (stage.height * ratio) / 2);
      const at = placeAll(body, look, stage);
      for (let t = 0; t < count; ++t)
        near[t] = [0, 1, 2].reduce((sum, k) => sum + at[3 * body.triangles[3 * t + k] + 2], 0);
      order.sort((a, b) => near[a] - near[b]);
      context.lineJoin = "round";
      context.lineWidth = 0.6;
      for (const t of order) {
        const [a, b, c] = body.triangles.subarray(3 * t, 3 * t + 3);
        let colour: number[] = diverging((valueAt(body, a) + valueAt(body, b) + valueAt(body, c)) / 3);
        if (body.filled[a]) colour = colour.map((part) => 0.45 * part + 0.14);
        context.fillStyle = context.strokeStyle = css(colour, 0.95, look.faded[body.board[a]] ? 0.16 : 1);
        context.beginPath();
        context.moveTo(at[3 * a], at[3 * a + 1]);
        context.lineTo(at[3 * b], at[3 * b + 1]);
        context.lineTo(at[3 * c], at[3 * c + 1]);
        context.closePath();
        context.fill();
        if (!look.faded[body.board[a]]) context.stroke();
      }
      context.strokeStyle = css(ink, 1, 0.35);
      context.beginPath();
      for (let e = 0; e < body.edges.length; e += 2) {
        const [a, b] = [body.edges[e], body.edges[e + 1]];
        context.moveTo(at[3 * a], at[3 * a + 1]);
        context.lineTo(at[3 * b], at[3 * b + 1]);
      }
      context.stroke();
    },
  };
}
