#!/usr/bin/python3
"""The shop sheets, by poppler's tools and by the drawing commands in them (ISO 32000-1).

    sheets_check.py GROUNDROW SPECS

Of the demo book on its own paper, and of some scenes on each of the four: pages as large as ISO 216 (A3, A4) and
ANSI/ASME Y14.1 (A: Letter, B: Tabloid) have them, fonts embedded, nothing under 8 points or thinner than 0.3, no word
off the paper or over another, every number of the report's tape-out in words that can be copied.

Lengths from the path operators, times the scale that is stated beside them, are the report's to 0.1 %. On the first
page front edge, sides, rear edge and diagonals of the base, how far behind its front edge the mark is, where each hole
is, and the two bars of the scale; on the second the tables. Of sheets that are cut each is drawn once (alike ones as
often as they say), as large as it is; in it lie all the parts that the report says are cut from it, each as large and of
as much area as its size and the corners cut off it make, turned but never face down, and no part reaches out of it. The
same of a scene with so many small parts that their names take more than a page, and with many sheets that are cut alike.
And the same bytes from one job and from four."""

import functools
import html
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


@functools.cache
def page_streams(pdf):
    """The unpacked content streams that draw pages, in order."""
    data = pdf.read_bytes()
    streams = []
    for match in re.finditer(rb"(?<!end)stream\r?\n", data):
        try:
            plain = zlib.decompressobj().decompress(data[match.end():])
        except zlib.error:
            continue
        if plain.startswith(b"1 0 0 -1 0 "):
            streams.append(plain.decode("latin-1"))
    return streams


NUMBER = r"-?\d*\.?\d+"
is_number = re.compile(NUMBER).fullmatch


@functools.cache
def paths(stream):
    return list(walk_paths(stream))


def walk_paths(stream):
    """Paths: how they are painted, line width, corners (of curves nothing); each part of a path alone."""
    width, parts, token = None, [], []
    for word in re.sub(r"BT.*?ET|\((?:\\.|[^\\)])*\)|<[0-9a-f]*>", " ", stream, flags=re.S).split():
        if is_number(word):
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


def check_holes(pdf, report, drawn, edge, mm):
    """Slanted crosses, by their middles, from the front edge and its left end."""
    holes = [facts for block in report["blocks"] if block["kind"] == "holes" for key, facts in block["facts"].items()
             if key.startswith("hole ")]
    crosses = sorted((points for kind, width, points in drawn if kind == "stroke" and width == 0.8 and len(points) == 2
                      and abs(points[0][0] - points[1][0]) == abs(points[0][1] - points[1][1])), key=str)
    middles = {tuple((a + b) / 2 for a, b in zip(*points)) for points in crosses}
    left = facts_of(report, "tape-out", "base")["front_left"]["right_mm"]
    edge = sorted(edge)
    got = sorted((mm(edge[0][1] - y), left + mm(x - edge[0][0])) for x, y in middles)
    wanted = sorted((hole["behind_mm"], hole["right_mm"]) for hole in holes)
    check(len(got) == len(wanted), f"{pdf.name}: {len(got)} holes, wanted {len(wanted)}")
    for a, b in zip(got, wanted):
        check(math.dist(a, b) < 0.5, f"{pdf.name}: a hole at {a}, wanted {b}")


def check_tables(pdf, report):
    """The second page: every table's top, as large as it is."""
    page = run("pdftotext", "-raw", "-f", "2", "-l", "2", pdf, "-")
    scale = int(re.search(r"\b1:(\d+)\b", page).group(1))
    tables = next((block["facts"]["tables"] for block in report["blocks"] if block["kind"] == "tables"), None)
    tops = [points for kind, width, points in paths(page_streams(pdf)[1])
            if kind == "stroke" and width == 0.55 and len(points) == 4]
    check(tables and len(tops) == tables["count"], f"{pdf.name}: {len(tops)} tables")
    for top in tops if tables else []:
        near(long(top[0], top[1]) / POINTS_PER_MM * scale, tables["across_mm"], f"{pdf.name}: a table across")
        near(long(top[1], top[2]) / POINTS_PER_MM * scale, tables["back_mm"], f"{pdf.name}: a table back")


def words_of(pdf):
    """Of each page its words with their places, in the order of the file."""
    pages = []
    for line in run("pdftotext", "-bbox", pdf, "-").splitlines():
        values = [float(value) for value in re.findall(r'"([\d.-]+)"', line)]
        if "<page " in line:
            pages.append((values, []))
        elif "<word " in line:
            pages[-1][1].append((*values, html.unescape(re.sub("<.*?>", "", line).strip())))
    return pages


