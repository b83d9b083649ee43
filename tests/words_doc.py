#!/usr/bin/python3
"""docs/words.md is what `groundrow words` prints, and docs/language.md speaks of every word in it; the warnings that can be
accepted are those that the plan gives.

    tests/words_doc.py GROUNDROW [--bless]
"""

import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
DOCS = ROOT / "docs"
# The first hyphened word in a call of anything that warns.
GIVEN = re.compile(r'\b\w*warn\w*\((?:[^()";]|\([^()]*\))*"([a-z]+(?:-[a-z]+)+)"')


def words_of(page):
    """First cells of the tables of sections: those whose second column says what a word holds."""
    for section in page.split("\n## "):
        if "| word | holds |" in section:
            yield from re.findall(r"^\| `([^`]+)` \|", section, re.M)


def warnings_of(page):
    return set(re.findall(r"^\| `([a-z-]+)` \|", page.split("\n## Warnings")[1], re.M))


def main():
    printed = subprocess.run([sys.argv[1], "words"], check=True, capture_output=True, text=True, timeout=60).stdout
    page = DOCS / "words.md"
    if "--bless" in sys.argv:
        page.write_text(printed)
    faults = []
    if not page.exists() or page.read_text() != printed:
        faults.append("docs/words.md is not what `groundrow words` prints; tests/words_doc.py --bless writes it anew")
    words = sorted(set(words_of(printed)))
    language = (DOCS / "language.md").read_text()
    faults += [f"docs/language.md does not speak of `{word}`" for word in words
               if not re.search(rf"(?<![a-z]){re.escape(word)}(?![a-z])", language)]
    giving = [*ROOT.glob("runtime/*/*.c"), ROOT / "compiler/same_pages.c"]  # the others of compiler/ cannot be accepted
    given = {word for path in giving for word in GIVEN.findall(path.read_text())}
    if given != warnings_of(printed):
        faults.append(f"warnings given, but not listed, or the other way round: {sorted(given ^ warnings_of(printed))}")
    if len(words) < 80:
        faults.append(f"only {len(words)} words found")
    print("\n".join(faults) or f"{len(words)} words")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
