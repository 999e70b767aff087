"""The search must find places for the braces that are better than the file's variants (the usual rules), wood being equal.

Both are computed by the program at normal accuracy to the file's upper frequency. Better is more than two meshes of one cabinet may
differ by: 0.3 dB of level, 0.5 % of frequency (measured by moving a brace by 1 mm and back: 0.1 dB, 0.2 %).
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path


def main():
    program, cabinet = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder)
        subprocess.run([program, "improve", cabinet, "--tries", "40", "--no-plots", "--json", str(out / "i.json")], check=True)
        how = ["--modes-only"] if "aim: first_mode" in Path(cabinet).read_text(encoding="utf-8") else []
        subprocess.run([program, "compare", cabinet, "--no-pictures", *how, "--json", str(out / "c.json")], check=True, stdout=subprocess.DEVNULL)
        found = json.loads((out / "i.json").read_text())
        best = found["front"][0]
        schemes = json.loads((out / "c.json").read_text())["schemes"]
        assert len(schemes) >= 3
        for scheme in schemes:
            first = scheme["modes"][scheme["first_wall_mode"]]["frequency_hz"]
            levels = [m["over_strict_db"] for m in scheme["modes"] if m["kind"] == "wall" and m.get("over_strict_db") is not None]
            print(f"{scheme['name']}: first {first:.1f} Hz, {max(levels, default=0):+.2f} dB, {scheme['mass_kg']:.3f} kg; "
                  f"improved: {best['first_wall_mode_hz']:.1f} Hz, {best.get('over_strict_db', 0):+.2f} dB, {best['mass_kg']:.3f} kg")
            if found["aim"] == "first_mode":
                assert best["first_wall_mode_hz"] > 1.005 * first
            else:
                assert best["over_strict_db"] < max(levels) - 0.3
            assert abs(best["mass_kg"] - scheme["mass_kg"]) < 1e-3 * scheme["mass_kg"]


main()
