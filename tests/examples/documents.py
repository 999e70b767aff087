"""What stands in a Markdown document: its commands with the output shown under them, its YAML, its tables.

A block is a run of lines indented by four blanks, or a fenced one. Three kinds are allowed:
- commands (`stillwall …`, `python3 …`, scripts of the tree), each with an excerpt of its output below it, or none;
- ```yaml: lines that stand in a file under examples/.
Anything else is a fault, so that no excerpt escapes the test by its form.
"""
import dataclasses
import re

COMMAND = re.compile(r"(stillwall|python3|examples/run\.sh|tests/run\.sh)( |$)")


@dataclasses.dataclass
class Block:
    line: int  # of its first line in the document, from 1
    language: str  # of the fence, "" without one
    lines: list

    @property
    def is_yaml(self):
        return self.language == "yaml"


@dataclasses.dataclass
class Command:
    line: int
    text: str
    excerpt: list  # lines shown under it, without blank ones

    @property
    def is_stillwall(self):
        return self.text.startswith("stillwall ")


def blocks(text):
    """All blocks of a document, in order. An indented one begins behind a blank line: else it goes on with a paragraph."""
    found, fenced, is_open, was_blank = [], False, False, True
    for number, line in enumerate(text.splitlines(), 1):
        if line.startswith("```"):
            if not fenced:
                found.append(Block(number + 1, line[3:].strip(), []))
            fenced, is_open = not fenced, False
        elif fenced:
            found[-1].lines.append(line)
        elif line.startswith("    ") and (is_open or was_blank):
            if not is_open:
                found.append(Block(number, "", []))
            found[-1].lines.append(line[4:])
            is_open = True
        elif not line.strip():
            if is_open:
                found[-1].lines.append("")
        else:
            is_open = False
        was_blank = not line.strip()
    return found


def commands(text):
    """All commands of a document; a `#` behind two blanks begins a remark.

    @raise ValueError  if a block is neither commands nor YAML
    """
    found = []
    for block in blocks(text):
        if block.is_yaml:
            continue
        if not COMMAND.match(block.lines[0]):
            raise ValueError(f"line {block.line}: a block that is neither a command with its output nor ```yaml")
        for number, line in enumerate(block.lines, block.line):
            if COMMAND.match(line):
                found.append(Command(number, re.split(r"  +#", line)[0].strip(), []))
            elif line.strip():
                found[-1].excerpt.append(line.rstrip())
    return found


def tables(text):
    """All tables: lists of rows, the header first, without the rule below it."""
    found, current = [], []
    for line in text.splitlines() + [""]:
        if line.startswith("|"):
            cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
            if not all(re.fullmatch(r":?-+:?", cell) for cell in cells):
                current.append(cells)
        elif current:
            found.append(current)
            current = []
    return found


def anchors(text):
    """The names of a document's headings, as links write them."""
    headings = re.findall(r"(?m)^#+ (.*)$", text)
    return {re.sub(r"[^\w -]", "", heading.lower()).strip().replace(" ", "-") for heading in headings}


NUMBER = re.compile(r"[−+-]?\d+(?:\.\d+)?")


def is_same_number(shown, printed):
    """Whether two numbers as printed are the same up to one unit of the last digit shown.

    One unit, since a value near the edge of rounding falls to either side when a library sums in another order. Whole
    numbers below 20 without a sign are counts and numbers of rows: they must be equal.
    """
    if shown == printed:
        return True
    decimals = len(shown.partition(".")[2])
    if decimals != len(printed.partition(".")[2]):
        return False
    a, b = (float(word.replace("−", "-")) for word in (shown, printed))
    if decimals == 0 and shown.isdigit() and a < 20:
        return False
    return abs(a - b) <= 1.001 * 10**-decimals


def is_same_line(shown, printed):
    """Whether a line of an excerpt is that line of the output: blanks may differ, "…" stands for anything."""
    words = ["".join(f"({NUMBER.pattern})" if NUMBER.fullmatch(piece) else re.escape(piece)
                     for piece in re.split(f"({NUMBER.pattern})", word)) for word in shown.split()]
    match = re.fullmatch(r"\s+".join(words).replace("…", ".*"), printed.strip())
    return bool(match) and all(map(is_same_number, NUMBER.findall(shown), match.groups()))


def excerpt_faults(excerpt, output):
    """The lines of an excerpt that the output does not hold in this order; it may leave out lines."""
    lines = output.splitlines()
    at = 0
    for shown in excerpt:
        if shown.strip() == "…":
            continue
        hit = next((i for i in range(at, len(lines)) if is_same_line(shown, lines[i])), None)
        if hit is None:
            yield f"not printed: {shown.strip()}"
        else:
            at = hit + 1


def figure_faults(text, output):
    """The numbers in a document's tables that the output holds nowhere; tables of keys tell no results."""
    printed = set(NUMBER.findall(output)) | {word.lstrip("+−-") for word in NUMBER.findall(output)}
    for table in tables(text):
        for row in [] if table[0][0].startswith("key") else table[1:]:
            for cell in row[1:]:
                for shown in NUMBER.findall(re.sub(r"`[^`]*`", "", cell)):
                    if not any(is_same_number(shown, word) for word in printed):
                        yield f"table: '{shown}' of '{cell}' is not printed by any command here"


def fragment_faults(block, files):
    """A YAML fragment must stand in one of the files: its lines in this order, indented anyhow, none left out but "…"."""
    wanted = [line.strip() for line in block.lines if line.strip() and line.strip() != "…"]
    for text in files:
        lines = iter([line.strip() for line in text.splitlines()])
        if all(line in lines for line in wanted):
            return
    yield f"line {block.line}: this YAML stands in no file under examples/"
