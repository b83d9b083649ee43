#!/usr/bin/python3
"""Every YAML example in README.md and docs/ goes through the program.

    tests/docs.py GROUNDROW

A fence ```yaml holds a whole file, named in its first line: `# file: book.yaml` is the book of the scenes after it in that
document (until then docs/language.md's first), `# file: 08-fog.yaml` a scene, which must compile without warnings;
`# file: 08-fog.yaml, with warnings` may have some. A fence ```yaml fragment is part of a file: it must be read as YAML of
the language. Links to files must lead somewhere. The README walks on from what `groundrow new` writes, so that is its book.
"""

import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
FENCE = re.compile(r"^( *)```yaml([^\n]*)\n(.*?)^\1```", re.M | re.S)
NAME = re.compile(r"# file: ([^\s,]+\.yaml)(, with warnings)?\s*\n")


def examples(document):
    text = document.read_text()
    for match in FENCE.finditer(text):
        line = text.count("\n", 0, match.start()) + 1
        indent = match.group(1)
        body = re.sub(rf"^{indent}", "", match.group(3), flags=re.M)
        yield f"{document.relative_to(ROOT)}:{line}", match.group(2).strip(), body


def run(groundrow, folder, arguments):
    done = subprocess.run([groundrow, *arguments], cwd=folder, capture_output=True, text=True, timeout=60)
    return done.returncode, done.stdout + done.stderr


def try_example(groundrow, name, text, book, arguments):
    with tempfile.TemporaryDirectory() as where:
        specs = pathlib.Path(where) / "specs"
        specs.mkdir()
        (specs / "book.yaml").write_text(book)
        if name != "book.yaml":
            (specs / name).write_text(text)
        for image in re.findall(r"\bimage: *([^\s,}]+)", text):
            place = specs / image
            place.parent.mkdir(parents=True, exist_ok=True)
            source = ROOT / "specs" / image
            if source.exists():
                place.write_bytes(source.read_bytes())
        return run(groundrow, where, arguments)


def first_book(document):
    """The first book that a document has, or None."""
    for _, kind, text in examples(document) if document.exists() else []:
        match = NAME.match(text)
        if not kind and match and match.group(1) == "book.yaml":
            return text
    return None


def new_book(groundrow):
    with tempfile.TemporaryDirectory() as where:
        run(groundrow, where, ["new", "specs"])
        return (pathlib.Path(where) / "specs/book.yaml").read_text()


def check(groundrow, place, kind, text, book):
    """The fault of one example, or None."""
    if kind == "fragment":
        code, said = try_example(groundrow, "01-fragment.yaml", text, book, ["specs", "--dump=tree"])
        return f"{place}: is not read:\n{said}" if code != 0 else None
    match = NAME.match(text)
    if kind or not match:
        return f"{place}: neither a fragment (```yaml fragment) nor a file with a name (`# file: NAME`)"
    name, warnings = match.groups()
    code, said = try_example(groundrow, name, text, text if name == "book.yaml" else book, ["check", "specs"])
    if code != 0:
        return f"{place}: {name} does not compile:\n{said}"
    if "warning:" in said and name != "book.yaml" and not warnings:
        return f"{place}: {name} has warnings, which `# file: {name}, with warnings` would allow:\n{said}"
    return None


def broken_links(document):
    for target in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", document.read_text()):
        if "://" not in target and not (document.parent / target).exists():
            yield f"{document.relative_to(ROOT)}: there is no {target}"


def main():
    groundrow = pathlib.Path(sys.argv[1]).resolve(strict=True)
    usual = first_book(ROOT / "docs/language.md")
    faults, count = [], 0
    for document in [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]:
        book = usual if usual and document.parent != ROOT else new_book(groundrow)
        faults += broken_links(document)
        for place, kind, text in examples(document):
            match = NAME.match(text)
            if not kind and match and match.group(1) == "book.yaml":
                book = text
            count += 1
            fault = check(groundrow, place, kind, text, book)
            if fault:
                faults.append(fault)
    if count == 0:
        faults.append("no example found")
    print("\n".join(faults) or f"{count} examples go through")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
