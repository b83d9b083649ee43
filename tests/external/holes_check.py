#!/usr/bin/python3
"""Where the demo book's bases are drilled, read as a maker reads it, with its own tables and with others: each hole lies under
what stands there, is as far from the seams between the boards as it is told to be, and what is under it is what lies there
when tables and legs are put down as told. Boards are laid out by their places and corners, legs as squares.

    tests/external/holes_check.py GROUNDROW SPECS
"""

import json
import math
import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile

HAIR = 0.02  # data is rounded to 0.001 mm, and added up
INCH = 25.4


def facts_of(report, kind):
    return {block["name"]: block["facts"] for block in report["blocks"] if block["kind"] == kind}


def corners_of(part, cut):
    """A board's outline from its box and what is sawn off its corners, anticlockwise from the left front."""
    left, low, wide, tall = part.get("right_mm", 0), part.get("behind_mm", 0), part["wide_mm"], part["tall_mm"]
    right, high, outline = left + wide, low + tall, []
    for name, x, y, first in (("left_front", left, low, "up"), ("right_front", right, low, "along"),
                              ("right_rear", right, high, "up"), ("left_rear", left, high, "along")):
        along, up = cut.get(name + "_along_mm", 0), cut.get(name + "_up_mm", 0)
        beside = (x + along * (1 if x == left else -1), y)
        above = (x, y + up * (1 if y == low else -1))
        outline += [(x, y)] if not along else [above, beside] if first == "up" else [beside, above]
    return outline


