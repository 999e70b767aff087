#!/usr/bin/env python3
"""Fails on C++ files that clang-format 14 would lay out otherwise than they stand.

Run from the repository root. With --self-test, checks that a planted file is found. Where clang-format 14 is missing
(another version lays out otherwise), says so and ends with 77, which CTest counts as skipped.
"""
import pathlib
import shutil
import subprocess
import sys
import tempfile

from clang_tool import SKIPPED, VERSION, find

FOLDERS = ["app", "solver", "mesh", "viz", "tests"]


def all_faults(root, clang_format):
    paths = [p for folder in FOLDERS for p in sorted((root / folder).rglob("*")) if p.suffix in {".h", ".cpp"}]
    if not paths:
        yield "no C++ file found: run from the repository root"
        return
    told = subprocess.run([clang_format, "--dry-run", "-Werror", "--style=file", *map(str, paths)],
                          capture_output=True, text=True)
    places = [line.split(": error:")[0] for line in told.stderr.splitlines() if ": error:" in line]
    for name in sorted({place.rsplit(":", 2)[0] for place in places}):
        first = next(place for place in places if place.startswith(name + ":"))
        yield f"{first}: not as clang-format lays it out; run clang-format -i {name}"
    if told.returncode and not places:
        yield told.stderr


def self_test(clang_format):
    with tempfile.TemporaryDirectory() as scratch:
        root = pathlib.Path(scratch)
        shutil.copy(".clang-format", root)
        (root / "app").mkdir()
        (root / "app/good.cpp").write_text("int good()\n{\n    return 1;\n}\n", encoding="utf-8")
        (root / "app/bad.cpp").write_text("int  bad( ){return 1;}\n", encoding="utf-8")
        found = list(all_faults(root, clang_format))
    if len(found) != 1 or "app/bad.cpp" not in found[0]:
        return [f"self-test: expected the planted app/bad.cpp alone, found {found}"]
    return []


if __name__ == "__main__":
    found_program = find("clang-format")
    if found_program is None:
        print(f"skipped: clang-format {VERSION} is not installed (tests/tools/packages_checks.txt)")
        sys.exit(SKIPPED)
    root = pathlib.Path(".")
    faults = self_test(found_program) if "--self-test" in sys.argv[1:] else list(all_faults(root, found_program))
    print(*faults, sep="\n", end="\n" if faults else "")
    sys.exit(bool(faults))
