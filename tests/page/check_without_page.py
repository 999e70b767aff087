#!/usr/bin/env python3
"""A program without the page says so in one line before it computes, and STILLWALL_PAGE=OFF builds one.

    check_without_page.py PROGRAM CMAKE GENERATOR COMPILER     (from the repository root)
"""
import pathlib
import shutil
import subprocess
import sys
import tempfile

BOX = "examples/06-sealed-two-way/sealed.yaml"
CHOOSE = "examples/13-choose-before-cutting/cabinet.yaml"
WRINKLE = "examples/09-wrinkle-of-a-wall"
RUNS = {
    "modes": [BOX], "sound": [BOX], "compare": [CHOOSE], "vary": [CHOOSE], "improve": [CHOOSE], "workshop": [CHOOSE],
    "explain": [f"{WRINKLE}/cabinet.yaml", "--impedance", f"{WRINKLE}/in_box.txt"], "knock": ["knock.wav"], "report": [BOX],
}


def message_faults(program, scratch):
    """The program alone, as it is installed where no page was built."""
    (scratch / "bin").mkdir()
    alone = shutil.copy(program, scratch / "bin")
    for verb, words in RUNS.items():
        option = "--out" if verb == "report" else "--report"
        page = scratch / "page.html"
        done = subprocess.run([alone, verb, *words, option, page], capture_output=True, text=True, check=False)
        lines = [line for line in done.stderr.splitlines() if not line.startswith("warning: ")]
        if done.returncode != 2 or len(lines) != 1 or done.stdout or page.exists():
            yield f"{verb}: exit {done.returncode}, says {done.stderr!r} and {done.stdout[:80]!r}"
        elif not all(word in lines[0] for word in (option, "share/stillwall/page.html", "nodejs npm", "STILLWALL_PAGE")):
            yield f"{verb}: {lines[0]}"


def build_faults(cmake, generator, compiler, scratch):
    """Configured only: nothing but the page's own target depends on the option."""
    for state in ("OFF", "AUTO"):
        build = scratch / state
        subprocess.run([cmake, "-S", ".", "-B", build, "-G", generator, f"-DCMAKE_CXX_COMPILER={compiler}", f"-DSTILLWALL_PAGE={state}",
                        "--log-level=WARNING"], check=True, stdout=subprocess.DEVNULL)
        targets = subprocess.run([cmake, "--build", build, "--target", "help"], check=True, capture_output=True, text=True).stdout
        has_tools = shutil.which("npm") and (shutil.which("node") or shutil.which("nodejs"))
        if ("stillwall_page" in targets) != (state == "AUTO" and bool(has_tools)):
            yield f"STILLWALL_PAGE={state}: the target stillwall_page is {'there' if 'stillwall_page' in targets else 'not there'}"


def main(program, cmake, generator, compiler):
    with tempfile.TemporaryDirectory() as scratch:
        faults = [*message_faults(program, pathlib.Path(scratch)), *build_faults(cmake, generator, compiler, pathlib.Path(scratch))]
    print(*faults, sep="\n", end="\n" if faults else "")
    return bool(faults)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
