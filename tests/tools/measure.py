#!/usr/bin/env python3
"""Prints the measured table of DEVELOPERS.md as markdown, with date, commit and machine, and writes it to
BUILD/measured.md.

    measure.py [--build build] [--long] [--only WORD]
    measure.py --self-test

Rows come from what the build holds: the lines "measured: what | figure" of the test programs below (--long: with the
full sets of the statistical ones, twenty minutes), the worst error of each group of published_table, and time and
memory of the program on examples. What is not built is said to be so. --only keeps the rows' sources whose name holds
WORD. Times mean something on a quiet machine only; the load at the start is told with them.
"""
import argparse
import datetime
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time

TESTS = ["boxes_test", "measured_knock_test", "measured_features_clean_test", "modes_bands_test", "explain_blind_test"]
# What is run for its time, from the root of the tree.
COMMANDS = [
    "modes examples/01-small-two-way/cabinet.yaml --no-advice --no-pictures",
    "modes examples/01-small-two-way/cabinet.yaml",
    "modes examples/02-tall-three-way/cabinet.yaml --no-pictures",
    "sound examples/06-sealed-two-way/sealed.yaml --no-advice",
    "sound examples/07-vented-two-way/vented.yaml --no-advice",
    "explain examples/09-wrinkle-of-a-wall/cabinet.yaml --impedance examples/09-wrinkle-of-a-wall/in_box.txt",
    "compare examples/13-choose-before-cutting/cabinet.yaml",
]
FOLDER_OPTION = {"modes": "--out", "sound": "--out", "explain": "--out", "compare": "--out"}


def measured_lines(text):
    """(what, figure) of the lines that tests print for the table."""
    for line in text.splitlines():
        if match := re.match(r"measured: (.+?) \| (.+)$", line):
            yield match.group(1), match.group(2)


def published_rows(text):
    """(what, figure) of each group of published_table: its cases and the worst of their errors."""
    group, errors = "", []
    for line in [*text.splitlines(), "## "]:
        if line.startswith("## "):
            if errors:
                worst, case = max(errors, key=lambda entry: abs(entry[0]))
                yield f"published: {group}, {len(errors)} cases", f"worst {worst:+.3f} % ({case})"
            group, errors = line[3:].strip(), []
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if group and len(cells) == 10 and (match := re.fullmatch(r"(?:< )?([-+\d.]+) %", cells[7])):
            errors.append((float(match.group(1)), cells[0]))


def run(command, root, **environment):
    """Output, wall seconds, processor seconds and memory [MB] of a command; raises where it fails."""
    with tempfile.TemporaryFile() as out:
        start = time.monotonic()
        child = subprocess.Popen(command, cwd=root, stdout=out, stderr=subprocess.STDOUT,
                                 env={**os.environ, **environment})
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        wall = time.monotonic() - start
        out.seek(0)
        text = out.read().decode("utf-8", "replace")
    if child.returncode:
        raise RuntimeError(f"{' '.join(map(str, command))}: exit {child.returncode}\n{text[-2000:]}")
    return text, wall, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def rows(root, build, is_long, only):
    for name in TESTS:
        if only and only not in name:
            continue
        if not (build / "bin" / name).exists():
            yield name, "not built"
            continue
        text, _, processor, _ = run([build / "bin" / name], root, STILLWALL_LONG="1" if is_long else "0")
        yield from measured_lines(text)
        yield f"`{name}`{' in a long run' if is_long else ''}", f"{processor:.0f} s of processor"
    table = build / "bin/published_table"
    if not only or only in "published_table":
        yield from published_rows(run([table], root)[0]) if table.exists() else [("published_table", "not built")]
    for command in COMMANDS:
        if only and only not in command:
            continue
        program = build / "bin/stillwall"
        if not program.exists():
            yield f"`{command}`", "not built"
            continue
        with tempfile.TemporaryDirectory() as scratch:
            words = command.split()
            _, wall, processor, memory = run([program, *words, FOLDER_OPTION[words[0]], scratch], root)
        yield f"`{command}`", f"{wall:.1f} s, {processor:.1f} s of processor, {memory:.0f} MB"


def heading(root):
    def git(*words):
        told = subprocess.run(["git", *words], cwd=root, capture_output=True, text=True)
        return told.stdout.strip() if told.returncode == 0 else ""

    commit = git("rev-parse", "--short", "HEAD") or "unknown"
    changed = " with changes" if git("status", "--porcelain", "--untracked-files=no") else ""
    return (f"Measured {datetime.date.today():%d %B %Y} at commit {commit}{changed}, {os.cpu_count()} cores, "
            f"load {os.getloadavg()[0]:.1f} at the start (`tests/tools/measure.py`).")


def self_test():
    lines = list(measured_lines("box A\nmeasured: box A | mean 0.1 %\nnot measured: x | y\n"))
    table = ("## Plates\n| case | problem | a | b | c | d | e | worst error | t | w |\n|---|---|---|---|---|---|---|---|---|---|\n"
             "| P1 | p | s | h | m | 1 | 1 | +0.250 % | 1 % | w |\n| P2 | p | s | h | m | 1 | 1 | -0.300 % | 1 % | w |\n"
             "| P3 | p | s | h | m | 1 | 1 | < 0.0005 % | 1 % | w |\n\n## Empty\n")
    found = list(published_rows(table))
    faults = []
    if lines != [("box A", "mean 0.1 %")]:
        faults.append(f"self-test: lines of tests read as {lines}")
    if found != [("published: Plates, 3 cases", "worst -0.300 % (P2)")]:
        faults.append(f"self-test: groups of published_table read as {found}")
    return faults


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--build", type=pathlib.Path, default=pathlib.Path("build"))
    parser.add_argument("--long", action="store_true")
    parser.add_argument("--only", default="")
    parser.add_argument("--self-test", action="store_true")
    asked = parser.parse_args()
    if asked.self_test:
        faults = self_test()
        print(*faults, sep="\n", end="\n" if faults else "")
        return bool(faults)
    root = pathlib.Path(__file__).resolve().parents[2]
    build = asked.build.resolve()
    with open(build / "measured.md", "w", encoding="utf-8") as file:
        def say(line):
            print(line, flush=True)
            print(line, file=file, flush=True)

        say(heading(root) + "\n\n| what | figure |\n|---|---|")
        for what, figure in rows(root, build, asked.long, asked.only):
            say(f"| {what} | {figure} |")
    return 0


if __name__ == "__main__":
    sys.exit(main())
