#!/usr/bin/python3
"""The shop sheets of the whole book, by poppler's tools.

    book_check.py GROUNDROW SPECS

Of the demo book, on its own paper and on A4: poppler reads it without a word; it has its own pages and then every page of
every scene's sheets in the book's order, each of which looks to the pixel as in the scene's own file and has the same
words, plus the number of the page in the whole, so that scales are what they were (sheets_check.py). The contents lead to
the pages; bookmarks (ISO 32000-1, 12.3.3) lead to every scene and under it to what the scene's own lead to; page labels
(12.4.2) call pages by their scene; fonts come along (9.9). What book.txt says of what to buy, of cameras and of puppets
on paper stands on the book's own pages, as do tables, room and circuits of the scenes' reports. On its own pages no word
is off the paper, over another or smaller than the sheets' text. And the same bytes from one job and from four. Of a book
with next to nothing in it, whose names have what PDF's strings escape (7.3.4.2) and no Latin letters: bookmarks that say
them, and a puppet in all scenes that it is in."""

import fractions
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree

import cv2
import numpy

import sheets_check as sheets
from sheets_check import check, failures, run

RESOLUTION = 40  # pixels an inch
RIM_POINTS = 26.5  # where a page's number in the whole stands, above the paper's lower edge


def page_count(pdf):
    return int(re.search(r"Pages: +(\d+)", run("pdfinfo", pdf)).group(1))


def page_words(pdf):
    """The words of each page, in the order in which they were drawn."""
    return [page.split() for page in run("pdftotext", "-raw", pdf, "-").split("\f")[:-1]]


def bookmarks(pdf):
    """(title, page, [those below it])."""
    text = run("pdftohtml", "-xml", "-i", "-stdout", pdf)
    outline = re.search(r"<outline>.*</outline>", text, re.S)
    if not outline:
        return []

    def walk(element):
        found = []
        for child in element:
            if child.tag == "item":
                found.append((child.text, int(child.get("page")), []))
            else:
                found[-1][2].extend(walk(child))
        return found

    return walk(xml.etree.ElementTree.fromstring(outline.group(0)))


def read_quietly(pdf):
    done = subprocess.run(["pdftotext", pdf, "-"], capture_output=True, check=True)
    check(done.stderr == b"", f"{pdf.name}: poppler says {done.stderr[:200]}")


def pictures(pdf, folder):
    folder.mkdir()
    run("pdftoppm", "-r", RESOLUTION, "-gray", pdf, folder / "page")
    return [cv2.imread(str(path), cv2.IMREAD_GRAYSCALE) for path in sorted(folder.iterdir())]


def check_pages(book, scenes, work):
    """Returns the number of the book's own pages."""
    words, looks = page_words(book), pictures(book, work / "book-pages")
    count = page_count(book)
    own = int(re.search(r"\b1 of (\d+)\b", " ".join(words[0])).group(1))
    check(len(words) == len(looks) == count, f"{count} pages, {len(words)} with words")
    check(count == own + sum(page_count(pdf) for pdf in scenes), f"{count} pages, {own} of the book's own")
    for number, page in enumerate(words, 1):
        stamp = f"book.pdf, page {number} of {count}".split()
        check(page[-len(stamp):] == stamp, f"page {number}: ends {page[-len(stamp):]}")
        words[number - 1] = page[:-len(stamp)]
    at = own
    rim = round(RIM_POINTS / 72 * RESOLUTION)
    for pdf in scenes:
        for its_words, its_look in zip(page_words(pdf), pictures(pdf, work / pdf.stem)):
            check(words[at] == its_words, f"page {at + 1}: other words than in {pdf.name}")
            check(looks[at].shape == its_look.shape and numpy.array_equal(looks[at][:-rim], its_look[:-rim]),
                  f"page {at + 1}: looks otherwise than in {pdf.name}")
            check(its_look.min() < 100, f"page {at + 1} of {pdf.name}: bare")
            at += 1
    return own


def check_contents(book, scenes, own):
    """`01-the-landing The landing; pages 2 and 3, a spread 27-33 85 mm ...`"""
    text = " ".join(" ".join(page) for page in page_words(book)[:own])
    first = own + 1
    for pdf in scenes:
        last = first + page_count(pdf) - 1
        check(f"{first}-{last}" in text, f"contents: no {first}-{last} for {pdf.stem}")
        first = last + 1


