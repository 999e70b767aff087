#!/usr/bin/env python3
"""Levels said to lie in a band, against cabinets whose boards are drawn from the ranges and played in full.

    check_levels.py STILLWALL [--cabinets N] [--draws N]

Reference: `sound` on the same box with other moduli and losses, all coupled anew; the band comes from one run, which
walks each wall alone past the waves of the air. Prints the share of levels in the band that nine of ten should lie in,
and how wide the levels lie against how wide they were said to.
"""

import argparse
import math
import os
import pathlib
import random
import sys
import tempfile

import check_verbs

errors = {"stiffness": 0.08, "shear": 0.2, "loss": 0.25}  # of the logarithm: as the library's ranges of MDF
spread_dB = 3  # what the program adds for what the draws do not vary
nine_of_ten = 2 * 1.6449


def with_boards(text, factors):
    board = text.split("material: ")[1].split(",")[0]
    figures = ", ".join(f"{key}: {factors[key]:.6f}, {key}_error: {100 * errors[key]:.0f} %" for key in errors)
    text = text.replace("driver: {mass", "driver: {basket: rigid, mass", 1)
    return text + f"learned:\n  - {{material: {board}, {figures}}}\n"


def heard(sound):
    return [(m, check_verbs.worst(m)) for m in check_verbs.walls(sound)]


def main():
    is_long = os.environ.get("STILLWALL_LONG") == "1"
    parser = argparse.ArgumentParser()
    parser.add_argument("program", type=pathlib.Path)
    parser.add_argument("--cabinets", type=int, default=6 if is_long else 1)
    parser.add_argument("--draws", type=int, default=40 if is_long else 8)
    arguments = parser.parse_args()
    inside, n, ratios, biases = 0, 0, [], []
    for seed in range(101, 101 + arguments.cabinets):
        r = random.Random(seed)
        text = check_verbs.cabinet(seed).replace("sound: {to: 1500 Hz}", "sound: {to: 1000 Hz}")
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            base = heard(check_verbs.run(arguments.program, "sound", with_boards(text, dict.fromkeys(errors, 1.0)), folder, "--no-plots"))
            drawn = []
            for _ in range(arguments.draws):
                factors = {key: math.exp(r.gauss(0, sd)) for key, sd in errors.items()}
                drawn.append(heard(check_verbs.run(arguments.program, "sound", with_boards(text, factors), folder, "--no-plots")))
        for mode, at in base:
            if at["level_db"] < -30 or mode["frequency_hz"] > 750:  # neighbours of like name above
                continue
            levels = []
            for sounds in drawn:
                twins = [a for m, a in sounds if m["name"] == mode["name"] and abs(math.log(m["in_vacuo_hz"] / mode["in_vacuo_hz"])) < 0.2]
                if len(twins) == 1:
                    levels.append(twins[0]["level_db"])
            if len(levels) < 0.7 * arguments.draws:
                continue
            n += len(levels)
            inside += sum(at["level_low_db"] <= level <= at["level_high_db"] for level in levels)
            mean = sum(levels) / len(levels)
            deviation = math.sqrt(sum((level - mean) ** 2 for level in levels) / (len(levels) - 1))
            said = math.sqrt(max(((at["level_high_db"] - at["level_low_db"]) / nine_of_ten) ** 2 - spread_dB**2, 0.01))
            ratios.append((deviation, said))
            biases.append(mean - (at["level_low_db"] + at["level_high_db"]) / 2)
    drawn_dB = math.sqrt(sum(d * d for d, _ in ratios) / len(ratios))
    said_dB = math.sqrt(sum(s * s for _, s in ratios) / len(ratios))
    bias = sum(biases) / len(biases)
    print(f"levels of {len(ratios)} walls in {arguments.cabinets} cabinets, {n} draws: {100 * inside / n:.1f} % in the band of nine in ten; "
          f"standard deviation drawn {drawn_dB:.2f} dB, said {said_dB:.2f} dB (without the {spread_dB} dB added); "
          f"drawn against the band's middle {bias:+.2f} dB")
    # Tolerance: the band holds 3 dB that the draws do not vary, so more than nine of ten lie inside; what is said of the
    # draws' own spread is first order in one wall, so within a factor of 1.6.
    # A drawn loss is common to all walls of a cabinet: 8.7 dB times its deviation, over the draws; three of those, and
    # half a decibel for what first order leaves.
    most_bias = 0.5 + 3 * 8.7 * errors["loss"] / math.sqrt(arguments.cabinets * arguments.draws)
    sys.exit(0 if inside >= 0.9 * n and 1 / 1.6 < drawn_dB / said_dB < 1.6 and abs(bias) < most_bias else 1)


if __name__ == "__main__":
    main()
