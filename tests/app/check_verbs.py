#!/usr/bin/env python3
"""`modes` and `sound` asked the same of seeded cabinets; and a cabinet asked the same as its mirror image.

    check_verbs.py STILLWALL [--count N] [--first SEED]

Reference: the other verb on other meshes (`modes` plays on its own finer walls with draft air and outside), and the
mirror image. A wall that `sound` calls audible must ring in `modes`; nine of ten that ring there must be at least
borderline in `sound`. Prints what it measured.
"""

import argparse
import json
import os
import pathlib
import random
import subprocess
import sys
import tempfile

# Tolerances: verdicts at a line may fall to either side by the meshes' differences in level, see `near_line_odds`.
near_line_odds = (0.35, 0.65)  # odds of being heard within which a word may turn
match = 0.02  # of a frequency in vacuo: coarser walls lie up to a percent higher


def cabinet(seed, mirrored=False):
    """A closed or vented box with one or two drivers, all figures invented."""
    r = random.Random(seed)
    width, depth = r.uniform(160, 320), r.uniform(180, 380)
    height = r.uniform(max(260, 1.2 * width), 900)
    board, thicknesses = r.choice([("mdf", [12, 16, 18, 22]), ("particle_board", [16, 19, 22]), ("birch_plywood", [12, 15, 18, 21])])
    thick = r.choice(thicknesses)
    cone = r.uniform(0.42, 0.66) * (width - 2 * thick)
    area = 0.78 * 3.14159 / 4 * cone**2 / 100  # cm2
    mms = 1.2 * area * 1e-4 * 1e3 * r.uniform(0.85, 1.15)  # g
    fs = r.uniform(28, 60)
    x = width / 2 + r.uniform(-0.1, 0.1) * (width - 2 * thick - cone)
    z = thick + 0.62 * cone + 15
    tw, tx, tz = 0.45 * cone, width / 2 + r.uniform(-0.05, 0.05) * width, min(z + 1.05 * cone, height - 60)
    flip = (lambda v: width - v) if mirrored else (lambda v: v)
    text = [f"name: Seeded {seed}", f"cabinet: {{shape: box, width: {width:.1f}, height: {height:.1f}, depth: {depth:.1f}}}",
            f"boards: {{all: {{material: {board}, thickness: {thick}}}}}", "openings:",
            f"  - {{name: woofer, board: front, shape: circle, diameter: {cone:.1f}, at: {{x: {flip(x):.3f}, z: {z:.2f}}},",
            f"     driver: {{mass: {mms * 0.12:.2f} kg, offset: 30, Re: 5.8 ohm, Le: 0.6 mH, Le_exponent: 0.7, Bl: {r.uniform(5, 9):.2f} N/A,",
            f"              Mms: {mms:.2f} g, fs: {fs:.1f} Hz, Qms: 4, Sd: {area:.1f} cm2}}}}"]
    if tz - z > 0.55 * cone + 0.5 * tw + 8 and r.random() < 0.6:
        text += [f"  - {{name: tweeter, board: front, shape: circle, diameter: {tw:.1f}, at: {{x: {flip(tx):.3f}, z: {tz:.2f}}},",
                 "     driver: {mass: 0.4 kg, closed_back: yes, Re: 5.6 ohm, Bl: 3 N/A, Mms: 0.35 g, fs: 900 Hz, Qms: 2.5, Sd: 7.5 cm2}}"]
    if r.random() < 0.5:
        text += [f"  - {{name: port, board: back, shape: circle, diameter: 50, at: {{x: {flip(width / 2 + 7):.3f}, z: {0.72 * height:.2f}}},",
                 f"     port: {{mass: 0.1 kg, length: {0.45 * depth:.1f}}}}}"]
    if height > 420 and r.random() < 0.6:
        # Not through a hole: the lowest free place from 0.58 of the height on.
        holes = [(z, cone / 2), (tz, tw / 2), (0.72 * height, 25)]
        shelf = next(s for s in (0.58 * height + 5 * k for k in range(100)) if all(abs(s - at) > room + thick / 2 + 10 for at, room in holes))
        text += ["braces:", f"  - {{name: shelf, plane: horizontal, at: {shelf:.1f}, material: {board}, thickness: {thick}, "
                 f"windows: [{{shape: rectangle, width: {0.55 * (width - 2 * thick):.1f}, height: {0.5 * (depth - 2 * thick):.1f}}}]}}"]
    if r.random() < 0.6:
        text += ["air: {filling: [{name: lining, material: polyester_wadding, board: [left, right, top, bottom], thickness: 25}]}"]
    text += ["sound: {to: 1500 Hz}", "analysis: {upper_frequency: 1500 Hz}"]
    return "\n".join(text) + "\n"


