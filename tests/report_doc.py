#!/usr/bin/python3
"""The samples in docs/report.md are what the program writes for the book and the scene printed there.

    tests/report_doc.py GROUNDROW [--bless]

A fence ```text 08-fog.txt: HEADING; HEADING ...` holds those blocks of that output (`...` at the end: only the lines that are
there, in their order); ```text 08-fog.json` likewise lines of that output. With --bless the blocks are written anew; lines of
shortened ones are not.
"""

import pathlib
import re
import subprocess
import sys
import tempfile

DOCUMENT = pathlib.Path(__file__).resolve().parent.parent / "docs/report.md"
SAMPLE = re.compile(r"^```text ([^\s:]+)(?:: ([^\n]*))?\n(.*?)^```$", re.M | re.S)
FILE = re.compile(r"^```yaml\n# file: (\S+\.yaml)\n(.*?)^```$", re.M | re.S)


def compile_book(groundrow, document):
    with tempfile.TemporaryDirectory() as where:
        specs = pathlib.Path(where) / "specs"
        specs.mkdir()
        for name, text in FILE.findall(document):
            (specs / name).write_text(text)
        subprocess.run([groundrow, "-q", "--json", "specs", "-o", "out"], cwd=where, check=True, timeout=60)
        return {path.name: path.read_text() for path in (pathlib.Path(where) / "out").iterdir() if path.suffix != ".glb"}


def blocks_of(text):
    blocks = {}
    for block in text.split("\n\n"):
        blocks[block.split("\n", 1)[0]] = block.strip("\n")
    return blocks


def wanted(output, headings):
    blocks = blocks_of(output)
    return "\n\n".join(blocks[heading] for heading in headings.split("; ")) + "\n"


def lines_in_order(lines, output):
    """The first line that does not come in its turn, or None."""
    rest = iter([line.strip() for line in output.split("\n")])
    for line in lines.split("\n"):
        if line.strip() not in ("", "...") and not any(line.strip() == other for other in rest):
            return line
    return None


def main():
    groundrow = pathlib.Path(sys.argv[1]).resolve(strict=True)
    document = DOCUMENT.read_text()
    outputs = compile_book(groundrow, document)
    faults, count = [], 0

    def check(match):
        nonlocal count
        count += 1
        name, headings, text = match.groups()
        whole = headings and "..." not in text
        if whole and text != wanted(outputs[name], headings):
            faults.append(f"{name}: {headings} is not as compiled:\n{wanted(outputs[name], headings)}")
            return f"```text {name}: {headings}\n{wanted(outputs[name], headings)}```"
        missing = None if whole else lines_in_order(text, outputs[name])
        if missing is not None:
            faults.append(f"{name}: no such line in its turn: {missing}")
        return match.group(0)

    blessed = SAMPLE.sub(check, document)
    if "--bless" in sys.argv:
        DOCUMENT.write_text(blessed)
    if count < 5:
        faults.append(f"only {count} samples found")
    print("\n".join(faults) or f"{count} samples are as compiled")
    sys.exit(bool(faults) and "--bless" not in sys.argv)


if __name__ == "__main__":
    main()
