"""Full-size patterns are full size: what the PDF's own drawing commands draw, as poppler reads them (pdftocairo -svg), measured in
points of 1/72 in (ISO 32000-1, 8.3.2.3) against the square's nominal side and the facts' sizes, all to 0.1 %; and neighbouring tiles
join cross on cross. Of the backdrop OpenCV's projectPoints says where the drawing's edges and pixels lie on it.
usage: patterns_check.py GROUNDROW SPECS"""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

import cv2
import numpy as np

from squared_check import project

POINTS_PER_MM = 72 / 25.4
SCENE = "07-over-the-reeds"
MOST = 0.001
DRAWING = "drawings/07-over-the-reeds.png"
STRENGTH = 0.8   # of the drawing on white paper
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


class Backdrop:
    """From places on it, x to the right of its middle and y up from its foot, onto the drawing."""
    def __init__(self, data):
        self.camera = next(c for c in data["cameras"] if c["planned"])
        facts = next(b["facts"] for b in data["blocks"] if b["kind"] == "backdrop")
        self.wide, self.tall = facts["wide"]["mm"], facts["tall"]["mm"]
        self.across, self.back = facts["place"]["across_mm"], facts["place"]["back_mm"]

    def drawn(self, places):
        return project(self.camera, [[self.across + x, self.back, y] for x, y in places])


def check_squared(pdf, page, backdrop, steps_mm):
    """To scale, under squares of a usual side; dashes are where the drawing's edges lie on it."""
    found = paths(pdf, page)
    board = max(found, key=lambda p: size(p)[0] * size(p)[1])
    left, top, right, foot = box(board)
    scale = (right - left) / backdrop.wide
    close((foot - top) / scale * POINTS_PER_MM, backdrop.tall, "the squared-up backdrop's height, by its width")
    columns = sorted({round(p[0][0], 4) for p in found if len(p) == 2 and size(p)[0] < 1e-6 and abs(size(p)[1] - (foot - top)) < 0.02})
    sides = {round((b - a) / scale, 3) for a, b in zip(columns, columns[1:])}
    step = min(steps_mm, key=lambda s: abs(s - max(sides)))
    for side in sides:
        close(side * POINTS_PER_MM, step, "a square's side")
    if len(columns) < 5 or not any(abs(x - (left + right) / 2) < 0.02 for x in columns):
        wrong(f"no line stands in the middle: {columns}")
    wide, tall = backdrop.camera["drawing_mm"]
    drawn = [p for p in found if 4 <= len(p) <= 9 and size(p)[1] > 10 and p is not board and size(p)[0] < size(board)[0] - 1]
    if not drawn:
        wrong("the drawing's edge is not drawn")
    for corners in drawn:
        xs, ys = backdrop.drawn([((x - (left + right) / 2) / scale, (foot - y) / scale) for x, y in corners]).T
        for what, value, wanted in (("left", min(xs), 0), ("right", max(xs), wide), ("upper", max(ys), tall)):
            if abs(value - wanted) > 0.05:
                wrong(f"the drawing's {what} edge lies at {value:.3f} mm of the drawing, not {wanted:.3f}")


def check_tile(pdf, backdrop, paper_mm, rim_mm, foot_mm, folder, specs):
    """The tile B6 of the backdrop at full size: its pixels are those of the drawing."""
    page, fine = page_of(pdf, "backdrop B6"), 4   # px a mm
    tile_mm = paper_mm[0] - 2 * rim_mm, paper_mm[1] - rim_mm - foot_mm
    png = os.path.join(folder, "tile")
    subprocess.run(["pdftocairo", "-png", "-singlefile", "-r", str(25.4 * fine), "-f", str(page), "-l", str(page), pdf, png], check=True)
    paper, drawing = cv2.imread(png + ".png").astype(float), cv2.imread(os.path.join(specs, DRAWING)).astype(float)
    rng = np.random.default_rng(1)
    at = np.column_stack([rng.uniform(16, tile_mm[0] - 16, 4000), rng.uniform(16, tile_mm[1] - 16, 4000)])
    seen = paper[((rim_mm + at[:, 1]) * fine).astype(int), ((rim_mm + at[:, 0]) * fine).astype(int)]
    left, high = -backdrop.wide / 2 - 3 + 5 * (tile_mm[0] - 10), backdrop.tall + 3 - (tile_mm[1] - 10)
    px = drawing.shape[1] / backdrop.camera["drawing_mm"][0]

    def apart(by_mm):
        mm = backdrop.drawn(np.column_stack([left + at[:, 0] + by_mm, high - at[:, 1]]))
        where = np.column_stack([mm[:, 0] * px - 0.5, drawing.shape[0] - mm[:, 1] * px - 0.5]).astype(np.float32)
        there = cv2.remap(drawing, where[:, None, 0], where[:, None, 1], cv2.INTER_LINEAR, borderValue=(255, 255, 255))[:, 0]
        return float(np.abs(255 + STRENGTH * (there - 255) - seen).mean())

    print(f"pixels of the full-size backdrop differ by {apart(0):.2f} of 255, {apart(5):.2f} and {apart(-5):.2f} where it is moved by 5 mm")
    if not apart(0) < 2.5 or not min(apart(5), apart(-5)) > 2 * apart(0):
        wrong("the backdrop's pixels are not the drawing's")


def check(groundrow, specs, folder, paper_mm, square_mm, steps_mm):
    subprocess.run([groundrow, specs, "--scene", SCENE, "--only", "reports", "--json", "--patterns=backdrop", "-q", "-o", folder], check=True)
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

    with open(os.path.join(folder, SCENE + ".json"), encoding="utf-8") as text:
        backdrop = Backdrop(json.load(text))
    check_squared(pdf, page_of(pdf, "backdrop, squared up"), backdrop, steps_mm)
    full = os.path.join(folder, SCENE + ".backdrop.pdf")
    check_tile(full, backdrop, paper_mm, 10, 17, folder, specs)
    for side in size(nearest(paths(full, 1), square_mm, square_mm)):
        close(side, square_mm, "the test square of the backdrop's file")


def main():
    groundrow, specs = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        check(groundrow, specs, os.path.join(folder, "feet"), (215.9, 279.4), 4 * 25.4, (76.2, 152.4, 304.8))
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
        check(groundrow, metric, os.path.join(folder, "mm"), (210, 297), 100, (50, 100, 200))
    sys.exit(1 if failed else 0)


main()
