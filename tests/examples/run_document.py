#!/usr/bin/env python3
"""Runs every command a document gives, word for word, and compares what the document shows and expected.json claims.

    run_document.py PROGRAM DOCUMENT [--outputs FOLDER] [--reuse FOLDER] [--long]
    run_document.py --self-test

The commands run in one scratch folder that sees examples/, so that nothing is left in the source tree. Only `--json` is
added, where expected.json asks for a command's figures and the document does not. Excerpts, tables, YAML fragments:
documents.py. With --outputs what the commands printed is left in a folder; with --reuse a command that another document has
left there is not run again. Commands in long_commands.json run with --long only,
and tables with figures of theirs are compared then.

expected.json beside the document holds

    {"values": [{"command": 1, "key": "cabinet.net_volume_l", "value": 14.8, "tolerance": 0.01,
                 "source": "outside" or "baseline of this program, 30 November 2026",
                 "reference": "where the value comes from", "reason": "why this tolerance"}, ...],
     "files": ["stillwall-out/01-small-two-way/modes.png", ...]}

`command` counts the document's commands of stillwall from 1, the default. A key walks through the JSON by names and list
places ("modes.0.frequency_hz"); "#" at the end counts a list. The tolerance of a number is absolute, in the key's own
unit; words and truth values must be equal.
"""
import argparse
import json
import pathlib
import re
import resource
import shlex
import subprocess
import sys
import tempfile

import documents

SOURCE = re.compile(r"outside|baseline of this program, \d{1,2} [A-Z][a-z]+ \d{4}")
# They build the program or run the tests: not inside a test.
SCRIPTS = ("examples/run.sh", "tests/run.sh")


def look_up(document, key):
    value = document
    for step in key.split("."):
        if step == "#":
            value = len(value)
        else:
            value = value[int(step)] if isinstance(value, list) else value[step]
    return value


def entry_faults(entry):
    for field in ("key", "value", "source", "reference"):
        if field not in entry:
            yield f"expected.json: an entry without '{field}': {entry}"
    if not SOURCE.fullmatch(entry.get("source", "")):
        yield f"expected.json: {entry.get('key')}: 'source' must be 'outside' or 'baseline of this program, DATE'"
    if "README" in entry.get("reference", ""):
        yield f"expected.json: {entry.get('key')}: the README is no reference, it is what is checked"
    if entry.get("tolerance", 0) != 0 and "reason" not in entry:
        yield f"expected.json: {entry.get('key')}: a tolerance without a reason"


def deviations(document, values):
    for entry in values:
        yield from entry_faults(entry)
        try:
            found = look_up(document, entry["key"])
        except (KeyError, IndexError, ValueError, TypeError):
            yield f"{entry['key']}: not in the result"
            continue
        wanted = entry["value"]
        is_number = isinstance(wanted, (int, float)) and not isinstance(wanted, bool)
        if is_number and not (isinstance(found, (int, float)) and abs(found - wanted) <= entry.get("tolerance", 0)):
            yield f"{entry['key']}: expected {wanted} ± {entry.get('tolerance', 0)}, got {found}"
        if not is_number and found != wanted:
            yield f"{entry['key']}: expected {wanted!r}, got {found!r}"


