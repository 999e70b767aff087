#!/usr/bin/env python3
"""Every change that the advice proposes for seeded cabinets is put back into the file and must be accepted.

    check_proposals.py STILLWALL [--count N] [--first SEED]

Reference: the reader itself, which refuses what would stand in one place with a driver, a hole or a tube; and its warnings
of drivers whose size is a guess: none may name what was proposed. Tolerance: none.
"""

import argparse
import json
import os
import pathlib
import subprocess
import sys
import tempfile

from check_verbs import cabinet


def call(program, verb, text, folder, *options):
    source = folder / "cabinet.yaml"
    source.write_text(text)
    return subprocess.run([program, verb, source, *options], capture_output=True, text=True)


def proposals(program, text, folder):
    """The variants that `modes` advises."""
    result = folder / "modes.json"
    done = call(program, "modes", text, folder, "--json", result, "--no-pictures", "--accuracy", "draft")
    if done.returncode != 0:
        sys.exit(f"modes: exit {done.returncode}\n{done.stderr}\n{text}")
    return [change["variant"] for change in json.loads(result.read_text())["advice"]["changes"]]


def faults(program, text, entry, folder):
    done = call(program, "workshop", text + f"variants:\n  - {entry}\n", folder, "--no-drawings", "--variant", entry.split(",")[0].split(": ")[1])
    if done.returncode != 0:
        yield f"{entry}\n  is refused: {done.stderr.strip()}\n{text}"
    if "advised" in done.stderr:
        yield f"{entry}\n  may not fit: {done.stderr.strip()}\n{text}"


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program", type=pathlib.Path)
    parser.add_argument("--count", type=int, default=40 if os.environ.get("STILLWALL_LONG") else 2)
    parser.add_argument("--first", type=int, default=1)
    arguments = parser.parse_args()
    n_proposed, found = 0, []
    for seed in range(arguments.first, arguments.first + arguments.count):
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            text = cabinet(seed)
            for entry in proposals(arguments.program, text, folder):
                n_proposed += 1
                found += faults(arguments.program, text, entry, folder)
    print(f"{arguments.count} cabinets, {n_proposed} proposals, {len(found)} that the reader does not like")
    print(*found, sep="\n")
    sys.exit(1 if found or n_proposed == 0 else 0)


if __name__ == "__main__":
    main()
