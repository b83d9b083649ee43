#!/usr/bin/python3
"""The shop sheets, by poppler's tools and by the drawing commands in them (ISO 32000-1).

    sheets_check.py GROUNDROW SPECS

Of the demo book on its own paper, and of some scenes on each of the four: pages as large as ISO 216 (A3, A4) and ANSI/ASME Y14.1 (A: Letter, B: Tabloid) have them, fonts
embedded, nothing under 8 points or thinner than 0.3, no word off the paper or over another in the tables, every number
of the report's tape-out in words that can be copied. Lengths on the first page, from its path operators, times the
scale that it states, are the report's to 0.1 %: front edge, sides, rear edge and diagonals of the base, how far behind
its front edge the mark is, and the two bars of the scale. And the same bytes from one job and from four."""

import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile
import zlib

PAPERS = {"A4": (210, 297), "A3": (297, 420), "Letter": (215.9, 279.4), "Tabloid": (279.4, 431.8)}
WHOLE_BOOK_ON = "Letter"
SCENES = ("03-down-the-river", "08-fog", "10-the-quay")
POINTS_PER_MM = 72 / 25.4
TOLERANCE = 0.001
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)


def run(*command):
    return subprocess.run([str(part) for part in command], check=True, capture_output=True).stdout.decode()


def compile_book(groundrow, specs, folder, paper, *options):
    """A copy of the book on this paper."""
    book = folder / "specs"
    subprocess.run(["cp", "-R", specs, book], check=True)
    text = (book / "book.yaml").read_text()
    (book / "book.yaml").write_text(text + f"\nshop sheets: {paper}\n")
    run(groundrow, book, "-o", folder / "output", "--only", "sheets,reports", "--json", "-q", *options)
    return folder / "output"


def page_streams(pdf):
    """The unpacked content streams that draw pages, in order."""
    data = pdf.read_bytes()
    for match in re.finditer(rb"(?<!end)stream\r?\n", data):
        try:
            plain = zlib.decompressobj().decompress(data[match.end():])
        except zlib.error:
            continue
        if plain.startswith(b"1 0 0 -1 0 "):
            yield plain.decode("latin-1")


NUMBER = r"-?\d*\.?\d+"


def paths(stream):
    """Paths: how they are painted, line width, corners (of curves nothing); each part of a path alone."""
    width, parts, token = None, [], []
    for word in re.sub(r"\((?:\\.|[^\\)])*\)", "()", stream).split():
        if re.fullmatch(NUMBER, word):
            token.append(float(word))
            continue
        if word == "w" and token:
            width = token[-1]
        elif word == "m":
            parts.append([tuple(token[-2:])])
        elif word == "l":
            parts[-1].append(tuple(token[-2:]))
        elif word == "re":
            x, y, w, h = token[-4:]
            parts.append([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])
        elif word in ("S", "s", "B", "B*", "f", "f*", "n"):
            for points in parts:
                yield ("stroke" if word[0] in "SsB" else "fill"), width, points
            parts = []
        token = []


def long(a, b):
    return math.dist(a, b)


def near(got, wanted, what):
    check(wanted > 0 and abs(got / wanted - 1) <= TOLERANCE, f"{what}: {got:.3f}, wanted {wanted:.3f}")


def facts_of(report, kind, name):
    return next(block["facts"] for block in report["blocks"] if block["kind"] == kind and block["name"] == name)


def check_scale(pdf, report, words):
    """The first page alone: its stream comes first."""
    scale = int(re.search(r"\b1:(\d+)\b", words).group(1))
    drawn = list(paths(next(page_streams(pdf))))
    mm = lambda points: points / POINTS_PER_MM * scale
    base = facts_of(report, "tape-out", "base")
    edges = [points for kind, width, points in drawn if kind == "stroke" and width == 2 and len(points) == 2]
    check(len(edges) == 1, f"{pdf.name}: {len(edges)} front edges")
    near(mm(long(*edges[0])), base["front"]["mm"], f"{pdf.name}: front edge")
    boards = [points for kind, width, points in drawn if kind == "stroke" and width == 1.1 and len(points) >= 4]
    check(len(boards) == 1, f"{pdf.name}: {len(boards)} outlines of the base")
    a, b, c, d = boards[0][:4] if boards else [(0, 0)] * 4
    for got, key in ((long(a, b), "front"), (long(c, d), "rear"), (long(a, d), "left_side"),
                     (long(b, c), "right_side"), (long(a, c), "left_diagonal"), (long(b, d), "right_diagonal")):
        near(mm(got), base[key]["mm"], f"{pdf.name}: base {key}")
    shots = [block["name"] for block in report["blocks"] if block["kind"] == "tape-out" and "here" in block["facts"]]
    behind = facts_of(report, "tape-out", shots[0])["place"]["behind_mm"]
    crosses = [points for kind, width, points in drawn if kind == "stroke" and width == 1.2 and len(points) == 2
               and points[0][1] == points[1][1] and long(*points) < 13]
    check(len(crosses) == 1, f"{pdf.name}: {len(crosses)} marks")
    near(mm(edges[0][0][1] - crosses[0][0][1]), behind, f"{pdf.name}: mark behind the front edge")
    bars = [points for kind, width, points in drawn if kind == "stroke" and width == 0.6 and len(points) == 4]
    check(len(bars) == 2, f"{pdf.name}: {len(bars)} bars")
    feet = re.search(r"(?:(\d+)'-(\d+)\"|(\d+) in) at 1:", words)
    inches = int(feet.group(1)) * 12 + int(feet.group(2)) if feet.group(1) else int(feet.group(3))
    wanted = sorted((inches * 25.4, float(re.search(r"(\d+) mm at 1:", words).group(1))))
    for got, length in zip(sorted(mm(long(bar[0], bar[1])) for bar in bars), wanted):
        near(got, length, f"{pdf.name}: bar")