def cut_headings(words):
    """How far down `Cutting ply, 23/32 in thick, drawn to 1:16` stand, with the stock and the scale."""
    found = []
    for i, word in enumerate(words):
        if word[4] != "Cutting":
            continue
        line = " ".join(other[4] for other in words[i:i + 40] if abs(other[1] - word[1]) < 1)
        match = re.match(r"Cutting (.*), [^,]* thick, drawn to 1:(\d+)", line)
        if match:
            found.append((word[1], match.group(1), int(match.group(2))))
    return found


def area(points):
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1]))) / 2


def box(points):
    return (min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points), max(y for _, y in points))


def edges_of(points):
    """Lengths of its edges, anticlockwise: of a polygon that is laid face down the other way round."""
    points = [point for i, point in enumerate(points) if math.dist(point, points[i - 1]) > 0.05]
    if sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1])) < 0:
        points.reverse()
    return [math.dist(a, b) for a, b in zip(points, points[1:] + points[:1])]


def same_edges(got, wanted):
    return len(got) == len(wanted) and any(
        all(abs(a - b) <= TOLERANCE * b + 0.05 for a, b in zip(got[i:] + got[:i], wanted)) for i in range(len(got)))


def cut_polygon(part, off):
    """A box with its corners cut off, as the report has them."""
    wide, tall = part["wide_mm"], part["tall_mm"]
    cut = lambda corner: (off.get(f"{corner}_along_mm", 0), off.get(f"{corner}_up_mm", 0))
    (a, b), (c, d), (e, f), (g, h) = map(cut, ("left_front", "right_front", "right_rear", "left_rear"))
    return [(0, b), (a, 0), (wide - c, 0), (wide, d), (wide, tall - f), (wide - e, tall), (g, tall), (0, tall - h)]


class Drawn:
    """What is drawn of a stock: sheets with the parts in them, in mm."""

    def __init__(self):
        self.sheets = []

    def take(self, paths_here, scale, captions):
        to_mm = scale / POINTS_PER_MM
        sheets = [box(points) for kind, width, points in paths_here if kind == "stroke" and width == 1.3]
        parts = [points for kind, width, points in paths_here if kind == "stroke" and width == 0.9
                 and len(points) > 2]
        for sheet in sheets:
            inside = [part for part in parts if all(a >= b - 0.01 for a, b in zip(box(part)[:2], sheet[:2]))
                      and all(a <= b + 0.01 for a, b in zip(box(part)[2:], sheet[2:]))]
            above = max((caption for caption in captions if caption[1] < sheet[1] and abs(caption[0] - sheet[0]) < 8),
                        key=lambda caption: caption[1], default=None)
            sizes = [(tuple(sorted(((b[2] - b[0]) * to_mm, (b[3] - b[1]) * to_mm))), area(points) * to_mm ** 2,
                      edges_of([(x * to_mm, -y * to_mm) for x, y in points]))
                     for points, b in ((points, box(points)) for points in inside)]
            self.sheets.append((above[2] if above else 0, (sheet[2] - sheet[0]) * to_mm, (sheet[3] - sheet[1]) * to_mm,
                                sizes))
        self.strays = len(parts) - sum(len(sheet[3]) for sheet in self.sheets[-len(sheets):] if sheets)


def captions_of(words):
    """`sheet 2, new` or `sheets 2, 4-6, new: ..., x 4 alike`: place, and how many sheets it stands for."""
    found = []
    for i, word in enumerate(words):
        if word[4] in ("sheet", "length"):
            found.append((word[0], word[1], 1))
        elif word[4] in ("sheets", "lengths") and words[i + 1][4].endswith(","):
            text = " ".join(other[4] for other in words[i:i + 60])
            match = re.match(r"\w+ ([\d, .-]+), new: .*?, x (\d+) alike", text)
            if match:
                found.append((word[0], word[1], int(match.group(2))))
    return found


def wanted_parts(report, heading, bars):
    """Sizes, areas and edges of all that is cut from a stock, copies counted; None where no words tell them."""
    facts = next(block["facts"] for block in report["blocks"] if block["kind"] == "parts")
    for name, part in facts.items():
        if not isinstance(part, dict) or part.get("stock") != heading:
            continue
        size, surface, edges = None, None, None
        if bars:
            size = (part["long_mm"],)
        else:
            size = tuple(sorted((part["wide_mm"], part["tall_mm"])))
            off = facts.get(f"corners {name}", {})
            if part.get("shape", "with slanted sides") in ("with slanted sides", "a triangle"):
                polygon = cut_polygon(part, off)
                surface, edges = area(polygon), edges_of(polygon)
            if part.get("shape") == "an ellipse":
                surface = math.pi / 4 * size[0] * size[1]
        for _ in range(int(part.get("copies", 1))):
            yield size, surface, edges


