#!/usr/bin/env python3
"""The JSON of the program's verbs against viz/page/schema, of which the page's types are made.

    check_results.py PROGRAM     (from the repository root)

Skipped (77) where python3-jsonschema is missing. Also proves that the description can fail: a key taken away, a key too many
and a word for a number must each be found.
"""
import copy
import json
import pathlib
import subprocess
import sys
import tempfile

try:
    import jsonschema
except ImportError:
    print("python3-jsonschema is missing")
    sys.exit(77)

SCHEMAS = {path.name: json.loads(path.read_text(encoding="utf-8")) for path in pathlib.Path("viz/page/schema").glob("*.json")}
RUNS = [
    ("check", "examples/02-tall-three-way/cabinet.yaml", []),
    ("check", "examples/05-constrained-layer/patch-sides.yaml", []),
    ("check", "examples/14-where-to-put-the-brace/cube.yaml", []),
    ("modes", "examples/07-vented-two-way/vented.yaml", ["--accuracy", "draft", "--no-pictures"]),
    ("modes", "examples/01-small-two-way/cabinet.yaml",
     ["--accuracy", "draft", "--no-pictures", "--no-advice", "--worth", "--verify", "--upper", "600"]),
    ("check", "examples/format/bench.yaml", []),
    ("compare", "examples/13-choose-before-cutting/cabinet.yaml", ["--accuracy", "draft", "--upper", "400", "--no-pictures"]),
    ("compare", "examples/13-choose-before-cutting/cabinet.yaml", ["--accuracy", "draft", "--upper", "400", "--no-pictures", "--modes-only"]),
    ("vary", "examples/01-small-two-way/cabinet.yaml",
     ["--change", "boards.all.thickness", "--over", "12, 18", "--upper", "500", "--no-plots"]),
    ("improve", "examples/13-choose-before-cutting/cabinet.yaml", ["--upper", "400", "--tries", "3", "--no-plots"]),
    ("explain", "examples/09-wrinkle-of-a-wall/cabinet.yaml",
     ["--impedance", "examples/09-wrinkle-of-a-wall/in_box.txt", "--accuracy", "draft", "--no-pictures"]),
    ("workshop", "examples/13-choose-before-cutting/cabinet.yaml", ["--no-drawings"]),
    ("sound", "examples/07-vented-two-way/vented.yaml", ["--accuracy", "draft", "--no-plots"]),
]


def whole(schema):
    """The schema with what it refers to in common.schema.json as definitions of its own."""
    text = json.dumps(schema).replace("common.schema.json#", "#")
    merged = json.loads(text)
    merged["$defs"] = {**SCHEMAS["common.schema.json"]["$defs"], **merged.get("$defs", {})}
    return merged


def faults(verb, document):
    validator = jsonschema.Draft202012Validator(whole(SCHEMAS[f"{verb}.schema.json"]))
    return [f"{'.'.join(map(str, fault.absolute_path))}: {fault.message[:200]}" for fault in validator.iter_errors(document)]


def planted(document):
    """The document with one fault each."""
    missing, more, word = (copy.deepcopy(document) for _ in range(3))
    if isinstance(document.get("cabinet"), dict):
        del missing["cabinet"]["mass_kg"]
        more["cabinet"]["colour"] = "red"
        word["cabinet"]["net_volume_l"] = "much"
    else:
        del missing["version"]
        more["colour"] = "red"
        word["version"] = 1
    return {"a missing key": missing, "an unknown key": more, "a word for a number": word}


def results_of(program, verb, file, options):
    with tempfile.TemporaryDirectory() as scratch:
        out = pathlib.Path(scratch) / "result.json"
        if verb == "vary":  # its lines go on from an earlier run's
            options = [*options, "--csv", pathlib.Path(scratch) / "vary.csv"]
        subprocess.run([program, verb, file, *options, "--json", out], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        return json.loads(out.read_text(encoding="utf-8"))


def main(program):
    problems = []
    with tempfile.TemporaryDirectory() as scratch:
        subprocess.run([sys.executable, pathlib.Path("examples/knock-01-side-wall/make_knock.py").resolve()], cwd=scratch, check=True)
        problems += problems_of(program, [*RUNS, ("knock", str(pathlib.Path(scratch) / "knock.wav"), [])])
    print(*problems, sep="\n", end="\n" if problems else "")
    return bool(problems)


def problems_of(program, runs):
    problems = []
    for verb, file, options in runs:
        if not pathlib.Path(file).exists():
            problems.append(f"{file}: not there")
            continue
        document = results_of(program, verb, file, options)
        problems += [f"{verb} {file}: {fault}" for fault in faults(verb, document)[:5]]
        problems += [f"{verb}: {what} was not found" for what, broken in planted(document).items() if not faults(verb, broken)]
    return problems


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