def check_ink(pdf):
    for stream in page_streams(pdf):
        sizes = [math.hypot(float(a), float(b)) for a, b in re.findall(rf"({NUMBER}) ({NUMBER}) {NUMBER} {NUMBER} "
                                                                        rf"{NUMBER} {NUMBER} Tm", stream)]
        widths = [float(width) for width in re.findall(rf"({NUMBER}) w\b", stream)]
        check(sizes and min(sizes) >= 8 - 1e-6, f"{pdf.name}: text of {min(sizes, default=0)} points")
        check(widths and min(widths) >= 0.3, f"{pdf.name}: a line of {min(widths, default=0)} points")


def check_words(pdf):
    """No word off the paper; from the second page on no two over each other."""
    number = 0
    page = (0, 0)
    boxes = []
    for line in run("pdftotext", "-bbox", pdf, "-").splitlines():
        values = [float(value) for value in re.findall(r'"([\d.-]+)"', line)]
        if "<page " in line:
            number, page, boxes, framed = number + 1, values, [], False
        elif "<word " in line:
            x0, y0, x1, y1 = values
            word = re.sub("<.*?>", "", line).strip()
            check(x0 >= 18 and y0 >= 14 and x1 <= page[0] - 18 and y1 <= page[1] - 18,
                  f"{pdf.name}: {word} off page {number}")
            for other in boxes:
                wide, tall = min(x1, other[2]) - max(x0, other[0]), min(y1, other[3]) - max(y0, other[1])
                check(wide < 0.5 or tall < 3.5, f"{pdf.name}: {word} over {other[4]} on page {number}")
            boxes.append((x0, y0, x1, y1, word))


def check_numbers(pdf, report_text, words):
    """Every length of the tape-out, in both systems."""
    blocks = re.findall(r"^tape-out [^\n]*\n((?:  [^\n]*\n)*)", report_text, re.M)
    lengths = set(re.findall(r"(?:\d+'-[\d /]+\"|[\d /]+ in) \(\d+ mm\)|\d+ mm \([^)]*\)", "".join(blocks)))
    check(len(lengths) > 20, f"{pdf.name}: only {len(lengths)} lengths in the report")
    flat = " ".join(words.split())
    for length in sorted(lengths):
        check(length.strip() in flat, f"{pdf.name}: no {length}")


def check_sheet(pdf, paper):
    report = json.loads(pdf.with_suffix(".json").read_text())
    words = run("pdftotext", "-raw", pdf, "-")
    info = run("pdfinfo", "-f", "1", "-l", "99", pdf)
    for wide, tall in re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+)", info):
        for got, wanted in zip((float(wide), float(tall)), PAPERS[paper]):
            check(abs(got - wanted * POINTS_PER_MM) < 0.05, f"{pdf.name}: a page of {wide} x {tall} for {paper}")
    check("Page    1 size" in info and not re.search(r"Date:", info), f"{pdf.name}: pages and no date")
    fonts = [line.split() for line in run("pdffonts", pdf).splitlines()[2:]]
    check(len(fonts) == 2 and all("DejaVuSans" in font[0] and font[-5:-2] == ["yes", "yes", "yes"] for font in fonts),
          f"{pdf.name}: fonts {fonts}")
    check_scale(pdf, report, words)
    check_ink(pdf)
    check_words(pdf)
    check_numbers(pdf, pdf.with_suffix(".txt").read_text(), words)
    check("docs/safety.md" in words, f"{pdf.name}: no word of care")


def sheets_in(output):
    """Of scenes; of the whole book see book_check.py."""
    return sorted(pdf for pdf in output.glob("*.pdf") if pdf.stem != "book")


def main():
    groundrow, specs = sys.argv[1], sys.argv[2]
    with tempfile.TemporaryDirectory() as work:
        count = 0
        for paper in PAPERS:
            folder = pathlib.Path(work) / paper
            folder.mkdir()
            some = [] if paper == WHOLE_BOOK_ON else [word for name in SCENES for word in ("--scene", name)]
            output = compile_book(groundrow, specs, folder, paper, "-j1", *some)
            for pdf in sheets_in(output):
                check_sheet(pdf, paper)
                count += 1
        folder = pathlib.Path(work) / "again"
        folder.mkdir()
        again = sheets_in(compile_book(groundrow, specs, folder, WHOLE_BOOK_ON, "-j4"))
        for pdf in again:
            first = pathlib.Path(work) / WHOLE_BOOK_ON / "output" / pdf.name
            check(pdf.read_bytes() == first.read_bytes(), f"{pdf.name}: other bytes from four jobs")
    for failure in failures[:60]:
        print(failure)
    print(f"{count} sheets, {len(failures)} failures")
    return 1 if failures or count != len(again) + (len(PAPERS) - 1) * len(SCENES) or not again else 0


if __name__ == "__main__":
    sys.exit(main())