def check_bookmarks(book, scenes, own):
    marks = bookmarks(book)
    mine = [mark for mark in marks if mark[1] <= own]
    check(len(mine) >= 6 and not any(below for _, _, below in mine), f"{len(mine)} bookmarks to the book's own pages")
    check(mine[0][:2] == ("Contents", 1), f"first bookmark {mine[0][:2]}")
    theirs = marks[len(mine):]
    check(len(theirs) == len(scenes), f"{len(theirs)} bookmarks to {len(scenes)} scenes")
    first = own + 1
    for (title, page, below), pdf in zip(theirs, scenes):
        report = json.loads(pdf.with_suffix(".json").read_text())
        check(title == f"{pdf.stem}: {report['title']}" and page == first, f"bookmark {title} to {page}, not {first}")
        wanted = [(name, number + first - 1, []) for name, number, _ in bookmarks(pdf)]
        check(len(wanted) > 8 and below == wanted, f"{pdf.stem}: other bookmarks below it")
        first += page_count(pdf)


def check_labels(book, scenes, own):
    data = book.read_bytes()
    nums = re.search(rb"/PageLabels << /Nums \[(.*?)\] >>", data, re.S).group(1)
    labels = re.findall(rb"(\d+) << /P \((.*?)\) /S /D >>", nums)
    wanted, first = [(b"0", b"book ")], own
    for pdf in scenes:
        wanted.append((str(first).encode(), pdf.stem.encode() + b" "))
        first += page_count(pdf)
    check(labels == wanted, f"page labels {labels}")


def check_fonts(book):
    fonts = [line.split() for line in run("pdffonts", book).splitlines()[2:]]
    check(fonts and all("DejaVuSans" in font[0] and font[-5:-2] == ["yes", "yes", "yes"] for font in fonts),
          f"fonts {fonts[:3]}")


def flat(text):
    return " ".join(text.split())


def block(text, name):
    return re.search(rf"^{re.escape(name)}\n((?:  [^\n]*\n)*)", text, re.M).group(1)


LENGTH = r"(?:\d+'-[\d /]+\"|[\d /]+ in) \([\d.]+ mm\)|[\d.]+ mm \([^)]*\)"


def check_numbers(book, output, scenes, own):
    """Cells may be broken into lines, but not between a number and its unit."""
    pages = flat(" ".join(" ".join(page) for page in page_words(book)[:own]))
    text = (output / "book.txt").read_text()
    bought = block(text, "to buy").splitlines()
    check(len(bought) > 4, "to buy: nothing")
    for line in bought:
        name, said = line.strip().split(": ", 1)
        check(name in pages, f"to buy: no {name}")
        for number in re.findall(r"^\d+ (?:sheets?|lengths?)|[\d.]+(?= each)|[\d.]+(?= in all)|[\d.]+ %$", said):
            check(number in pages, f"to buy {name}: no {number}")
    of_puppets = re.findall(r"^  (\S+)[^:]*: enlargement ([\d.]+ %); printed (.*?) tall, ([\d.]+ %)", text, re.M)
    check(len(of_puppets) > 10, "book.txt: no puppets")
    for scene, enlargement, printed, share in of_puppets:
        check(f"{enlargement} {printed} {share}" in pages, f"puppet in {scene}: no {enlargement} {printed} {share}")
    for line in block(text, "scenes").splitlines():
        name, said = line.strip().split(": ", 1)
        up, away = re.findall(r", (\S[^,;]*?\)) (?:up|away)", said)
        check(f"{name} {up} {away}" in pages, f"cameras: no {name} {up} {away}")
    for pdf in scenes:
        report = pdf.with_suffix(".txt").read_text()
        for name, key in (("tables", "weighs"), ("room", "takes, across"), ("room", "takes, from front to rear")):
            said = re.search(rf"^  {key}: ([^;\n]*)", block(report, name), re.M).group(1)
            own_lengths = re.sub(r" \(\d+ mm\)|, with the puppets of .*", "", said)
            check(own_lengths in pages, f"{pdf.stem}: no {key} {own_lengths}")
        for name in re.findall(r"^circuit (.*)$", report, re.M):
            left = re.search(r"left for hours: (.*)", block(report, f"circuit {name}")).group(1)
            check(re.search(rf"\b{name}\b.*\b{left}", pages), f"{pdf.stem}: circuit {name} without {left}")


def inches(length):
    """`3'-8 31/64"`, `10 15/64 in`."""
    feet, rest = re.fullmatch(r"(?:(\d+)'-)?([\d /]+?)(?:\"| in)", length).groups()
    return 12 * int(feet or 0) + float(sum(map(fractions.Fraction, rest.split())))


