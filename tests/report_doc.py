#!/usr/bin/python3
"""The samples in docs/report.md and docs/walkthrough.md are what the program writes for the book and the scene printed there.

    tests/report_doc.py GROUNDROW [--bless]

A sample is held to the files printed above it, each in its last form; a page without a book of its own uses the demo book's. A fence
```text 08-fog.txt: HEADING; HEADING ...` holds those blocks of that output (`...` at the end: only the lines that are there, in
their order); ```text 08-fog.json` likewise lines of that output, ```text messages` lines of what is said. With --bless the blocks
are written anew; lines of shortened ones are not.
"""

import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
DOCUMENTS = [ROOT / "docs/report.md", ROOT / "docs/walkthrough.md"]
SAMPLE = re.compile(r"^```text ([^\s:]+)(?:: ([^\n]*))?\n(.*?)^```$", re.M | re.S)
FILE = re.compile(r"^```yaml\n(# file: ([^\s,]+\.yaml)[^\n]*\n.*?)^```$", re.M | re.S)
FENCE = re.compile(r"^```(?:text|yaml)[^\n]*\n.*?^```$", re.M | re.S)


def compile_book(groundrow, files):
    with tempfile.TemporaryDirectory() as where:
        specs = pathlib.Path(where) / "specs"
        specs.mkdir()
        for name, text in files.items():
            (specs / name).write_text(text)
        done = subprocess.run([groundrow, "-q", "--json", "specs", "-o", "out"], cwd=where, check=True, timeout=60,
                              capture_output=True, text=True)
        outputs = {path.name: path.read_text() for path in (pathlib.Path(where) / "out").iterdir() if path.suffix in (".txt", ".json")}
        return outputs | {"messages": done.stderr}


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


def check_document(groundrow, path):
    """What the document should say, its faults, and how many samples it has."""
    files, outputs, faults, count = {}, None, [], 0
    if "# file: book.yaml" not in path.read_text():
        book = (ROOT / "specs/book.yaml").read_text()
        files["book.yaml"] = re.sub(r"^build order:.*\n", "", book, flags=re.M)  # of scenes that are not here

    def check(fence):
        nonlocal outputs, count
        printed = FILE.fullmatch(fence.group(0))
        if printed:
            files[printed.group(2)] = printed.group(1)
            outputs = None
        match = SAMPLE.fullmatch(fence.group(0))
        if not match:
            return fence.group(0)
        count += 1
        outputs = outputs or compile_book(groundrow, files)
        name, headings, text = match.groups()
        whole = headings and "..." not in text
        if whole and text != wanted(outputs[name], headings):
            faults.append(f"{path.name}: {name}: {headings} is not as compiled:\n{wanted(outputs[name], headings)}")
            return f"```text {name}: {headings}\n{wanted(outputs[name], headings)}```"
        missing = None if whole else lines_in_order(text, outputs[name])
        if missing is not None:
            faults.append(f"{path.name}: {name}: no such line in its turn: {missing}")
        return fence.group(0)

    return FENCE.sub(check, path.read_text()), faults, count


def main():
    groundrow = pathlib.Path(sys.argv[1]).resolve(strict=True)
    faults, total = [], 0
    for path in DOCUMENTS:
        blessed, found, count = check_document(groundrow, path)
        if "--bless" in sys.argv:
            path.write_text(blessed)
        if count < 5:
            found.append(f"{path.name}: only {count} samples found")
        faults += found
        total += count
    print("\n".join(faults) or f"{total} samples are as compiled")
    sys.exit(bool(faults) and "--bless" not in sys.argv)


if __name__ == "__main__":
    main()
