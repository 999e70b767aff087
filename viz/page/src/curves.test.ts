import assert from "node:assert/strict";
import { test } from "node:test";
import { csvOf, level } from "./curves.ts";
import { cutList } from "./workshop.ts";

// Reference: by hand, ten times the pressure is 20 dB. Tolerance: none, exact in binary.
test("levels, and nothing for silence", () => assert.deepEqual(level([10, 1, 0], 1), [20, 0, null]));

test("a CSV has units in its head and an empty field for silence", () => {
  const text = csvOf({ id: "a", title: "A", about: "", x: [20, 40], unit: "dB", right: "degrees", decimals: 1, curves: [
    { name: 'a "loud" one', values: [1.25, null] }, { name: "phase", values: [90, -90], axis: "right" }] });
  assert.equal(text, 'Hz,"a ""loud"" one (dB)","phase (degrees)"\n20,1.25,90\n40,,-90\n');
});

test("equal pieces stand on one line of the cut list", () => {
  const part = (name: string, length_mm: number) => ({ name, material: "mdf 18 mm", length_mm, width_mm: 200, thickness_mm: 18, face_area_m2: 1, mass_kg: 1 });
  const lines = cutList([part("left", 380), part("front", 300), part("right", 380.04)]);
  assert.deepEqual(lines.map((line) => line.names), [["left", "right"], ["front"]]);
});
