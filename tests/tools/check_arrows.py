#!/usr/bin/env python3
"""Fails when a file includes something that its room may not see (DEVELOPERS.md draws the arrows).

Run from the repository root. With --self-test, plants a forbidden include in every room in a scratch folder and fails
unless each one is found.
"""
import pathlib
import re
import sys
import tempfile

# Room -> rooms straight below it; what those see it sees too. A room is a folder with all below it, but for rooms of
# their own.
BELOW = {
    "mesh/cabinet": [],
    "mesh/sawing": ["mesh/cabinet"],
    "mesh/core": ["mesh/cabinet"],
    "mesh/gmsh": ["mesh/core"],
    "solver/linalg": ["mesh/core"],
    "solver/structure/section": ["solver/linalg"],
    "solver/structure/joint": ["solver/structure/section"],
    "solver/structure/shell": ["solver/structure/section"],
    "solver/structure": ["solver/structure/joint", "solver/structure/shell"],
    "solver/modes": ["solver/structure"],
    "solver/air": ["solver/linalg"],
    "solver/radiation": ["solver/air"],
    "solver/verdict": ["solver/modes"],
    "solver/measured": ["solver/air"],
    "solver/drive": ["solver/verdict", "solver/radiation"],
    "solver/explain": ["solver/drive", "solver/measured"],
    "solver/choose": ["solver/drive", "mesh/sawing"],
    "viz": ["mesh/core"],
    "app/input": ["solver/explain", "solver/choose"],
    "app/write": ["app/input"],
    "app/workers": ["app/write", "viz", "mesh/gmsh"],
    "app/verbs/common": ["app/workers"],
    "app": ["app/verbs"],
}
VERBS = "check modes sound compare vary improve workshop explain knock driver strip materials".split()
BELOW |= {f"app/verbs/{verb}": ["app/verbs/common"] for verb in VERBS}
# The page of everything runs the verbs that make it.
BELOW["app/verbs/report"] = [f"app/verbs/{verb}" for verb in ("modes", "sound", "explain", "workshop")]
BELOW["app/verbs"] = [f"app/verbs/{verb}" for verb in VERBS] + ["app/verbs/report"]

# Start of a library's header -> the only room that may include it, in .cpp files and internal/ headers.
HOME = {
    "gmsh": "mesh/gmsh",
    "Spectra/": "solver/linalg",
    "cholmod": "solver/linalg",
    "suitesparse/": "solver/linalg",
    "metis": "solver/linalg",
    "nlopt": "solver/choose",
    "vtk": "viz",
    "yaml-cpp/": "app/input",
    "sndfile": "app/input",
    "CLI/": "app",
}
PLACED_ANYWHERE = {"CLI/"}  # may stand in public headers of its home
INCLUDE = re.compile(r'\s*#\s*include\s*([<"])([^>"]+)')
TOP = ("mesh", "solver", "viz", "app")


def room_of(path):
    """The innermost room that holds a path; None outside all."""
    parts = pathlib.PurePosixPath(path).parent.parts
    for n in range(len(parts), 0, -1):
        if (folder := "/".join(parts[:n])) in BELOW:
            return folder
    return None


def seen_from(room):
    seen, todo = set(), [room]
    while todo:
        if (one := todo.pop()) not in seen:
            seen.add(one)
            todo += BELOW[one]
    return seen


def cycles():
    for room in BELOW:
        for below in BELOW[room]:
            if room in seen_from(below):
                yield f"the rooms {room} and {below} see each other"


def faults_in(root, path):
    relative = path.relative_to(root)
    room = room_of(relative)
    if room is None:
        yield f"{relative}: stands in no room"
        return
    is_hidden = path.suffix == ".cpp" or path.parent.name == "internal"
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        match = INCLUDE.match(line)
        if not match:
            continue
        kind, target = match.groups()
        place = f"{relative}:{number}"
        if kind == '"' and target != "app/version.h" and room_of(target) not in seen_from(room):
            yield f"{place}: {room}/ may not see {target}"
        if kind == '"' and "/internal/" in target and not str(relative).startswith(target.split("/internal/")[0] + "/"):
            yield f"{place}: {target} is internal"
        for library, home in HOME.items():
            at_home = str(relative).startswith(home + "/") and (is_hidden or library in PLACED_ANYWHERE)
            if target.startswith(library) and not at_home:
                yield f"{place}: {target} may appear only in {home}/ (.cpp files and internal/)"


def all_faults(root):
    yield from cycles()
    for folder in TOP:
        for path in sorted((root / folder).rglob("*")):
            if path.suffix in {".h", ".cpp"}:
                yield from faults_in(root, path)


def self_test():
    # Each room includes the room that stands on it, or where none does the program's own.
    planted = {}
    for room in BELOW:
        above = [other for other in BELOW if other not in seen_from(room)]
        planted[f"{room}/planted.h"] = f'#include "{above[0]}/some.h"' if above else "#include <gmsh.h>"
    planted |= {
        "app/write/d.cpp": "#include <yaml-cpp/yaml.h>",
        "mesh/gmsh/e.h": "#include <gmsh.h>",
        "app/f.cpp": '#include "viz/internal/drawing.h"',
        "solver/modes/g.h": "  #  include <Spectra/SymEigsSolver.h>",
        "solver/loose.h": "",
        "app/verbs/compare/h.cpp": '#include "app/verbs/vary/vary_report.h"',
    }
    with tempfile.TemporaryDirectory() as scratch:
        root = pathlib.Path(scratch)
        for name, line in planted.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(line + "\n", encoding="utf-8")
        found = list(all_faults(root))
    missed = [name for name in planted if not any(fault.startswith(name) for fault in found)]
    BELOW["solver/linalg"].append("solver/choose")
    if not list(cycles()):
        missed.append("a cycle between rooms")
    return [f"self-test: the fault planted in {name} was not found" for name in missed]


if __name__ == "__main__":
    faults = self_test() if "--self-test" in sys.argv[1:] else list(all_faults(pathlib.Path(".")))
    print(*faults, sep="\n", end="\n" if faults else "")
    sys.exit(bool(faults))
