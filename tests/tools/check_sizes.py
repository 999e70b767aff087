#!/usr/bin/env python3
"""Fails on source files over 500 lines, a main.cpp over 40, and paths or words that only mean something on one machine.

Run from the repository root. With --self-test, checks that planted faults are found.
"""
import pathlib
import re
import sys
import tempfile

FOLDERS = ["app", "solver", "mesh", "viz", "tests", "materials", "examples", ".ci"]
SOURCES = {".h", ".cpp", ".in", ".py", ".sh", ".ts", ".mjs", ".css"}
TEXTS = SOURCES | {".md", ".txt", ".yaml", ".json"}
LIMITS = {"app/main.cpp": 40}
# Bracketed letters keep these patterns from finding themselves.
MACHINE = re.compile(r"(^|[^\w./])(/h[o]me/|/w[o]rk/|/tm[p]/|/r[o]ot/|\.\./sha[r]ed)|/bash_j[o]bs")


def all_faults(root):
    paths = [p for folder in FOLDERS for p in sorted((root / folder).rglob("*"))]
    paths += [p for p in sorted(root.iterdir()) if p.is_file()]
    for path in paths:
        name = str(path.relative_to(root))
        if not path.is_file() or (path.suffix not in TEXTS and path.name != "run"):
            continue
        if "node_modules" in path.parts:  # fetched, not kept
            continue
        if name.startswith("tests/bad_input/"):  # broken on purpose, some not even text
            continue
        lines = path.read_text(encoding="utf-8").splitlines()
        limit = LIMITS.get(name, 500)
        if path.suffix in SOURCES and len(lines) > limit:
            yield f"{name}: {len(lines)} lines, more than {limit}"
        for number, line in enumerate(lines, 1):
            if MACHINE.search(line):
                yield f"{name}:{number}: a path of one machine: {line.strip()}"


def self_test():
    with tempfile.TemporaryDirectory() as scratch:
        root = pathlib.Path(scratch)
        (root / "app").mkdir()
        (root / "app/long.cpp").write_text("//\n" * 501, encoding="utf-8")
        (root / "app/main.cpp").write_text("//\n" * 41, encoding="utf-8")
        (root / "README.md").write_text("see /ho" + "me/someone/file\n", encoding="utf-8")
        found = list(all_faults(root))
    return [f"self-test: nothing found in {name}" for name in ("app/long.cpp", "app/main.cpp", "README.md")
            if not any(fault.startswith(name) for fault in found)]


if __name__ == "__main__":
    faults = self_test() if "--self-test" in sys.argv[1:] else list(all_faults(pathlib.Path(".")))
    print(*faults, sep="\n", end="\n" if faults else "")
    sys.exit(bool(faults))
