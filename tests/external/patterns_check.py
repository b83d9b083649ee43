"""Full-size patterns are full size: what the PDF's own drawing commands draw, as poppler reads them (pdftocairo -svg), measured in
points of 1/72 in (ISO 32000-1, 8.3.2.3) against the square's nominal side and the facts' sizes, all to 0.1 %; and neighbouring tiles
join cross on cross.
usage: patterns_check.py GROUNDROW SPECS"""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

POINTS_PER_MM = 72 / 25.4
SCENE = "07-over-the-reeds"
MOST = 0.001
failed = 0


def wrong(text):
    global failed
    failed += 1
    print(text)


def close(value_pt, wanted_mm, what):
    value = value_pt / POINTS_PER_MM
    print(f"{what}: {value:.3f} mm for {wanted_mm:.3f}")
    if not abs(value / wanted_mm - 1) < MOST:
        wrong(f"{what} is {value:.4f} mm, not {wanted_mm:.4f}")


def paths(pdf, page):
    """Every stroked path of a page, as lists of points from its upper left corner."""
    with tempfile.TemporaryDirectory() as folder:   # -noshrink: else pages that are no whole points wide are shrunk until they are
        svg = os.path.join(folder, "page.svg")
        subprocess.run(["pdftocairo", "-svg", "-noshrink", "-f", str(page), "-l", str(page), pdf, svg], check=True)
        with open(svg, encoding="utf-8") as text:
            tags = re.findall(r"<path [^>]*fill:none[^>]*>", text.read())
    found = []
    for tag in tags:
        numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", re.search(r' d="([^"]*)"', tag).group(1))]
        a, b, c, d, e, f = 1, 0, 0, 1, 0, 0
        matrix = re.search(r'transform="matrix\(([^)]*)\)"', tag)
        if matrix:
            a, b, c, d, e, f = (float(n) for n in matrix.group(1).split(","))
        points = list(zip(numbers[::2], numbers[1::2]))
        found.append([(a * x + c * y + e, b * x + d * y + f) for x, y in points])
    return found


def box(points):
    xs, ys = zip(*points)
    return min(xs), min(ys), max(xs), max(ys)


def size(points):
    left, top, right, foot = box(points)
    return right - left, foot - top


def nearest(found, wide_mm, tall_mm):
    wanted = wide_mm * POINTS_PER_MM, tall_mm * POINTS_PER_MM
    return min(found, key=lambda p: abs(size(p)[0] - wanted[0]) + abs(size(p)[1] - wanted[1]))


def page_of(pdf, name):
    pages = subprocess.run(["pdftotext", "-layout", pdf, "-"], check=True, stdout=subprocess.PIPE, text=True).stdout.split("\f")
    for i, text in enumerate(pages):
        if re.search(rf"^\s*{re.escape(name)}\s", text, re.M):
            return i + 1
    sys.exit(f"no page says `{name}`")


def sizes(folder):
    with open(os.path.join(folder, SCENE + ".json"), encoding="utf-8") as text:
        facts = json.load(text)
    return {b["name"]: b["facts"] for b in facts["blocks"] if b["kind"] in ("piece", "puppet")}


def crosses(found):
    """Where the registration circles are."""
    radius = 1.5 * POINTS_PER_MM
    return [((box(p)[0] + box(p)[2]) / 2, (box(p)[1] + box(p)[3]) / 2) for p in found
            if len(p) >= 8 and abs(size(p)[0] - 2 * radius) < 0.05 and size(p)[1] < 3 * radius]   # curves, by their control points


def check(groundrow, specs, folder, paper_mm, square_mm):
    subprocess.run([groundrow, specs, "--scene", SCENE, "--only", "reports", "--json", "--patterns", "-q", "-o", folder], check=True)
    pdf, facts = os.path.join(folder, SCENE + ".patterns.pdf"), sizes(folder)
    page = re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", subprocess.run(["pdfinfo", pdf], check=True, stdout=subprocess.PIPE, text=True).stdout)
    for got, wanted in zip(page.groups(), paper_mm):
        close(float(got), wanted, "the paper")
    square = nearest(paths(pdf, 1), square_mm, square_mm)
    for side in size(square):
        close(side, square_mm, "the test square")

    clump = facts["reed clump"]
    outline = max(paths(pdf, page_of(pdf, "reed clump A1")), key=len)
    if len(outline) < 30:
        wrong("the clump has no traced outline")
    close(size(outline)[0], clump["wide"]["mm"], "the cutout's width")
    close(size(outline)[1], clump["tall"]["mm"], "the cutout's height")

    vole = facts["vole"]["tall"]["mm"]
    planned = nearest(paths(pdf, page_of(pdf, "vole A1")), facts["vole"]["wide"]["mm"], vole)
    close(size(planned)[1], vole, "the vole's height")

    heron = facts["heron"]
    first, second = (paths(pdf, page_of(pdf, f"heron A{i}")) for i in (1, 2))
    box_of = [nearest(p, heron["wide"]["mm"], heron["tall"]["mm"]) for p in (first, second)]
    close(size(box_of[0])[0], heron["wide"]["mm"], "the heron's box, over four tiles")
    right, left = max(crosses(first)), min(crosses(second), key=lambda c: (c[0], -c[1]))
    across = (box(box_of[0])[0] - right[0]) - (box(box_of[1])[0] - left[0])
    down = (box(box_of[0])[1] - right[1]) - (box(box_of[1])[1] - left[1])
    if len(crosses(first)) != 4 or max(abs(across), abs(down)) > 0.01:
        wrong(f"tiles do not join: {across:.4f}, {down:.4f} pt off, {len(crosses(first))} crosses")


def main():
    groundrow, specs = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        check(groundrow, specs, os.path.join(folder, "feet"), (215.9, 279.4), 4 * 25.4)
        metric = os.path.join(folder, "specs")
        shutil.copytree(specs, metric)
        book = os.path.join(metric, "book.yaml")
        with open(book, encoding="utf-8") as text:
            words = text.read()
        changed = re.sub(r"^lengths:.*$", "lengths: millimetres", words, flags=re.M)
        if changed == words:
            sys.exit("the book says nothing of lengths")
        with open(book, "w", encoding="utf-8") as out:
            out.write(changed)
        check(groundrow, metric, os.path.join(folder, "mm"), (210, 297), 100)
    sys.exit(1 if failed else 0)


main()