def check_struck(book, output, own):
    """Whatever is cut from a struck part has its corners there, as far apart as the part is large in its report."""
    pages = flat(" ".join(" ".join(page) for page in page_words(book)[:own]))
    corner = r"\d+: [^,;]+, [^,;]+?(?:\"| in)"
    found = 0
    for line in block((output / "book.txt").read_text(), "used again ply").splitlines():
        old, new = line.strip().split(": ", 1)
        part, scene = re.fullmatch(r"(.*?)(?: \(\d+ of them\))? of (\S+), (?:cut from it|as it is)", new).groups()
        told = re.search(rf"{re.escape(part)} {re.escape(old)} ({corner}(?:; {corner})+)", pages)
        if not told:
            continue  # as it is, or nested on a rectangle of it
        corners = [[inches(side) for side in at.split(": ")[1].split(", ")] for at in told[1].split("; ")]
        wide, tall = (max(side) - min(side) for side in zip(*corners))
        report = (output / f"{scene}.txt").read_text()
        size = re.search(rf"^  {re.escape(part)}: (.*?) x (.*?) \(", report, re.M).groups()
        want = sorted(map(inches, (side if "'" in side or " in" in side else side + " in" for side in size)))
        check(all(abs(a - b) < 1 / 31 for a, b in zip(sorted((wide, tall)), want)), f"{line}: corners {corners}, {size}")
        found += 1
    check(found > 3, f"struck parts: {found} with corners")


def check_own_pages(book, own, work):
    """As sheets_check.py holds the sheets of scenes, by a file of these pages alone."""
    alone = work / "own.pdf"
    run("pdfseparate", "-l", own, book, work / "own-%d.pdf")
    run("pdfunite", *(work / f"own-{number}.pdf" for number in range(1, own + 1)), alone)
    sheets.check_words(alone, sheets.words_of(alone))


def check_book(groundrow, specs, work, paper):
    output = sheets.compile_book(groundrow, specs, work, paper, "-j1")
    book, scenes = output / "book.pdf", sheets.sheets_in(output)
    read_quietly(book)
    own = check_pages(book, scenes, work)
    check_contents(book, scenes, own)
    check_bookmarks(book, scenes, own)
    check_labels(book, scenes, own)
    check_fonts(book)
    check_numbers(book, output, scenes, own)
    check_struck(book, output, own)
    check_own_pages(book, own, work)
    info = run("pdfinfo", book)
    check("Creator:         groundrow" in info and "Date" not in info, f"it says {info}")
    return book.read_bytes()


def check_names(groundrow, work):
    """Two scenes of one puppet, of which one's file is called as the end of the other's; a third without a title."""
    title, scene = 'Ночь (夜) \\\\ )(', """drawing: {wide: 420 mm}
mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}
camera: {body: hired, lens: 85 mm}
accept: [camera shoots-off]
"""
    (work / "book.yaml").write_text(f"""book: "{title}"
page: {{wide: 11 in, tall: 8.5 in}}
cast: {{otter: {{tall: 11 in}}}}
cameras: {{hired: {{sensor: 36 x 24 mm}}}}
""")
    for name, said in (("8-fog", f'scene: "{title}"\n'), ("fog", 'scene: "/CreationDate (fog"\n'), ("home", "")):
        (work / f"{name}.yaml").write_text(said + scene)
    run(groundrow, work, "-o", work / "output", "--only", "sheets", "-q")
    book = work / "output" / "book.pdf"
    read_quietly(book)
    theirs = [mark[0] for mark in bookmarks(book) if mark[2]]
    said = title.replace("\\\\", "\\")
    check(theirs == [f"8-fog: {said}", "fog: /CreationDate (fog", "home"], f"bookmarks of names: {theirs}")
    for name, wanted in (("book", said), ("8-fog", said), ("fog", "/CreationDate (fog")):
        about = run("pdfinfo", work / "output" / f"{name}.pdf")
        check(f"Title: {wanted}\n" in re.sub(" +", " ", about), f"{name}.pdf: its title is not {wanted}")
        check("Date:" not in about, f"{name}.pdf has a date")
    words = flat(run("pdftotext", "-layout", book, "-"))
    check("8-fog; fog; home" in words, "not in which scenes the puppet is")


def main():
    groundrow, specs = sys.argv[1], sys.argv[2]
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        for name in ("own", "a4", "again"):
            (work / name).mkdir()
        one = check_book(groundrow, specs, work / "own", "Letter")
        check_book(groundrow, specs, work / "a4", "A4")
        again = sheets.compile_book(groundrow, specs, work / "again", "Letter", "-j4")
        check((again / "book.pdf").read_bytes() == one, "other bytes from four jobs")
        (work / "names").mkdir()
        check_names(groundrow, work / "names")
    for failure in failures[:60]:
        print(failure)
    print(f"book.pdf twice, {len(failures)} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
