"""Reads the program's DXF files with an independent reader (ezdxf) and checks sizes, layers and areas."""

import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

from ezdxf import bbox, recover


def area_of(entity):
    """Area inside a circle or a closed polyline with bulges."""
    if entity.dxftype() == "CIRCLE":
        return math.pi * entity.dxf.radius**2
    points = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0)) for v in entity.vertices]
    area = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1]):
        area += (x0 * y1 - x1 * y0) / 2
        if bulge:  # segment between chord and arc
            angle = 4 * math.atan(bulge)
            radius = math.hypot(x1 - x0, y1 - y0) * (1 + bulge**2) / (4 * abs(bulge))
            area += math.copysign(radius**2 * (abs(angle) - math.sin(abs(angle))) / 2, angle)
    return abs(area)


def check_part(folder, name, part):
    """The part's DXF against what the list says of it; returns the number of cut-outs. Leaves its density in the part."""
    document, auditor = recover.readfile(folder / f"{name.replace(' ', '-')}.dxf")
    assert not auditor.has_errors, (name, [str(e) for e in auditor.errors])
    entities = list(document.modelspace())
    outline = [e for e in entities if e.dxf.layer == "OUTLINE"]
    cutouts = [e for e in entities if e.dxf.layer == "CUTOUT"]
    assert len(outline) == 1 and outline[0].is_closed, name
    assert len(cutouts) == part["cutouts"], name
    box = bbox.extents(outline)
    size = sorted([box.size.x, box.size.y])
    wanted = sorted([part["length_mm"], part["width_mm"]])
    # Sides on a curved wall are listed by its facets, which lie within 0.4 mm of the curve on either side.
    off = 0.8 if any(v.dxf.get("bulge", 0) for v in outline[0].vertices) else 1e-3
    assert all(abs(a - b) < off for a, b in zip(size, wanted)), (name, size, wanted)
    # What is left of the board weighs what the list says: one density for all of one material.
    volume = (area_of(outline[0]) - sum(area_of(c) for c in cutouts)) * part["thickness_mm"]  # mm3
    part["density"] = part["mass_kg"] / volume * 1e9
    return len(cutouts)


def parts_of(program, cabinet, out):
    """Runs `workshop` with its drawings into a folder; the parts by name."""
    subprocess.run([program, "workshop", cabinet, "--out", str(out), "--json", str(out / "w.json")], check=True, stdout=subprocess.DEVNULL)
    return {p["name"]: p for p in json.loads((out / "w.json").read_text())["parts"]}


def main():
    program, cabinet = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as folder:
        parts = parts_of(program, cabinet, Path(folder))
        n_cutouts = sum(check_part(Path(folder), name, part) for name, part in parts.items())
        assert n_cutouts >= 3
        for material in {p["material"] for p in parts.values()}:
            densities = [p["density"] for p in parts.values() if p["material"] == material]
            assert max(densities) / min(densities) - 1 < 1e-4, (material, densities)
    print("ok:", len(parts), "parts,", n_cutouts, "cut-outs")


if __name__ == "__main__":
    main()
