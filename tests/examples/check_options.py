#!/usr/bin/env python3
"""Every option and verb the documents name is in the program's help, and every verb is in README's table.

    check_options.py PROGRAM     (from the repository root)
    check_options.py --self-test

An option in a code span that begins with `stillwall VERB` must be in the help of that verb. Any other must be in the help of
a verb that its paragraph, row or heading names in code, or of any verb where none is named.
"""
import pathlib
import re
import subprocess
import sys

# README says that every verb's help fits on a page: that of a terminal window on a small screen.
PAGE = 32
OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]*")


def help_of(program, *verb):
    done = subprocess.run([program, *verb, "--help"], capture_output=True, text=True, check=True)
    return done.stdout


def options_by_verb(program):
    verbs = re.findall(r"(?m)^  ([a-z]+)  ", help_of(program).partition("Subcommands:")[2])
    return {verb: set(OPTION.findall(help_of(program, verb))) | {"--help"} for verb in verbs}


def paragraphs(text):
    """Paragraphs, list items and table rows, each with the number of its first line."""
    part, first = [], 1
    for number, line in enumerate(text.splitlines() + [""], 1):
        if part and (not line.strip() or line.startswith(("|", "- ", "#"))):
            yield first, "\n".join(part)
            part = []
        if line.strip():
            first = number if not part else first
            part.append(line)


def faults_in(name, text, options):
    for line, part in paragraphs(text):
        spans = [s.replace("\n", " ") for s in re.findall(r"`([^`]+)`", part)]
        if part.startswith("    "):
            spans = [row.strip() for row in part.splitlines()]
        named = {word for span in spans for word in [span.removeprefix("stillwall ").split(" ")[0]] if word in options}
        for span in spans:
            verb = re.match(r"stillwall ([a-z]+)", span)
            if verb and verb[1] not in options:
                yield f"{name}:{line}: there is no verb '{verb[1]}'"
            for option in OPTION.findall(span):
                verbs = {verb[1]} if verb else named or set(options)
                if not any(option in options.get(one, set()) for one in verbs):
                    yield f"{name}:{line}: no {option} in the help of {', '.join(sorted(verbs))}"


def all_faults(program):
    options = options_by_verb(program)
    for verb in options:
        if len(help_of(program, verb).splitlines()) > PAGE:
            yield f"the help of '{verb}' has more than {PAGE} lines"
    if not options:
        yield "no verbs found in the program's help"
    readme = pathlib.Path("README.md").read_text(encoding="utf-8")
    for verb in options:
        if not re.search(rf"(?m)^\| `stillwall {verb}\b", readme):
            yield f"README.md: the table does not tell what '{verb}' answers"
    for path in [pathlib.Path("README.md"), *sorted(pathlib.Path("examples").rglob("*.md"))]:
        yield from faults_in(path, path.read_text(encoding="utf-8"), options)


def self_test():
    options = {"modes": {"--worth", "--json"}, "sound": {"--volts", "--json"}}
    good = "`stillwall modes FILE --worth`, `--json`\n\n    stillwall sound a --volts 3\n\nAfter `sound`: `--volts`\n\n`--worth`\n"
    yield from (f"self-test: {fault}" for fault in faults_in("good", good, options))
    for bad in ("`stillwall modes FILE --volts`", "`stillwall hear FILE`", "    stillwall sound a --worth", "`--nothing`",
                "Of `sound`: `--worth`"):
        if not list(faults_in("bad", bad, options)):
            yield f"self-test: '{bad}' passes"


if __name__ == "__main__":
    FAULTS = list(self_test() if sys.argv[1:] == ["--self-test"] else all_faults(sys.argv[1]))
    print(*FAULTS, sep="\n", end="\n" if FAULTS else "")
    sys.exit(bool(FAULTS))
