"""Planted faults: run_document.py must find each of them, and nothing in what is good."""
import documents
import run_document

TEXT = """# A document

    stillwall modes a.yaml --worth   # a remark

      #  Frequency Hz  Q
      4  333 +40/−34   17 (11–25)
      …

    stillwall check a.yaml

- a list
    that goes on

```yaml
boards:
  all: {material: mdf}
```

| what | value |
|---|---|
| net | 14.8 l |
"""
OUTPUT = """Some heading
   #    Frequency Hz    Q
   1    207 +40/−34     49 (30–60)
   4    334 +40/−34     17 (11–25)
14.8 l net
"""


def expected_value_faults():
    document = {"cabinet": {"mass_kg": 8.9}, "modes": [{"flag": "rings"}, {"flag": "faint"}], "proved": True}
    told = {"source": "outside", "reference": "made up", "reason": "made up"}
    good = [{"key": "cabinet.mass_kg", "value": 9, "tolerance": 0.11}, {"key": "modes.#", "value": 2},
            {"key": "modes.1.flag", "value": "faint"}, {"key": "proved", "value": True},
            {"key": "proved", "value": True, "source": "baseline of this program, 30 November 2026"}]
    bad = [{"key": "cabinet.mass_kg", "value": 9, "tolerance": 0.09}, {"key": "modes.#", "value": 3},
           {"key": "modes.1.flag", "value": "rings"}, {"key": "modes.2.flag", "value": "faint"},
           {"key": "absent", "value": 1}, {"key": "proved", "value": False},
           {"key": "modes.#", "value": 2, "source": "somewhere"},
           {"key": "modes.#", "value": 2, "reference": "the table of this README"}]
    yield from run_document.deviations(document, [told | entry for entry in good])
    bad = [told | entry for entry in bad] + [{"key": "modes.#", "value": 2, "source": "outside"}]
    for entry in bad:
        if not list(run_document.deviations(document, [entry])):
            yield f"nothing found wrong with {entry}"


def document_faults():
    found = documents.commands(TEXT)
    if [c.text for c in found] != ["stillwall modes a.yaml --worth", "stillwall check a.yaml"]:
        yield f"commands: {found}"
    if len(found[0].excerpt) != 3 or found[1].excerpt:
        yield f"excerpts: {found}"
    try:
        documents.commands("# A document\n\n    some output\n")
        yield "a block that is neither command nor YAML passes"
    except ValueError:
        pass
    yield from documents.excerpt_faults(found[0].excerpt, OUTPUT)
    for was, bad in (("333 +40", "336 +40"), ("17 (11", "18 (11"), ("4  333", "5  333"), ("Frequency", "Freq"),
                     ("(11–25)", "(11–25) more")):
        excerpt = [line.replace(was, bad) for line in found[0].excerpt]
        if not list(documents.excerpt_faults(excerpt, OUTPUT)):
            yield f"an excerpt with '{bad}' for '{was}' passes"
    if not list(documents.excerpt_faults(found[0].excerpt[::-1], OUTPUT)):
        yield "an excerpt in another order passes"
    yield from documents.figure_faults(TEXT, OUTPUT)
    if not list(documents.figure_faults(TEXT.replace("14.8", "15.8"), OUTPUT)):
        yield "a table with a number that nobody prints passes"
    block = next(b for b in documents.blocks(TEXT) if b.is_yaml)
    yield from documents.fragment_faults(block, ["name: other\n", "boards:\n    all: {material: mdf}\n"])
    if not list(documents.fragment_faults(block, ["boards:\n  all: {material: oak}\n"])):
        yield "YAML that stands in no file passes"


def faults():
    return [f"self-test: {fault}" for fault in (*expected_value_faults(), *document_faults())]