def run_command(words, folder):
    """@return  exit code, output and errors as printed, seconds of processor"""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(words, cwd=folder, capture_output=True, text=True, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return done.returncode, done.stdout + done.stderr, seconds


def without_json(text):
    """The command without the file it writes beside its answer: that does not change what it prints."""
    return re.sub(r" --json \S+", "", text)


class Runner:
    """Runs a document's commands in one scratch folder, or takes what another document has left."""

    def __init__(self, program, scratch, known):
        self.program, self.scratch, self.known = str(pathlib.Path(program).resolve()), scratch, known
        self.outputs, self.results = {}, {}

    def run(self, command, number, wants_json):
        """@return  faults; the output stands in `outputs`, the JSON in `results` by the command's number"""
        words = shlex.split(command.text)
        if without_json(command.text) in self.known and not wants_json:
            self.outputs[command.text] = self.known[without_json(command.text)]
            return []
        words[0] = {"stillwall": self.program, "python3": sys.executable}[words[0]]
        if wants_json and "--json" not in words:
            words += ["--json", f"result-{number}.json"]
        code, output, seconds = run_command(words, self.scratch)
        print(f"$ {command.text}\n{output}\n({seconds:.1f} s of processor)\n")
        self.outputs[command.text] = output
        if code != 0:
            return [f"line {command.line}: exit code {code}: {command.text}"]
        if wants_json:
            name = words[words.index("--json") + 1]
            self.results[number] = json.loads((self.scratch / name).read_text(encoding="utf-8"))
        return []


def expected_faults(expected, runner, skipped):
    for number in sorted({entry.get("command", 1) for entry in expected["values"]} - skipped):
        values = [entry for entry in expected["values"] if entry.get("command", 1) == number]
        if number not in runner.results:
            yield f"expected.json: command {number} left no result"
        else:
            yield from deviations(runner.results[number], values)
    for name in expected["files"]:
        path = runner.scratch / name
        if not path.is_file() or path.stat().st_size == 0:
            yield f"{name}: not written"


def text_faults(path, examples):
    """Faults that need no command."""
    text = path.read_text(encoding="utf-8")
    files = [p.read_text(encoding="utf-8") for p in sorted(examples.rglob("*.yaml"))]
    for block in documents.blocks(text):
        if block.is_yaml:
            yield from documents.fragment_faults(block, files)
    for target, place in re.findall(r"\]\(([^)#:]+)(?:#([^)]*))?\)", text):
        linked = path.parent / target
        if not linked.exists():
            yield f"link to '{target}', which is not there"
        elif place and place not in documents.anchors(linked.read_text(encoding="utf-8")):
            yield f"link to '{target}#{place}', a heading that is not there"


def run(program, path, outputs, reuse, is_long):
    path = pathlib.Path(path).resolve()
    here = pathlib.Path(__file__).resolve().parent
    examples = here.parent.parent / "examples"
    text = path.read_text(encoding="utf-8")
    expected = {"values": [], "files": []}
    if (path.parent / "expected.json").is_file():
        expected = json.loads((path.parent / "expected.json").read_text(encoding="utf-8"))
    long_ones = {} if is_long else json.loads((here / "long_commands.json").read_text(encoding="utf-8"))
    wanted = {entry.get("command", 1) for entry in expected["values"]}
    known = {}
    for left in sorted(reuse.glob("*.json")) if reuse else []:
        known |= {without_json(text): output for text, output in json.loads(left.read_text(encoding="utf-8")).items()}
    faults = list(text_faults(path, examples))
    with tempfile.TemporaryDirectory() as scratch:
        scratch = pathlib.Path(scratch)
        (scratch / "examples").symlink_to(examples)
        runner, number, skipped, has_figures = Runner(program, scratch, known), 0, set(), True
        for command in documents.commands(text):
            number += command.is_stillwall
            if command.text in SCRIPTS:
                continue
            if command.text in long_ones:
                print(f"$ {command.text}\nleft out without --long: {long_ones[command.text]['reason']}\n")
                skipped.add(number)
                has_figures = has_figures and not long_ones[command.text]["in_tables"]
                continue
            faults += runner.run(command, number, command.is_stillwall and number in wanted)
            faults += [f"line {command.line}: {fault}"
                       for fault in documents.excerpt_faults(command.excerpt, runner.outputs[command.text])]
        faults += expected_faults(expected, runner, skipped)
        if has_figures and path.name == "README.md" and path.parent != examples.parent:
            faults += documents.figure_faults(text, "\n".join(runner.outputs.values()))
        faults += [f"left behind: {p}" for p in scratch.rglob(".*")]
    if outputs:
        outputs.mkdir(parents=True, exist_ok=True)
        name = str(path.relative_to(examples.parent)).replace("/", "-") + ".json"
        (outputs / name).write_text(json.dumps(runner.outputs, ensure_ascii=False), encoding="utf-8")
    return faults


def main():
    if sys.argv[1:] == ["--self-test"]:
        import run_document_test

        return run_document_test.faults()
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("document")
    parser.add_argument("--outputs", type=pathlib.Path)
    parser.add_argument("--reuse", type=pathlib.Path)
    parser.add_argument("--long", action="store_true")
    asked = parser.parse_args()
    return run(asked.program, asked.document, asked.outputs, asked.reuse, asked.long)


if __name__ == "__main__":
    FAULTS = main()
    print(*FAULTS, sep="\n", end="\n" if FAULTS else "")
    sys.exit(bool(FAULTS))