def match_parts(pdf, what, got, wanted):
    """Each that is wanted is drawn, and nothing else."""
    got = list(got)
    check(len(got) == len(wanted), f"{pdf.name}: {what}: {len(got)} parts drawn, wanted {len(wanted)}")
    for size, surface, edges in wanted:
        same = [part for part in got if all(abs(a / b - 1) <= TOLERANCE for a, b in zip(part[0], size))
                and (surface is None or abs(part[1] / surface - 1) <= 3 * TOLERANCE)
                and (edges is None or same_edges(part[2], edges))]
        check(same, f"{pdf.name}: {what}: nothing drawn of {size}, {surface}, {edges}")
        if same:
            got.remove(same[0])


def check_cutting(pdf, report, pages):
    stocks = {}
    for (_, words), stream in zip(pages, page_streams(pdf), strict=True):
        headings = cut_headings(words)
        for i, (top, heading, scale) in enumerate(headings):
            bottom = headings[i + 1][0] if i + 1 < len(headings) else 1e9
            here = [path for path in paths(stream) if path[2] and top < path[2][0][1] < bottom]
            drawn = stocks.setdefault(heading, Drawn())
            drawn.take(here, scale, [caption for caption in captions_of(words) if top < caption[1] < bottom])
            check(drawn.strays == 0, f"{pdf.name}: {heading}: {drawn.strays} parts in no sheet")
    blocks = [block for block in report["blocks"] if block["kind"] == "cut"]
    check(sorted(stocks) == sorted({block["name"] for block in blocks}), f"{pdf.name}: cut {sorted(stocks)}")
    for block in blocks:
        check_stock(pdf, report, block, stocks.get(block["name"], Drawn()))


def check_stock(pdf, report, block, drawn):
    facts, name = block["facts"], block["name"]
    bars = "long_mm" in facts.get("new", {}) or any("long_mm" in fact for fact in facts.values() if isinstance(fact, dict))
    sheets = [fact if isinstance(fact, dict) else facts["new"] for key, fact in facts.items() if key.startswith("sheet ")]
    count = sum(sheet[0] for sheet in drawn.sheets)
    check(count == len(sheets), f"{pdf.name}: {name}: {count} sheets drawn, wanted {len(sheets)}")
    key = (lambda sheet: (sheet["long_mm"],)) if bars else (lambda sheet: (sheet["wide_mm"], sheet["tall_mm"]))
    rounded = lambda sizes: tuple(round(size) for size in sizes)
    got = sorted(((wide,) if bars else (wide, tall) for times, wide, tall, _ in drawn.sheets for _ in range(times)),
                 key=rounded)
    for sizes in zip(got, sorted((key(sheet) for sheet in sheets), key=rounded)):
        for a, b in zip(*sizes):
            near(a, b, f"{pdf.name}: a sheet of {name}")
    parts = [part for times, _, _, inside in drawn.sheets for part in inside * times]
    if bars:
        parts = [((part[0][1],), 0, None) for part in parts]
    match_parts(pdf, name, parts, list(wanted_parts(report, name.split(", ")[0], bars)))


def check_scale(pdf, report, words):
    """The first page alone."""
    scale = int(re.search(r"\b1:(\d+)\b", words).group(1))
    drawn = paths(page_streams(pdf)[0])
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
    check_holes(pdf, report, drawn, edges[0], mm)
    bars = [points for kind, width, points in drawn if kind == "stroke" and width == 0.6 and len(points) == 4]
    check(len(bars) == 2, f"{pdf.name}: {len(bars)} bars")
    feet = re.search(r"(?:(\d+)'-(\d+)\"|(\d+) in) at 1:", words)
    inches = int(feet.group(1)) * 12 + int(feet.group(2)) if feet.group(1) else int(feet.group(3))
    wanted = sorted((inches * 25.4, float(re.search(r"(\d+) mm at 1:", words).group(1))))
    for got, length in zip(sorted(mm(long(bar[0], bar[1])) for bar in bars), wanted):
        near(got, length, f"{pdf.name}: bar")