def run(program, verb, text, folder, *options):
    source, result = folder / "cabinet.yaml", folder / f"{verb}.json"
    source.write_text(text)
    done = subprocess.run([program, verb, source, "--json", result, "--no-advice", *options], capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{verb}: exit {done.returncode}\n{done.stderr}\n{text}")
    if "not played" in done.stderr:
        sys.exit(f"{verb}: {done.stderr}\n{text}")
    return json.loads(result.read_text())


def worst(mode):
    """The entry of `heard` at the place that decides."""
    return next(h for h in mode["heard"] if h["place"] == mode["worst_place"])


def walls(sound):
    return [m for m in sound["modes"] if m["kind"] == "wall" and m["heard"]]


def may_turn(odds):
    return near_line_odds[0] < odds < near_line_odds[1]


def compare_verbs(modes, sound, told):
    played = [m for m in modes["modes"] if m["played"]]
    for wall in walls(sound):
        # Only what no neighbour can be taken for: one of this name on either side.
        alike = [m for m in played if m["shape"] == wall["name"] and abs(m["frequency_hz"] / wall["in_vacuo_hz"] - 1) < match]
        twins = [w for w in walls(sound) if w["name"] == wall["name"] and abs(w["in_vacuo_hz"] / wall["in_vacuo_hz"] - 1) < match]
        if len(alike) != 1 or len(twins) != 1:
            told["unmatched"] += 1
            continue
        near = alike[0]
        heard, flag = worst(wall), near["flag"]
        told["matched"] += 1
        if heard["level_db"] > -30:
            told["levels"].append(near["played"]["level_db"] - heard["level_db"])
        if heard["verdict"] == "audible" and flag == "faint":
            told["audible_but_faint"].append(wall["name"])
        if flag == "rings":
            told["rings"] += 1
            told["rings_heard"] += heard["verdict"] in ("audible", "borderline")
            if heard["verdict"] == "inaudible" and not may_turn(heard["odds_heard"]):
                told["far"].append((wall["name"], heard["odds_heard"], near["played"]["odds_heard"]))


def compare_mirror(sound, mirror, told):
    for wall in walls(sound):
        level = worst(wall)["level_db"]
        if level < -30:
            continue
        twin = min(walls(mirror), key=lambda m: abs(m["in_vacuo_hz"] - wall["in_vacuo_hz"]))
        if abs(twin["in_vacuo_hz"] / wall["in_vacuo_hz"] - 1) > 3e-3:
            told["no_twin"] += 1
            continue
        told["mirror"].append((abs(worst(twin)["level_db"] - level), wall["name"], wall["frequency_hz"]))
        told["mirror_words"] += worst(twin)["verdict"] != worst(wall)["verdict"]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program", type=pathlib.Path)
    parser.add_argument("--count", type=int, default=60 if os.environ.get("STILLWALL_LONG") == "1" else 3)
    parser.add_argument("--first", type=int, default=1)
    arguments = parser.parse_args()
    told = {"matched": 0, "unmatched": 0, "levels": [], "audible_but_faint": [], "rings": 0, "rings_heard": 0, "far": [],
            "mirror": [], "no_twin": 0, "mirror_words": 0}
    for seed in range(arguments.first, arguments.first + arguments.count):
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            modes = run(arguments.program, "modes", cabinet(seed), folder, "--no-pictures")
            sound = run(arguments.program, "sound", cabinet(seed), folder, "--no-plots")
            mirror = run(arguments.program, "sound", cabinet(seed, True), folder, "--no-plots")
        compare_verbs(modes, sound, told)
        compare_mirror(sound, mirror, told)
    sizes = sorted(abs(d) for d in told["levels"])
    mirror = sorted(told["mirror"])
    print(f"{arguments.count} cabinets: {told['matched']} walls met again, {told['unmatched']} not; level of `modes` against "
          f"`sound`, over -30 dB, {len(sizes)} walls: mean {sum(sizes) / max(len(sizes), 1):.2f} dB, worst {sizes[-1] if sizes else 0:.2f} dB")
    print(f"RINGS {told['rings']}, of these heard in `sound` {told['rings_heard']}; audible in `sound` but faint: "
          f"{told['audible_but_faint']}; rings, and clearly inaudible in `sound`: {told['far']}")
    print(f"mirror images, {len(mirror)} walls over -30 dB ({told['no_twin']} without a twin): mean "
          f"{sum(m[0] for m in mirror) / max(len(mirror), 1):.3f} dB, worst {mirror[-1] if mirror else 0}, "
          f"words that differ {told['mirror_words']}")
    bad = bool(told["audible_but_faint"]) or told["rings_heard"] < 0.9 * told["rings"]
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
