#!/usr/bin/env python3
"""Puts today's output into the excerpts of a document, and today's figures into the baselines of its expected.json.

    renew_document.py PROGRAM DOCUMENT... [--dry]

For when results changed on purpose: read the differences (git diff) before they are committed. An excerpt's line that is
no longer printed is replaced by the printed line most like it, letters before digits, between its neighbours' places.
Values from outside are never touched; what is said in prose or tables is told by run_document.py and mended by hand.
"""
import datetime
import difflib
import json
import pathlib
import re
import sys
import tempfile

import documents
from run_document import SCRIPTS, Runner, look_up

LEAST_LIKE = 0.6


def likeness(shown, printed):
    """How alike two lines are: their words first, then their digits."""
    def letters(line):
        return re.sub(r"\d", "0", " ".join(line.split()))

    return (difflib.SequenceMatcher(None, letters(shown), letters(printed)).ratio() +
            0.1 * difflib.SequenceMatcher(None, shown, printed).ratio())


def renewed(excerpt, output):
    """The excerpt's lines as printed now, and those for which none was found. Columns move together: one line that has to
    be replaced replaces them all."""
    lines, result, lost, at = output.splitlines(), [], [], 0
    printed, is_moved = [], False

    def place(shown, start):
        return next((i for i in range(start, len(lines)) if documents.is_same_line(shown, lines[i])), None)

    for number, shown in enumerate(excerpt):
        printed.append(shown)
        if shown.strip() == "…":
            result.append(shown)
            continue
        hit = place(shown, at)
        if hit is None:
            following = [p for later in excerpt[number + 1:] if later.strip() != "…" and (p := place(later, at)) is not None]
            end = following[0] if following else len(lines)
            best = max(range(at, end), key=lambda i: likeness(shown, lines[i]), default=None)
            if "…" in shown or best is None or likeness(shown, lines[best]) < LEAST_LIKE:
                lost.append(shown)
                result.append(shown)
                continue
            hit = best
            result.append(lines[hit].rstrip())
            is_moved = True
        else:
            result.append(shown)
        if "…" not in shown:
            printed[-1] = lines[hit].rstrip()
        at = hit + 1
    return (printed if is_moved else result), lost


def replace_lines(text, command, old, new):
    """The document's text with the lines below a command replaced; blank lines between stay."""
    lines, at = text.splitlines(), command.line
    for before, after in zip(old, new):
        while lines[at].strip() != before.strip():
            at += 1
        if before != after:
            indent = lines[at][:len(lines[at]) - len(lines[at].lstrip())] if lines[at].startswith("    ") else ""
            lines[at] = indent[:4] + after
        at += 1
    return "\n".join(lines) + "\n"


def expected_text(document):
    """As the files are written: an entry a line."""
    def listed(items):
        return "[" + ",".join(f"\n    {json.dumps(item, ensure_ascii=False)}" for item in items) + ("\n  ]" if items else "]")

    return "{\n" + ",\n".join(f'  "{key}": {listed(items)}' for key, items in document.items()) + "\n}\n"


def renew_expected(path, runner):
    document = json.loads(path.read_text(encoding="utf-8"))
    today = f"{datetime.date.today():%-d %B %Y}"
    for entry in document["values"]:
        found = look_up(runner.results[entry.get("command", 1)], entry["key"])
        is_near = (abs(found - entry["value"]) <= entry.get("tolerance", 0)
                   if isinstance(found, (int, float)) and isinstance(entry["value"], (int, float)) else found == entry["value"])
        if is_near:
            continue
        if entry["source"] == "outside":
            print(f"{path}: {entry['key']}: {entry['value']} from outside, now {found}: not touched")
            continue
        decimals = len(str(entry["value"]).partition(".")[2])
        entry["value"] = round(found, decimals) if isinstance(found, float) else found
        entry["source"] = f"baseline of this program, {today}"
    return expected_text(document)


def renew(program, path, is_dry):
    path = pathlib.Path(path).resolve()
    here = pathlib.Path(__file__).resolve().parent
    text, expected = path.read_text(encoding="utf-8"), path.parent / "expected.json"
    wanted = set()
    if expected.is_file():
        wanted = {entry.get("command", 1) for entry in json.loads(expected.read_text(encoding="utf-8"))["values"]}
    with tempfile.TemporaryDirectory() as scratch:
        scratch = pathlib.Path(scratch)
        (scratch / "examples").symlink_to(here.parent.parent / "examples")
        runner, number = Runner(program, scratch, {}), 0
        for command in documents.commands(text):
            number += command.is_stillwall
            if command.text in SCRIPTS:
                continue
            for fault in runner.run(command, number, command.is_stillwall and number in wanted):
                print(f"{path}: {fault}")
            new, lost = renewed(command.excerpt, runner.outputs[command.text])
            for line in lost:
                print(f"{path}:{command.line}: nothing like it is printed: {line.strip()}")
            text = replace_lines(text, command, command.excerpt, new)
        if not is_dry:
            path.write_text(text, encoding="utf-8")
            if expected.is_file():
                expected.write_text(renew_expected(expected, runner), encoding="utf-8")


if __name__ == "__main__":
    ASKED = [word for word in sys.argv[1:] if word != "--dry"]
    for one in ASKED[1:]:
        renew(ASKED[0], one, "--dry" in sys.argv)
