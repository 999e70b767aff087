#!/usr/bin/env python3
"""Counts test cases that compare with a tolerance and do not say where the reference comes from and why the tolerance
has its size, and fails when there are more than LACKING. Whoever writes one says both in comments, "Reference: ..." and
"Tolerance: ..." ("Exact: ..." for both, where nothing but round-off is allowed), in the case or, for all cases of a
file, above the first one. Whoever mends one lowers LACKING. Catch2's Approx, which hides its tolerance, is not allowed.

Run from the repository root; --list names the cases. With --self-test, checks that planted faults are found.
"""
import pathlib
import re
import sys
import tempfile

LACKING = 104
COMPARES = re.compile(r"\b(WithinRel|WithinAbs|isApprox)\(|<=?\s*\(?\d*\.?\d*e-\d+")
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
    """Cases without either comment, as (path:line: name: what is missing)."""
    for path in sorted((root / "tests").rglob("*.cpp")):
        head, cases = cases_of(path.read_text(encoding="utf-8"))
        for line, name, body in cases:
            if not COMPARES.search(body):
                continue
            missing = [word for word, pattern in (("Reference", REFERENCE), ("Tolerance", TOLERANCE))
                       if not pattern.search(head) and not pattern.search(body)]
            if missing:
                yield f"{path.relative_to(root)}:{line}: {name}: no {' and no '.join(missing)}"


def approximate(root):
    for path in sorted((root / "tests").rglob("*.cpp")):
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if re.search(r"\bApprox\(", line):
                yield f"{path.relative_to(root)}:{number}: Approx: say WithinRel or WithinAbs, with the tolerance"


def self_test():
    planted = {
        "tests/bare_test.cpp": 'TEST_CASE("bare")\n{\n    CHECK_THAT(1.0, WithinRel(1.0, 0.1));\n}\n',
        "tests/half_test.cpp": 'TEST_CASE("half")\n{\n    // Reference: hand\n    CHECK(x < 1e-3);\n}\n',
        "tests/said_test.cpp": '// Tolerance: round-off\nTEST_CASE("said")\n{\n    // Reference: hand\n'
                               "    CHECK_THAT(1.0, WithinAbs(1.0, 0.1));\n}\n",
        "tests/approx_test.cpp": 'TEST_CASE("a")\n{\n    CHECK(1.0 == Approx(1.0));\n}\n',
    }
    with tempfile.TemporaryDirectory() as scratch:
        root = pathlib.Path(scratch)
        (root / "tests").mkdir()
        for name, text in planted.items():
            (root / name).write_text(text, encoding="utf-8")
        found = [fault.split(":")[0] for fault in (*lacking(root), *approximate(root))]
    wanted = ["tests/bare_test.cpp", "tests/half_test.cpp", "tests/approx_test.cpp"]
    return [] if found == wanted else [f"self-test: expected faults in {wanted}, found them in {found}"]


if __name__ == "__main__":
    root = pathlib.Path(".")
    if "--self-test" in sys.argv[1:]:
        faults = self_test()
    else:
        without = list(lacking(root))
        faults = list(approximate(root))
        if len(without) > LACKING or "--list" in sys.argv[1:]:
            faults += without
        if len(without) > LACKING:
            faults.append(f"{len(without)} test cases lack a Reference or a Tolerance, more than {LACKING}")
        elif len(without) < LACKING:
            faults.append(f"only {len(without)} test cases lack a Reference or a Tolerance: lower LACKING to that")
    print(*faults, sep="\n", end="\n" if faults else "")
    sys.exit(bool(faults))
