#!/usr/bin/env python3
"""Fails when a file includes something that its folder may not see (DEVELOPERS.md draws the arrows).

Run from the repository root. With --self-test, plants forbidden includes in a scratch folder and fails unless
each one is found.
"""
import pathlib
import re
import sys
import tempfile

# Folder -> folders whose headers it may include.
SEES = {
    "mesh/core": ["mesh/core"],
    "mesh/gmsh": ["mesh"],
    "solver": ["solver", "mesh/core"],
    "viz": ["viz", "mesh/core"],
    "app": ["app", "solver", "viz", "mesh"],
}
# Start of a library's header -> the only folder that may include it, in .cpp files and internal/ headers.
HOME = {
    "gmsh": "mesh/gmsh",
    "Spectra/": "solver",
    "cholmod": "solver",
    "suitesparse/": "solver",
    "metis": "solver",
    "vtk": "viz",
    "yaml-cpp/": "app/input",
    "sndfile": "app/input",
}
INCLUDE = re.compile(r'\s*#\s*include\s*([<"])([^>"]+)')


def faults_in(root, folder, path):
    relative = path.relative_to(root)
    is_hidden = path.suffix == ".cpp" or path.parent.name == "internal"
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        match = INCLUDE.match(line)
        if not match:
            continue
        kind, target = match.groups()
        place = f"{relative}:{number}"
        if kind == '"' and not any(target.startswith(seen + "/") for seen in SEES[folder]):
            yield f"{place}: {folder}/ may not see {target}"
        if kind == '"' and "/internal/" in target and not str(relative).startswith(target.split("/internal/")[0] + "/"):
            yield f"{place}: {target} is internal"
        for library, home in HOME.items():
            if target.startswith(library) and not (str(relative).startswith(home + "/") and is_hidden):
                yield f"{place}: {target} may appear only in {home}/ (.cpp files and internal/)"


def all_faults(root):
    for folder in SEES:
        for path in sorted((root / folder).rglob("*")):
            if path.suffix in {".h", ".cpp"}:
                yield from faults_in(root, folder, path)


def self_test():
    planted = {
        "mesh/core/a.h": '#include "solver/modes/analysis.h"',
        "solver/b.cpp": '#include "viz/picture.h"',
        "viz/c.h": "#include <vtkActor.h>",
        "app/output/d.cpp": "#include <yaml-cpp/yaml.h>",
        "mesh/gmsh/e.h": "#include <gmsh.h>",
        "app/f.cpp": '#include "viz/internal/drawing.h"',
        "solver/modes/g.h": "  #  include <Spectra/SymEigsSolver.h>",
    }
    with tempfile.TemporaryDirectory() as scratch:
        root = pathlib.Path(scratch)
        for name, line in planted.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(line + "\n", encoding="utf-8")
        found = list(all_faults(root))
    missed = [name for name in planted if not any(fault.startswith(name) for fault in found)]
    return [f"self-test: the fault planted in {name} was not found" for name in missed]


if __name__ == "__main__":
    faults = self_test() if "--self-test" in sys.argv[1:] else list(all_faults(pathlib.Path(".")))
    print(*faults, sep="\n", end="\n" if faults else "")
    sys.exit(bool(faults))
