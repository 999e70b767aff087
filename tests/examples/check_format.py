#!/usr/bin/env python3
"""Every key the reader accepts is told, and every key that is told is accepted. Run from the repository root.

The reader's keys are the lists it gives to `only_keys` in app/input. Each of its files belongs to a document; every key of
its lists must stand there in a code span. The other way round, every key in the first column of a document's tables of
keys must be in one of those lists, and be used by the file beside the page (of the entry page: by any page's file),
which run_document.py has checked by the program: so it is accepted. With --self-test, planted faults are found.
"""
import pathlib
import re
import sys

import documents

PAGES = "examples/format"
# Reader → the document that tells its keys, and the files that use them.
READERS = {
    "cabinet_file.cpp": "examples/FORMAT.md",
    "internal/read_shape.cpp": f"{PAGES}/box-and-boards.md",
    "internal/read_boards.cpp": f"{PAGES}/box-and-boards.md",
    "internal/read_corners.cpp": f"{PAGES}/box-and-boards.md",
    "internal/read_kerfs.cpp": f"{PAGES}/box-and-boards.md",
    "internal/stock_reader.cpp": f"{PAGES}/box-and-boards.md",
    "internal/place.cpp": f"{PAGES}/box-and-boards.md",
    "internal/read_openings.cpp": f"{PAGES}/openings-and-drivers.md",
    "internal/read_insert.cpp": f"{PAGES}/openings-and-drivers.md",
    "internal/read_driver_body.cpp": f"{PAGES}/openings-and-drivers.md",
    "internal/read_basket.cpp": f"{PAGES}/openings-and-drivers.md",
    "internal/read_braces.cpp": f"{PAGES}/braces.md",
    "internal/read_fixtures.cpp": f"{PAGES}/braces.md",
    "internal/read_damping.cpp": f"{PAGES}/damping-and-joints.md",
    "internal/read_joints.cpp": f"{PAGES}/damping-and-joints.md",
    "internal/read_supports.cpp": f"{PAGES}/damping-and-joints.md",
    "internal/read_air.cpp": f"{PAGES}/air-and-sound.md",
    "internal/read_sound.cpp": f"{PAGES}/air-and-sound.md",
    "internal/read_ways.cpp": f"{PAGES}/air-and-sound.md",
    "internal/read_schemes.cpp": f"{PAGES}/choosing.md",
    "internal/own_material.cpp": f"{PAGES}/materials.md",
    "internal/read_record.cpp": f"{PAGES}/bench.md",
    "internal/read_learned.cpp": f"{PAGES}/materials.md",
    "strip_file.cpp": "examples/strip-01-mdf/README.md",
    "internal/material_reader.cpp": "materials/README.md",
    "internal/fixing_reader.cpp": "materials/README.md",
    "internal/figure_reader.cpp": "materials/README.md",
}
# How the first heading of a table of keys reads.
KEY_WORDS = re.compile(r"key\b.*|keys\b.*")


def reader_keys(source):
    """The keys of all lists given to only_keys in a source file."""
    found = set()
    for inner in re.findall(r"only_keys\(\s*\{([^}]*)\}", source):
        found |= set(re.findall(r'"([^"]+)"', inner))
    return found


def spans(text):
    """The words inside code spans and YAML blocks of a document."""
    code = re.findall(r"`([^`\n]+)`", re.sub(r"(?m)^```[^`]*^```$", "", text))
    code += [line for block in documents.blocks(text) if block.is_yaml for line in block.lines]
    return set(re.findall(r"\w+", " ".join(code)))


def told_keys(text):
    """The keys in the first column of tables whose first heading begins with "key"."""
    found = set()
    for table in documents.tables(text):
        if KEY_WORDS.fullmatch(table[0][0]):
            for row in table[1:]:
                found |= set(re.findall(r"`(\w+)`", row[0]))
    return found


def used_keys(yaml):
    """All keys a YAML file writes, by their form; remarks are left out."""
    bare = re.sub(r"(^|\s)#.*", "", yaml, flags=re.M)
    return set(re.findall(r"(?<![\w.])([A-Za-z_]\w*):(?=\s|$)", bare))


def document_faults(name, text, accepted, used):
    """@param accepted  keys of its readers
    @param used        keys of the files beside it; None where nothing is asked"""
    for key in sorted(accepted - spans(text)):
        yield f"{name}: the reader knows '{key}', it is not told"
    for key in sorted(told_keys(text) - accepted):
        yield f"{name}: '{key}' is told, the reader does not know it"
    if used is not None:
        for key in sorted(told_keys(text) - used):
            yield f"{name}: no file beside it uses '{key}'"


def all_faults(root):
    known = {}
    folder = root / "app/input"
    for path in sorted(folder.rglob("*.cpp")):
        name = str(path.relative_to(folder))
        keys = reader_keys(path.read_text(encoding="utf-8"))
        if name == "internal/yaml_node.cpp" or not keys:
            continue
        if name not in READERS:
            yield f"app/input/{name}: tests/examples/check_format.py does not say which document tells its keys"
            continue
        known.setdefault(READERS[name], set()).update(keys)
    for name in sorted(set(READERS) - {str(p.relative_to(folder)) for p in folder.rglob("*.cpp")}):
        yield f"app/input/{name}: is gone, tests/examples/check_format.py still names it"
    everything = set().union(*known.values())
    files = {path: used_keys(path.read_text(encoding="utf-8")) for path in sorted((root / PAGES).glob("*.yaml"))}
    for name, keys in known.items():
        path = root / name
        used = None
        if name == "examples/FORMAT.md":
            used = set().union(*files.values())
        elif name.startswith(PAGES):
            used = files.get(path.with_suffix(".yaml"), set())
        text = path.read_text(encoding="utf-8")
        # What a page repeats of another reader's keys (a window's size) is all right when that reader knows them.
        own = keys | (told_keys(text) & everything if name.startswith("examples/") else told_keys(text))
        yield from document_faults(name, text, own, used)
    entry = (root / "examples/FORMAT.md").read_text(encoding="utf-8")
    for path in sorted((root / PAGES).glob("*.md")):
        if f"(format/{path.name})" not in entry:
            yield f"examples/FORMAT.md: does not link to {path.name}"


def self_test():
    text = "| key | meaning |\n|---|---|\n| `name`, `at` | place |\n"
    source = 'part.only_keys({"name",\n "at"}); if (x) part.only_keys({"at"});'
    good = list(document_faults("page", text, reader_keys(source), used_keys("- {name: a, at: 3} # depth: 2\n")))
    yield from good
    plants = {"a key that is not told": (reader_keys(source) | {"grain"}, {"name", "at"}),
              "a key that is not accepted": ({"name"}, {"name", "at"}),
              "a key that no file uses": ({"name", "at"}, used_keys("name: a # at: 3\nboards.at: 3\n"))}
    for what, (accepted, used) in plants.items():
        if not list(document_faults("page", text, accepted, used)):
            yield f"self-test: {what} passes"


if __name__ == "__main__":
    FAULTS = list(self_test() if "--self-test" in sys.argv[1:] else all_faults(pathlib.Path(".")))
    print(*FAULTS, sep="\n", end="\n" if FAULTS else "")
    sys.exit(bool(FAULTS))
