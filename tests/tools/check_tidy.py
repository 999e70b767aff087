#!/usr/bin/env python3
"""Runs clang-tidy 14 with the checks of .clang-tidy over a part of the tree that changes from commit to commit, or over
all of it (--all, or STILLWALL_LONG=1).

    check_tidy.py BUILD [--all]
    check_tidy.py --self-test

BUILD holds compile_commands.json. The part: what the last commit changed, and one file in PARTS of the rest, chosen by
the commit's name, so that a file has its turn every PARTS commits on the average; MOST files at most. Run from the
repository root. Where clang-tidy 14 is missing, says so and ends with 77, which CTest counts as skipped.
"""
import concurrent.futures
import hashlib
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

from clang_tool import SKIPPED, VERSION, find

PARTS = 30
MOST = 25  # some two minutes of two cores
OURS = ("app/", "solver/", "mesh/", "viz/")


def git(root, *words):
    told = subprocess.run(["git", *words], cwd=root, capture_output=True, text=True)
    return told.stdout.split() if told.returncode == 0 else []


def part_of(files, changed, commit):
    """Files of this commit's turn, after those of `changed`."""
    def is_turn(file):
        return int(hashlib.sha256((commit + file).encode()).hexdigest(), 16) % PARTS == 0

    first = [file for file in files if file in changed]
    return (first + [file for file in files if file not in changed and is_turn(file)])[:MOST]


def complaints(clang_tidy, build, root, file):
    # The commands are GCC's: clang does not know all its warnings, and what else it warns of is not asked here.
    told = subprocess.run([clang_tidy, "-p", str(build), "--quiet", f"--header-filter={root}/(app|solver|mesh|viz)/",
                           "--extra-arg=-Wno-unknown-warning-option", "--extra-arg=-Wno-error", str(root / file)],
                          cwd=root, capture_output=True, text=True)
    return told.stdout + told.stderr if told.returncode else ""


def all_faults(clang_tidy, build, root, files):
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for fault in pool.map(lambda file: complaints(clang_tidy, build, root, file), files):
            if fault:
                yield fault


def known(build, root):
    """Our files that the build compiles, relative to the root."""
    commands = json.loads((build / "compile_commands.json").read_text(encoding="utf-8"))
    files = {os.path.relpath(pathlib.Path(entry["directory"]) / entry["file"], root) for entry in commands}
    return sorted(file for file in files if file.startswith(OURS) and file.endswith(".cpp"))


def self_test(clang_tidy):
    faults = []
    with tempfile.TemporaryDirectory() as scratch:
        root = pathlib.Path(scratch).resolve()
        shutil.copy(".clang-tidy", root)
        (root / "app").mkdir()
        (root / "app/good.cpp").write_text("int good() { int unused; return 1; }\n", encoding="utf-8")
        (root / "app/bad.cpp").write_text("double bad() { return 1 / 2 * 3.0; }\n", encoding="utf-8")
        (root / "compile_commands.json").write_text(json.dumps(
            [{"directory": scratch, "file": f"app/{name}.cpp",
              "command": f"g++ -Wall -Werror -Wno-restrict -c app/{name}.cpp"} for name in ("good", "bad")]), encoding="utf-8")
        found = list(all_faults(clang_tidy, root, root, known(root, root)))
        if len(found) != 1 or "bugprone-integer-division" not in found[0]:
            faults.append(f"self-test: expected the planted division alone, found {found}")
    files = [f"app/{i}.cpp" for i in range(300)]
    seen = {file for i in range(10 * PARTS) for file in part_of(files, set(), str(i))}
    if len(seen) < 0.99 * len(files) or "app/7.cpp" not in part_of(files, {"app/7.cpp"}, "1"):
        faults.append("self-test: some files never have their turn, or a changed one is left out")
    return faults


def main(words):
    clang_tidy = find("clang-tidy")
    if clang_tidy is None:
        print(f"skipped: clang-tidy {VERSION} is not installed (tests/tools/packages_checks.txt)")
        return SKIPPED
    if "--self-test" in words:
        faults = self_test(clang_tidy)
    else:
        root, build = pathlib.Path(".").resolve(), pathlib.Path(words[0]).resolve()
        files = known(build, root)
        if "--all" not in words and os.environ.get("STILLWALL_LONG") != "1":
            changed = set(git(root, "diff", "--name-only", "HEAD~1"))
            files = part_of(files, changed, "".join(git(root, "rev-parse", "HEAD")))
        print(f"clang-tidy over {len(files)} files", flush=True)
        faults = list(all_faults(clang_tidy, build, root, files))
    print(*faults, sep="\n", end="\n" if faults else "")
    return bool(faults)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