def to_segment(point, a, b):
    (px, py), (ax, ay), (bx, by) = point, a, b
    length = (bx - ax) ** 2 + (by - ay) ** 2
    t = min(max(((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / length, 0), 1) if length else 0
    return math.hypot(px - ax - t * (bx - ax), py - ay - t * (by - ay))


def seams_of(parts):
    """Sides of boards that are not sides of the whole base: square to it or along it, and inside."""
    boards = [corners_of(part, parts.get("corners " + name, {})) for name, part in parts.items() if re.match(r"base \d+ of \d+$", name)]
    points = [point for board in boards for point in board]
    if not points:
        return []
    low, high = min(y for _, y in points), max(y for _, y in points)
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    seams = []
    for board in boards:
        for a, b in zip(board, board[1:] + board[:1]):
            level = abs(a[1] - b[1]) < HAIR and low + HAIR < a[1] < high - HAIR
            square = abs(a[0] - b[0]) < HAIR and left + HAIR < a[0] < right - HAIR
            if (level or square) and math.dist(a, b) > HAIR:
                seams.append((a, b))
    return seams


def tables_of(facts):
    one, rows, tables = facts["tables"], [], []
    apart = one.get("apart_mm", 0)
    for key, row in facts.items():
        if re.match(r"row \d+$", key):
            rows.append((int(key[4:]), row))
    for number, row in rows:
        for column in range(row["count"]):
            left = row["right_mm"] + column * (one["across_mm"] + apart)
            name = f"row {number}" if row["count"] == 1 else f"row {number}, table {column + 1}"
            tables.append((name, left, row["behind_mm"], one["across_mm"], one["back_mm"]))
    return tables


def to_box(point, left, low, wide, tall):
    """From a place to a box's outline; negative inside."""
    (x, y) = point
    dx, dy = max(left - x, x - left - wide), max(low - y, y - low - tall)
    return math.hypot(max(dx, 0), max(dy, 0)) if max(dx, dy) > 0 else max(dx, dy)


def under(point, tables, legs, clear):
    """Every answer that would be right, where it is close."""
    answers = []
    for hair in (-HAIR, HAIR):
        found = {}
        for name, left, low, wide, tall in tables:
            thick, inset = legs["thick_mm"], legs.get("inset_mm", 0)
            squares = [(x, y) for x in (left + inset, left + wide - inset - thick) for y in (low + inset, low + tall - inset - thick)]
            edge = to_box(point, left, low, wide, tall)
            if min(to_box(point, x, y, thick, thick) for x, y in squares) < clear["of_legs_mm"] + hair:
                found.setdefault("over a leg of", name)
            elif abs(edge) < clear["of_edges_mm"] + hair:
                found.setdefault("over the edge of", name)
            elif edge < 0:
                found.setdefault("over", name)
        for how in ("over a leg of", "over the edge of", "over"):
            if how in found:
                answers.append(f"{how} {found[how]}")
                break
        else:
            answers.append("over no table")
    return answers


def check_holes(where, report):
    holes = facts_of(report, "holes").get("")
    if not holes:
        return
    seams = seams_of(facts_of(report, "parts").get("", {}))
    tables = tables_of(facts_of(report, "tables")[""])
    for key, hole in holes.items():
        if not key.startswith("hole "):
            continue
        point = (hole.get("right_mm", 0), hole.get("behind_mm", 0))
        answers = under(point, tables, holes["legs"], holes["clear"])
        if hole["under"] not in answers:
            yield f"{where}: {key} is told to be {hole['under']}, but is {answers}"
        if ("seam_mm" in hole) != bool(seams):
            yield f"{where}: {key} tells of a seam, or not"
        elif seams and abs(hole["seam_mm"] - min(to_segment(point, *seam) for seam in seams)) > HAIR:
            yield f"{where}: {key} is {min(to_segment(point, *seam) for seam in seams):.3f} mm from a seam, told {hole['seam_mm']}"
    yield from check_places(where, report, holes)


def check_places(where, report, holes):
    """A puppet's hole is where it is taped; those at two ends are as far apart as the thing is long, less 2 in at each."""
    taped = facts_of(report, "tape-out")
    for block in report["blocks"]:
        name = block["name"]
        if block["kind"] not in ("puppet", "piece", "flat"):
            continue
        hole, place = holes.get("hole " + name), taped.get(name, {}).get("place")
        panel, round_one = block["kind"] == "flat", block["facts"].get("shape") in ("post", "cone") or block["kind"] == "puppet"
        if hole and place and round_one and any(abs(hole[key] - place[key]) > HAIR for key in ("behind_mm", "right_mm")):
            yield f"{where}: {name} stands at {place}, its hole is at {hole}"
        ends = [holes.get(f"hole {name}, {end} end") for end in ("left", "right")]
        if all(ends) and (panel or not round_one):
            long = block["facts"]["wide"]["mm"]
            apart = math.hypot(ends[0]["behind_mm"] - ends[1]["behind_mm"], ends[0]["right_mm"] - ends[1]["right_mm"])
            if abs(apart - (long - 2 * min(2 * INCH, long / 4))) > HAIR:
                yield f"{where}: the holes of {name}, {long} mm long, are {apart} mm apart"


def with_table(book, chance):
    table = "table: {wide: %d in, deep: %d in, tall: 29 in, apart: %d in, legs: {inset: %d in, thick: %d in}}" % (
        chance.randint(20, 80), chance.randint(18, 40), chance.choice([0, 0, 2, 9]), chance.randint(0, 5), chance.randint(1, 4))
    return re.sub(r"^table: .*$", table, book, flags=re.M)


def main():
    faults, holes, chance = [], 0, random.Random(508)
    with tempfile.TemporaryDirectory() as where:
        specs, output = pathlib.Path(where) / "specs", pathlib.Path(where) / "output"
        shutil.copytree(sys.argv[2], specs)
        book = (specs / "book.yaml").read_text()
        for turn in range(8):
            (specs / "book.yaml").write_text(with_table(book, chance) if turn else book)
            done = subprocess.run([sys.argv[1], "-q", "--json", "--only", "reports", specs, "-o", output], timeout=300, stderr=subprocess.DEVNULL)
            if done.returncode != 0:
                sys.exit(f"turn {turn}: exit code {done.returncode}")
            for path in sorted(output.glob("*.json")):
                report = json.loads(path.read_text())
                holes += sum(key.startswith("hole ") for key in facts_of(report, "holes").get("", {}))
                faults += check_holes(f"turn {turn}, {path.stem}", report)
    for fault in faults[:20]:
        print(fault)
    print(f"{holes} holes, {len(faults)} faults")
    return 1 if faults or holes < 300 else 0


if __name__ == "__main__":
    sys.exit(main())
