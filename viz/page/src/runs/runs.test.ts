import assert from "node:assert/strict";
import { test } from "node:test";
import { csvOf, joined } from "../curves.ts";
import type { Explain, Improve, Vary } from "../results.ts";
import { impedancePlot } from "./explain.ts";
import { frontPlot } from "./improve.ts";
import { placesOf, plotsOfVary } from "./vary.ts";

// Exact: all below are numbers copied or counted by hand, but for one interpolation of round numbers.

test("values with one unit stand at their numbers, others at 1, 2, 3 with their words", () => {
  assert.deepEqual(placesOf(["12", "15", "18"]), { at: [12, 15, 18] });
  assert.deepEqual(placesOf(["120 mm", "150 mm"]), { at: [120, 150] });
  assert.deepEqual(placesOf(["mdf", "birch_plywood"]), { at: [1, 2], words: ["mdf", "birch_plywood"] });
  assert.deepEqual(placesOf(["12 mm", "1 in"]), { at: [1, 2], words: ["12 mm", "1 in"] });
  assert.deepEqual(placesOf(["3/4 in", "5/4 in"]), { at: [1, 2], words: ["3/4 in", "5/4 in"] });
  assert.deepEqual(placesOf(["18", "12"]), { at: [1, 2], words: ["18", "12"] }); // an axis rises
});

test("curves of several grids share an axis and keep their own points", () => {
  const both = joined([{ x: [1, 3], values: [10, 30] }, { x: [2, 3], values: [-2, null] }]);
  assert.deepEqual(both, { x: [1, 2, 3], values: [[10, null, 30], [null, -2, null]] });
});

const row = (values: string[], first: number, kg: number): Vary["rows"][number] => ({
  values, problem: "", first_wall_mode_hz: first, mass_kg: kg, net_volume_l: 10, modes: [{ frequency_hz: first, level_db: null, verdict: "not played" }] });
const vary = (changed: string[], values: string[][], rows: Vary["rows"]): Vary => ({
  program: "stillwall", version: "0", format: 1, title: "box", is_played: false, upper_frequency_hz: 500, accuracy: "draft", changed, values, rows, best_first: [] });

test("of two changes each value of the second has a curve of its own", () => {
  const two = vary(["a", "b"], [["1", "2"], ["x", "y"]], [row(["1", "x"], 100, 1), row(["1", "y"], 110, 2), row(["2", "x"], 120, 3), { values: ["2", "y"], problem: "too thick" }]);
  const plot = plotsOfVary(two)[0];
  assert.deepEqual(plot.curves.map((curve) => [curve.name, ...curve.values]), [["b x", 100, 120], ["b y", 110, null]]);
  assert.equal(csvOf(plot), '"a","b x (Hz)","b y (Hz)"\n1,100,110\n2,120,\n');
  const one = plotsOfVary(vary(["a"], [["1", "2"]], [row(["1"], 100, 1), row(["2"], 120, 3)]))[0];
  assert.deepEqual(one.spots!.map((spot) => [spot.x, spot.y]), [[1, 100], [2, 120]]);
});

test("a wrinkle is marked on the measured curve, with its most likely cause", () => {
  const known = (value: number) => ({ value, error: 0 });
  const reading = (measurement: string, f: number) => ({ measurement, frequency_hz: known(f), q: known(30), change_ohm: known(0.1), causes: [{ cause: "wall" as const, name: "left 1x1", odds: 0.9 }], test: null, picture: null });
  const plot = impedancePlot({ readings: [reading("impedance", 150), reading("knock on left", 150), reading("impedance", 900)],
    impedance: { measured: { frequency_hz: [100, 200, 400], ohm: [8, 10, 6] }, computed: { frequency_hz: [100, 300], ohm: [7, 9] } } } as unknown as Explain)!;
  assert.deepEqual(plot.spots!.map((spot) => [spot.x, spot.y, spot.text]), [[150, 9, "150 Hz left 1x1"]]);
});

test("the front is ordered along its axis and numbered as in the table", () => {
  const tried = (mass_kg: number, first_wall_mode_hz: number | null, keeps_limits = true) => ({ first_wall_mode_hz, mass_kg, net_volume_l: 1, price: null, keeps_limits });
  const front = (mass: number, first: number | null) => ({ ...tried(mass + 9, 1), draft: tried(mass, first), variant: "v" });
  const plot = frontPlot({ by_price: false, upper_frequency_hz: 800, drawn: tried(5, 200), front: [front(7, null), front(4, 300)], tried: [tried(6, 250), tried(8, 900, false)] } as unknown as Improve);
  assert.deepEqual(plot.x, [4, 7]);
  assert.deepEqual(plot.curves[0].values, [300, 800]); // none below the upper frequency: at it
  assert.deepEqual(plot.spots!.map((spot) => spot.text ?? ""), ["1", "2", "as drawn", ""]);
});
