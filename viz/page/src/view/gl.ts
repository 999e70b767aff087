// Draws the body on the graphics card: one geometry; displacement, laying flat and colours in the shaders, so that a mode
// costs its displacements only and a moment three draw calls.

import {
  BufferAttribute, BufferGeometry, Camera, DoubleSide, LineSegments, Mesh, Scene, ShaderMaterial, Vector3, WebGLRenderer,
} from "three";
import type { Body } from "./body.ts";
import { axesOf, scaleOf, type Stage } from "./camera.ts";
import { steps, table } from "./colours.ts";
import type { Look } from "./placed.ts";

export interface Painter {
  /** The shape of the body changed. */
  reshaped(): void;
  paint(look: Look, stage: Stage, ink: [number, number, number]): void;
  dispose(): void;
  readonly calls: number;
  readonly triangles: number;
}

const place = /* glsl */ `
  attribute vec3 spot, outward, shape;
  attribute float filled, seen;
  uniform vec3 axisX, axisY, axisZ;
  uniform vec2 perPixel;
  uniform float scale, depth, open, amplitude, flatness;
  varying float value, isFilled, clear;
  varying vec3 where;
  void main() {
    value = dot(shape, outward);
    isFilled = filled;
    clear = seen;
    vec3 p = mix(position + open * outward + amplitude * shape, spot, flatness);
    where = vec3(dot(axisX, p), dot(axisY, p), dot(axisZ, p));
    gl_Position = vec4(where.xy * scale * perPixel, -where.z / depth, 1.0);
  }`;

const surface = /* glsl */ `
  uniform vec3 colours[${steps + 1}];
  uniform float faint;
  varying float value, isFilled, clear;
  varying vec3 where;
  void main() {
    if ((clear > 0.5) == (faint > 0.5)) discard;
    float place = clamp((value + 1.0) / 2.0, 0.0, 1.0) * ${steps}.0;
    int low = min(int(place), ${steps - 1});
    vec3 colour = mix(colours[low], colours[low + 1], place - float(low));
    vec3 normal = normalize(cross(dFdx(where), dFdy(where)));
    float light = 0.80 + 0.20 * abs(dot(normal, normalize(vec3(-0.3, 0.5, 0.8))));
    if (isFilled > 0.5) colour = mix(colour, vec3(0.25), 0.55);
    gl_FragColor = vec4(colour * light, faint > 0.5 ? 0.16 : 1.0);
  }`;

const line = /* glsl */ `
  uniform vec3 ink;
  varying float value, isFilled, clear;
  varying vec3 where;
  void main() { gl_FragColor = vec4(ink, clear > 0.5 ? 0.9 : 0.3); }`;

/** Throws where the browser has no WebGL. */
export function glPainter(canvas: HTMLCanvasElement, body: Body): Painter {
  if (!document.createElement("canvas").getContext("webgl2")) throw new Error("no WebGL"); // the library would complain aloud
  const renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, preserveDrawingBuffer: true });
  renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
  const geometry = new BufferGeometry();
  const attribute = (name: string, values: Float32Array, size: number) => {
    const made = new BufferAttribute(values, size);
    geometry.setAttribute(name, made);
    return made;
  };
  attribute("position", body.position, 3);
  attribute("spot", body.spot, 3);
  attribute("outward", body.outward, 3);
  attribute("filled", body.filled, 1);
  const shape = attribute("shape", body.shape, 3);
  const seen = attribute("seen", new Float32Array(body.count).fill(1), 1);
  const edges = new BufferGeometry();
  for (const [name, made] of Object.entries(geometry.attributes)) edges.setAttribute(name, made);
  geometry.setIndex(new BufferAttribute(body.triangles, 1));
  edges.setIndex(new BufferAttribute(body.edges, 1));

  const shared = {
    axisX: { value: new Vector3() }, axisY: { value: new Vector3() }, axisZ: { value: new Vector3() },
    perPixel: { value: [1, 1] }, scale: { value: 1 }, depth: { value: 1 }, open: { value: 0 }, amplitude: { value: 0 },
    flatness: { value: 0 }, colours: { value: table() }, ink: { value: new Vector3() },
  };
  const material = (fragment: string, own: object, options: object = {}) => new ShaderMaterial({
    vertexShader: place, fragmentShader: fragment, uniforms: { ...shared, ...own }, side: DoubleSide, ...options });
  // Surfaces step back a little, so that the edges on them are seen whole.
  const offset = { polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 };
  const parts = [
    new Mesh(geometry, material(surface, { faint: { value: 0 } }, offset)),
    new LineSegments(edges, material(line, {}, { transparent: true })),
    new Mesh(geometry, material(surface, { faint: { value: 1 } }, { transparent: true, depthWrite: false, ...offset })),
  ];
  const scene = new Scene();
  parts.forEach((part, order) => {
    part.frustumCulled = false;
    part.renderOrder = order;
    scene.add(part);
  });
  const camera = new Camera();
  let faded = "";
  return {
    reshaped: () => { shape.needsUpdate = true; },
    paint(look, stage, ink) {
      const [x, y, z] = axesOf(look.pose, look.isFlat);
      shared.axisX.value.set(...x);
      shared.axisY.value.set(...y);
      shared.axisZ.value.set(...z);
      shared.perPixel.value = [2 / stage.width, 2 / stage.height];
      shared.scale.value = scaleOf(look.pose, stage);
      shared.depth.value = 4 * (stage.radius + look.open + look.amplitude);
      shared.open.value = look.open;
      shared.amplitude.value = look.amplitude * look.phase;
      shared.flatness.value = look.isFlat ? 1 : 0;
      shared.ink.value.set(...ink);
      if (look.faded.join() !== faded) {
        faded = look.faded.join();
        for (let v = 0; v < body.count; ++v) seen.setX(v, look.faded[body.board[v]] ? 0 : 1);
        seen.needsUpdate = true;
      }
      parts[2].visible = look.faded.some(Boolean);
      renderer.setSize(stage.width, stage.height, false);
      renderer.render(scene, camera);
    },
    dispose: () => { renderer.dispose(); renderer.forceContextLoss(); },
    get calls() { return renderer.info.render.calls; },
    get triangles() { return renderer.info.render.triangles; },
  };
}
