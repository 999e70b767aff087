#!/usr/bin/env python3
"""Cabinets that people build, taken through `check`, `workshop`, `modes`, `sound` and `compare`: what one verb says must
hold in the others.

    check_cabinets.py STILLWALL CABINET...

Reference: the other verb. Tolerances stand beside the comparisons.
"""
import json
import pathlib
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "app"))
import check_dxf  # noqa: E402

same = 1e-6  # of a figure that two verbs take from one drawing: the digits printed
# The estimate of the tuning against the computed one: end corrections of a free end in a small box, filling and walls.
# Twelve cabinets by hand lie within 3 %; draft meshes add 2 %.
tuning_estimate = 0.06
# Frequencies of one wall on two draft meshes.
same_wall = 0.03


def run(program, *words):
    done = subprocess.run([program, *map(str, words)], capture_output=True, text=True)
    assert done.returncode == 0, (words, done.stderr)
    return done.stdout


def near(a, b, tolerance, what):
    assert abs(a - b) <= tolerance * max(abs(a), abs(b)), (what, a, b)


def check_slots(parts):
    """Every slot has its partner's, and each is as wide as the partner is thick (plates that cross squarely)."""
    for name, part in parts.items():
        for slot in part["slots"]:
            other = parts[slot["for"]]
            assert any(s["for"] == name for s in other["slots"]), (name, slot["for"])
            near(slot["width_mm"], other["thickness_mm"], same, "slot's width")


def told_tuning(modes):
    ports = [m for m in modes if m["kind"] == "port"]
    return ports[0]["frequency_hz"] if ports else None


def check_cabinet(program, file):
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder)
        run(program, "check", file, "--json", out / "c.json")
        drawn = json.loads((out / "c.json").read_text())
        parts = check_dxf.parts_of(program, file, out)
        for name, part in parts.items():
            check_dxf.check_part(out, name, part)
        check_slots(parts)
        run(program, "modes", file, "--accuracy", "draft", "--no-pictures", "--no-advice", "--no-play", "--json", out / "m.json")
        run(program, "sound", file, "--accuracy", "draft", "--no-plots", "--no-advice", "--all", "--json", out / "s.json")
        run(program, "compare", file, "--accuracy", "draft", "--modes-only", "--no-pictures", "--json", out / "v.json")
        walls, played, compared = (json.loads((out / f"{n}.json").read_text()) for n in "msv")

    cabinet = drawn["cabinet"]
    near(sum(c["net_volume_l"] for c in drawn["chambers"]), cabinet["net_volume_l"], same, "litres of the chambers")
    for chamber in drawn["chambers"]:
        near(sum(line["volume_l"] for line in chamber["volume_lines"]), chamber["net_volume_l"], same, "volume lines")
    for other in (walls["cabinet"], played["cabinet"]):
        for key in ("net_volume_l", "mass_kg"):
            near(other[key], cabinet[key], same, key)
    scheme = compared["schemes"][0]
    near(scheme["net_volume_l"], cabinet["net_volume_l"], same, "litres")
    near(scheme["mass_kg"], cabinet["mass_kg"], same, "mass")
    near(walls["modes"][0]["frequency_hz"], scheme["modes"][0]["frequency_hz"], same_wall, "first mode")

    tunings = [c["tuning_Hz"] for c in drawn["chambers"] if "tuning_Hz" in c]
    if tunings and told_tuning(played["modes"]):
        near(told_tuning(played["modes"]), tunings[0], tuning_estimate, "tuning")
    names = " ".join(m["name"] for m in played["modes"])
    if any("line" in c for c in drawn["chambers"]):
        assert "along the line" in names and "tuning of the box" not in names, names
    if len(drawn["chambers"]) > 1:
        assert any(c["name"] in names for c in drawn["chambers"]), names
    print(f"ok: {pathlib.Path(file).name}: {len(drawn['chambers'])} chambers, tuned {tunings}, {len(played['modes'])} resonances")


if __name__ == "__main__":
    for cabinet_file in sys.argv[2:]:
        check_cabinet(sys.argv[1], cabinet_file)