def check_ink(pdf):
    for stream in page_streams(pdf):
        sizes = [math.hypot(float(a), float(b)) for a, b in re.findall(r"(\S+) (\S+) \S+ \S+ \S+ \S+ Tm", stream)]
        widths = [float(width) for width in re.findall(r"(\S+) w\b", stream)]
        check(sizes and min(sizes) >= 8 - 1e-6, f"{pdf.name}: text of {min(sizes, default=0)} points")
        check(widths and min(widths) >= 0.3, f"{pdf.name}: a line of {min(widths, default=0)} points")


ROW = 16  # points


def check_words(pdf, pages):
    """No word off the paper; no two over each other."""
    for number, (page, words) in enumerate(pages, 1):
        rows = {}
        for x0, y0, x1, y1, word in words:
            check(x0 >= 18 and y0 >= 14 and x1 <= page[0] - 18 and y1 <= page[1] - 18,
                  f"{pdf.name}: {word} off page {number}")
            others = {other for row in range(int(y0 // ROW), int(y1 // ROW) + 1) for other in rows.get(row, ())}
            for other in others:
                wide, tall = min(x1, other[2]) - max(x0, other[0]), min(y1, other[3]) - max(y0, other[1])
                if wide >= 0.5 and tall >= 3.5:
                    failures.append(f"{pdf.name}: {word} over {other[4]} on page {number}")
            for row in range(int(y0 // ROW), int(y1 // ROW) + 1):
                rows.setdefault(row, []).append((x0, y0, x1, y1, word))


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
    pages = words_of(pdf)
    check_words(pdf, pages)
    check_tables(pdf, report)
    check_cutting(pdf, report, pages)
    check_numbers(pdf, pdf.with_suffix(".txt").read_text(), words)
    check("docs/safety.md" in words, f"{pdf.name}: no word of care")


def check_many(groundrow, specs, folder):
    """60 boxes of as many sizes and 90 alike ones that take a sheet each, of one board."""
    scene = """scene: Many
drawing: {wide: 420 mm}
mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}
camera: {lens: portrait}
backdrop: {at: {back: 52 in}}
ground: {rear: 54 in}
pieces:
  wall: {shape: box, wide: 38 in, tall: 55 in, deep: 2 in, stock: foam board, at: {across: 0 in, back: 30 in}, row: {count: 90, every: 40 in}}
"""
    for i in range(60):
        scene += (f"  crate {i}: {{shape: box, wide: {2 + i * 7 % 11 / 4} in, tall: {3 + i / 32} in, deep: {2 + i % 8 / 8} in, "
                  f"stock: foam board, at: {{across: {i % 20 * 10 - 100} in, back: {i // 20 * 6 + 5} in}}}}\n")
    book = folder / "specs"
    book.mkdir(parents=True)
    (book / "book.yaml").write_text((specs / "book.yaml").read_text())
    (book / "01-many.yaml").write_text(scene)
    run(groundrow, book, "-o", folder / "output", "--only", "sheets,reports", "--json", "-q")
    pdf = folder / "output" / "01-many.pdf"
    check_cutting(pdf, json.loads(pdf.with_suffix(".json").read_text()), words_of(pdf))


def key_of(words):
    """Numbers that a page explains (`Parts: 4 ground, 9 in x 3 in; 7 ...`), and its other words."""
    at = next((i for i, word in enumerate(words) if word[4] == "Parts:"), None)
    if at is None:
        return [], []
    end = next(i for i in range(at, len(words)) if words[i][4].endswith("."))
    starts = [at + 1] + [i + 1 for i in range(at, end) if words[i][4].endswith(";")]
    return [words[i][4] for i in starts], [word[4] for word in words[:at] + words[end + 1:]]


def check_keys(pdf):
    """Pages hang side by side: of sheets that go on over several, each explains its own numbers, and no others."""
    keys = 0
    for number, (_, words) in enumerate(words_of(pdf), 1):
        texts = [word[4] for word in words]
        if "Cutting" not in texts:
            continue
        key, others = key_of(words)
        keys += bool(key) and texts[0] == "Cutting" and "continued" in texts
        for item in key:
            check(item in others, f"{pdf.name}, page {number}: explains part {item}, which is not on it")
    check(keys > 1, f"{pdf.name}: {keys} pages that go on explain their numbers")


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
        check_keys(pathlib.Path(work) / WHOLE_BOOK_ON / "output" / "book.pdf")
        check_many(groundrow, pathlib.Path(specs), pathlib.Path(work) / "many")
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
