#!/usr/bin/env python3
"""Fails when a test case compares with a tolerance and does not say where the reference comes from and why the tolerance
has its size. Whoever writes one says both in comments, "Reference: ..." and "Tolerance: ..." ("Exact: ..." for both,
where nothing but round-off is allowed), in the case or, for all cases of a file, above the first one. Comparisons that
hide their tolerance are not allowed: Catch2's Approx, and WithinRel or Eigen's isApprox and the like without one.

Run from the repository root. With --self-test, checks that planted faults are found.
"""
import pathlib
import re
import sys
import tempfile

COMPARES = re.compile(r"\b(WithinRel|WithinAbs|isApprox)\(|<=?\s*\(?\d*\.?\d*e-\d+|(\babs|norm)\([^;\n]*<=?\s*\(?\d*\.?\d")
# Comparisons, and how many arguments they have when they name their tolerance. Approx never does.
NEEDS = {"Approx": 99, "WithinRel": 2, "WithinAbs": 2, "isApprox": 2, "isMuchSmallerThan": 2, "isApproxToConstant": 2,
         "isZero": 1, "isOnes": 1, "isIdentity": 1, "isDiagonal": 1, "isUnitary": 1, "isOrthogonal": 2}
HIDES = re.compile(r"\b(" + "|".join(NEEDS) + r")\(")
CASE = re.compile(r'^(?:TEST_CASE|SCENARIO|TEMPLATE_TEST_CASE)\(', re.MULTILINE)
REFERENCE = re.compile(r"//.*\b(Reference|Exact)\b")
TOLERANCE = re.compile(r"//.*\b(Tolerances?|Exact)\b")


def cases_of(text):
    """Head of a file, and its cases as (line, name, body)."""
    starts = [match.start() for match in CASE.finditer(text)]
    cases = []
    for start, end in zip(starts, starts[1:] + [len(text)]):
        name = re.search(r'"((?:[^"\\]|\\.)*)"', text[start:])
        cases.append((text.count("\n", 0, start) + 1, name.group(1) if name else "?", text[start:end]))
    return text[:starts[0]] if starts else text, cases


def lacking(root):
    """Cases without one of the comments, as (path:line: name: what is missing)."""
    for path in sorted((root / "tests").rglob("*.cpp")):
        head, cases = cases_of(path.read_text(encoding="utf-8"))
        for line, name, body in cases:
            if not COMPARES.search(body):
                continue
            missing = [word for word, pattern in (("Reference", REFERENCE), ("Tolerance", TOLERANCE))
                       if not pattern.search(head) and not pattern.search(body)]
            if missing:
                yield f"{path.relative_to(root)}:{line}: {name}: no {' and no '.join(missing)}"


def n_arguments(text, at):
    """How many arguments a call has whose opening bracket ends at `at`."""
    depth, commas, first = 1, 0, at
    while depth:
        depth += (text[at] in "([{") - (text[at] in ")]}")
        commas += text[at] == "," and depth == 1
        at += 1
    return commas + bool(text[first:at - 1].strip())


def approximate(root):
    for path in sorted((root / "tests").rglob("*.cpp")):
        text = path.read_text(encoding="utf-8")
        for match in HIDES.finditer(text):
            name = match.group(1)
            if n_arguments(text, match.end()) < NEEDS[name]:
                line = text.count("\n", 0, match.start()) + 1
                yield f"{path.relative_to(root)}:{line}: {name}: say the tolerance (WithinRel, WithinAbs)"


def self_test():
    planted = {
        "tests/bare_test.cpp": 'TEST_CASE("bare")\n{\n    CHECK_THAT(1.0, WithinRel(1.0, 0.1));\n}\n',
        "tests/half_test.cpp": 'TEST_CASE("half")\n{\n    // Reference: hand\n    CHECK(x < 1e-3);\n}\n',
        "tests/said_test.cpp": '// Tolerance: round-off\nTEST_CASE("said")\n{\n    // Reference: hand\n'
                               "    CHECK_THAT(1.0, WithinAbs(1.0, 0.1));\n}\n",
        "tests/approx_test.cpp": 'TEST_CASE("a")\n{\n    CHECK(1.0 == Approx(1.0));\n}\n',
        "tests/hidden_test.cpp": 'TEST_CASE("h")\n{\n    // Exact: both\n    CHECK_THAT(f(1, 2), WithinRel(g(3, 4)));\n}\n',
    }
    with tempfile.TemporaryDirectory() as scratch:
        root = pathlib.Path(scratch)
        (root / "tests").mkdir()
        for name, text in planted.items():
            (root / name).write_text(text, encoding="utf-8")
        found = [fault.split(":")[0] for fault in (*lacking(root), *approximate(root))]
    wanted = ["tests/bare_test.cpp", "tests/half_test.cpp", "tests/approx_test.cpp", "tests/hidden_test.cpp"]
    return [] if found == wanted else [f"self-test: expected faults in {wanted}, found them in {found}"]


if __name__ == "__main__":
    root = pathlib.Path(".")
    faults = self_test() if "--self-test" in sys.argv[1:] else [*lacking(root), *approximate(root)]
    print(*faults, sep="\n", end="\n" if faults else "")
    sys.exit(bool(faults))
