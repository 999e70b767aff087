#!/usr/bin/env python3
"""Runs the command an example's README gives, word for word, and compares key numbers with expected.json.

    run_example.py PROGRAM EXAMPLE_FOLDER
    run_example.py --self-test

The command is run in a scratch folder that sees examples/, so that nothing is left in the source tree; make_*.py of
the example, which write what cannot be kept as text, are run there first. Only
`--json result.json` is added when the README does not ask for JSON. expected.json holds

    {"values": [{"key": "cabinet.net_volume_l", "value": 14.8, "tolerance": 0.01,
                 "reference": "where the value comes from", "reason": "why this tolerance"}, ...],
     "files": ["stillwall-out/01-small-two-way/modes.png", ...]}

A key walks through the JSON by names and list places ("modes.0.frequency_hz"); "#" at the end counts a list.
The tolerance of a number is absolute, in the key's own unit; words and truth values must be equal.
"""
import json
import pathlib
import shlex
import subprocess
import sys
import tempfile


def readme_command(readme):
    for line in readme.splitlines():
        if line.startswith("    stillwall "):
            return shlex.split(line)
    raise SystemExit("the README gives no command (a line indented by four blanks, starting with 'stillwall')")


def look_up(document, key):
    value = document
    for step in key.split("."):
        if step == "#":
            value = len(value)
        else:
            value = value[int(step)] if isinstance(value, list) else value[step]
    return value


def deviations(document, values):
    for entry in values:
        for field in ("key", "value", "reference"):
            if field not in entry:
                yield f"expected.json: an entry without '{field}': {entry}"
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


def run(program, folder):
    folder = pathlib.Path(folder).resolve()
    command = readme_command((folder / "README.md").read_text(encoding="utf-8"))
    command[0] = str(pathlib.Path(program).resolve())
    if "--json" not in command:
        command += ["--json", "result.json"]
    expected = json.loads((folder / "expected.json").read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as scratch:
        scratch = pathlib.Path(scratch)
        (scratch / "examples").symlink_to(folder.parent)
        for script in sorted(folder.glob("make_*.py")):
            subprocess.run([sys.executable, script], cwd=scratch, check=True)
        done = subprocess.run(command, cwd=scratch, capture_output=True, text=True, check=False)
        print(done.stdout, done.stderr, sep="")
        if done.returncode != 0:
            return [f"exit code {done.returncode}"]
        document = json.loads((scratch / command[command.index("--json") + 1]).read_text(encoding="utf-8"))
        problems = list(deviations(document, expected["values"]))
        for name in expected["files"]:
            if not (scratch / name).is_file() or (scratch / name).stat().st_size == 0:
                problems.append(f"{name}: not written")
        left_over = [str(p) for p in scratch.rglob(".*")]
        return problems + [f"left behind: {name}" for name in left_over]


def self_test():
    document = {"cabinet": {"mass_kg": 8.9}, "modes": [{"flag": "rings"}, {"flag": "faint"}], "proved": True}
    reference = {"reference": "made up"}
    good = [{"key": "cabinet.mass_kg", "value": 9, "tolerance": 0.11}, {"key": "modes.#", "value": 2},
            {"key": "modes.1.flag", "value": "faint"}, {"key": "proved", "value": True}]
    bad = [{"key": "cabinet.mass_kg", "value": 9, "tolerance": 0.09}, {"key": "modes.#", "value": 3},
           {"key": "modes.1.flag", "value": "rings"}, {"key": "modes.2.flag", "value": "faint"},
           {"key": "absent", "value": 1}, {"key": "proved", "value": False}]
    problems = [f"self-test: {text}" for text in deviations(document, [entry | reference for entry in good])]
    for entry in bad:
        if not list(deviations(document, [entry | reference])):
            problems.append(f"self-test: nothing found wrong with {entry}")
    return problems


if __name__ == "__main__":
    faults = self_test() if sys.argv[1:] == ["--self-test"] else run(*sys.argv[1:])
    print(*faults, sep="\n", end="\n" if faults else "")
    sys.exit(bool(faults))
