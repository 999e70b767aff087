"""The search must find a place for the brace that is quieter than the file's variants (the usual rules), wood being equal.

Both are computed by the program at normal accuracy to the file's upper frequency. The margin is what the mesh may add by
itself: 0.05 dB between two meshes of one cabinet (moving the brace by 1 mm and back).
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
        subprocess.run([program, "improve", cabinet, "--tries", "40", "--no-plot", "--json", str(out / "i.json")], check=True)
        subprocess.run([program, "compare", cabinet, "--no-pictures", "--json", str(out / "c.json")], check=True, stdout=subprocess.DEVNULL)
        best = json.loads((out / "i.json").read_text())["front"][0]
        schemes = json.loads((out / "c.json").read_text())["schemes"]
        assert len(schemes) >= 3
        for scheme in schemes:
            over = max(m["over_strict_db"] for m in scheme["modes"] if m["kind"] == "wall" and m.get("over_strict_db") is not None)
            print(f"{scheme['name']}: {over:+.2f} dB, {scheme['mass_kg']:.3f} kg; improved: {best['over_strict_db']:+.2f} dB, {best['mass_kg']:.3f} kg")
            assert best["over_strict_db"] < over - 0.05
            assert abs(best["mass_kg"] - scheme["mass_kg"]) < 1e-3 * scheme["mass_kg"]


main()
