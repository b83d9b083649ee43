#!/usr/bin/python3
"""Nests of random part lists, held to what a saw can do.

    tests/external/nest_check.py DRIVER [LISTS]

From where the parts lie alone, without the program's own cuts: every part once and in its sheet, no two nearer than
the saw is wide, and each sheet to be taken apart by straight cuts through whole pieces. Then the program's cuts, one
after the other: each runs through its piece from edge to edge, and what it makes of it is what is said; the areas
add up; what is kept is rectangular and empty.

Sheets on average against the bound by area: docs/cutting.md states the shares that are held here.
"""

import math
import random
import subprocess
import sys

NEAR = 1e-4  # mm


def rotate(outline, wide, tall, turns):
    for _ in range(turns):
        outline = [(tall - y, x) for x, y in outline]
        wide, tall = tall, wide
    return outline, wide, tall


def area(polygon):
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(polygon, polygon[1:] + polygon[:1])) / 2


def edges(polygon):
    """Outward normals and how far out they are."""
    for (ax, ay), (bx, by) in zip(polygon, polygon[1:] + polygon[:1]):
        length = math.hypot(bx - ax, by - ay)
        if length > NEAR:
            nx, ny = (by - ay) / length, (ax - bx) / length
            yield nx, ny, nx * ax + ny * ay


def spread(polygon, nx, ny):
    along = [nx * x + ny * y for x, y in polygon]
    return min(along), max(along)


def apart(parts, kerf):
    """A cut along some edge, upright or level, with parts on both sides of the saw: the two groups, or None."""
    tried = set()
    for part in parts:
        square = [(nx, ny, spread(part, nx, ny)[1]) for nx, ny in ((1, 0), (0, 1), (-1, 0), (0, -1))]
        for nx, ny, at in [*square, *edges(part)]:
            key = (round(nx, 6), round(ny, 6), round(at, 3))
            if key in tried:
                continue
            tried.add(key)
            first, second = [], []
            for other in parts:
                least, most = spread(other, nx, ny)
                if most <= at + NEAR:
                    first.append(other)
                elif least >= at + kerf - NEAR:
                    second.append(other)
                else:
                    break
            else:
                if first and second:
                    return first, second
    return None


def guillotine(parts, kerf):
    """A cut that parts a group never hurts its halves, so the first one that is found will do."""
    waiting = [parts]
    while waiting:
        group = waiting.pop()
        if len(group) < 2:
            continue
        halves = apart(group, kerf)
        if halves is None:
            return False
        waiting += halves
    return True


def to_segment(p, a, b):
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = max(0, min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy or 1)))
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def distance_at_least(a, b, kerf):
    """Two convex outlines do not overlap, and are so far apart at their nearest points."""
    beside = [spread(two, nx, ny)[0] - at for one, two in ((a, b), (b, a)) for nx, ny, at in edges(one)]
    if max(beside) < -NEAR:
        return False
    return max(beside) >= kerf - NEAR or kerf - NEAR <= min(
        to_segment(p, u, v) for one, two in ((a, b), (b, a)) for p in one for u, v in zip(two, two[1:] + two[:1]))


def clip(polygon, nx, ny, at):
    """What of a convex polygon is on this side."""
    kept = []
    for a, b in zip(polygon, polygon[1:] + polygon[:1]):
        over_a, over_b = nx * a[0] + ny * a[1] - at, nx * b[0] + ny * b[1] - at
        if over_a <= 0:
            kept.append(a)
        if (over_a < 0 < over_b) or (over_b < 0 < over_a):
            t = over_a / (over_a - over_b)
            kept.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
    return kept


class Task:
    def __init__(self, kerf, keep, effort, whole, have, items):
        self.kerf, self.keep, self.effort, self.whole, self.have, self.items = kerf, keep, effort, whole, have, items

    def text(self):
        lines = ["task %r %r %r %r %r %r %d %d" % (self.kerf, self.keep, self.effort, *self.whole, len(self.have),
                                                   len(self.items))]
        lines += ["%r %r %r" % sheet for sheet in self.have]
        for wide, tall, turn, copies, outline in self.items:
            corners = "" if outline is None else " " + " ".join("%r %r" % corner for corner in outline)
            lines.append("%r %r %d %d %d%s" % (wide, tall, turn, copies, outline is not None, corners))
        return "\n".join(lines) + "\n"


class Nest:
    def __init__(self, lines):
        def take(count, kind=float):
            return [[kind(word) for word in next(lines).split()] for _ in range(count)]

        head = next(lines).split()
        assert head[0] == "nest", head
        (sheets, self.new, self.bound, placements, too_large, left, pieces, cuts, offcuts) = map(int, head[1:10])
        self.sheets_mm2, self.parts_mm2, self.offcuts_mm2, self.waste_mm2 = map(float, head[10:])
        self.sheets = take(sheets)
        self.placements = take(placements)
        self.too_large = [row[0] for row in take(too_large, int)]
        self.left = [tuple(row) for row in take(left, int)]
        self.pieces = take(pieces)
        self.cuts = take(cuts)
        self.offcuts = take(offcuts)


def nests(driver, tasks):
    done = subprocess.run([driver], input="".join(task.text() for task in tasks), text=True, capture_output=True)
    if done.returncode:
        sys.exit("the driver ended with %d\n%s" % (done.returncode, done.stderr))
    lines = iter(done.stdout.splitlines())
    return [Nest(lines) for _ in tasks]


def fits(wide, tall, turn, sheet):
    w, h = sheet[0] - 2 * sheet[2] + 1e-6, sheet[1] - 2 * sheet[2] + 1e-6
    return (wide <= w and tall <= h) or (turn and tall <= w and wide <= h)


def outline_of(task, item):
    wide, tall, _, _, outline = task.items[item]
    return outline or [(0, 0), (wide, 0), (wide, tall), (0, tall)]


def placed(task, nest):
    """Outlines by sheet, from the placements."""
    sheets = [[] for _ in nest.sheets]
    for item, copy, sheet, x, y, turns in nest.placements:
        wide, tall, turn, _, _ = task.items[int(item)]
        assert turn or turns % 2 == 0, "turned against its grain"
        outline, _, _ = rotate(outline_of(task, int(item)), wide, tall, int(turns))
        sheets[int(sheet)].append([(x + px, y + py) for px, py in outline])
    return sheets


def check_placements(task, nest):
    seen = sorted((int(p[0]), int(p[1])) for p in nest.placements)
    large, expected = [], []
    for i, (wide, tall, turn, copies, _) in enumerate(task.items):
        sheets = task.have + ([task.whole] if task.whole[0] > 0 else [])
        if any(fits(wide, tall, turn, sheet) for sheet in sheets):
            expected += [(i, copy) for copy in range(copies)]
        elif copies:
            large.append(i)
    assert nest.too_large == large, "too large"
    assert sorted(seen + nest.left) == expected, "every part once"
    assert not nest.left or task.whole[0] == 0 or any(
        not fits(*task.items[i][:3], task.whole) for i, _ in nest.left), "left over, though there is a sheet for it"
    have = [int(s[0]) for s in nest.sheets]
    assert [h for h in have if h >= 0] == sorted(set(h for h in have if h >= 0)), "in stock once each"
    assert have[len(have) - nest.new:] == [-1] * nest.new and have.count(-1) == nest.new, "new ones last"
    for row, h in zip(nest.sheets, have):
        assert all(abs(a - b) < 1e-6 for a, b in zip(row[1:4], task.have[h] if h >= 0 else task.whole)), "its size"
    for row, parts in zip(nest.sheets, placed(task, nest)):
        assert parts, "a sheet without parts"
        wide, tall, trim = row[1:4]
        for part in parts:
            assert all(trim - NEAR <= x <= wide - trim + NEAR and trim - NEAR <= y <= tall - trim + NEAR
                       for x, y in part), "outside of its sheet"
        for i, a in enumerate(parts):
            for b in parts[:i]:
                assert distance_at_least(a, b, task.kerf), "nearer than the saw is wide"
        assert guillotine(parts, task.kerf), "no straight cut through the whole piece"
        assert abs(sum(map(area, parts)) - row[4]) < 1e-3 * (1 + row[4]), "area of parts"


def same_polygon(a, b):
    return abs(area(a) - area(b)) < 0.1 + 1e-6 * abs(area(a)) and all(
        min(math.hypot(x - u, y - v) for u, v in b) < 1e-2 for x, y in a)


def corners_of(piece):
    return list(zip(piece[4::2], piece[5::2]))


def check_cut(task, nest, cut, whole):
    sheet, kind, _, piece, x1, y1, x2, y2, first, second = cut
    polygon = corners_of(nest.pieces[int(piece)])
    assert nest.pieces[int(piece)][0] == sheet and nest.pieces[int(piece)][1] == 0
    length = math.hypot(x2 - x1, y2 - y1)
    assert length > NEAR
    nx, ny = (y2 - y1) / length, (x1 - x2) / length  # to the right of the way; level ones go up instead
    if kind == 1:
        nx, ny = 0, 1
        assert abs(y1 - y2) < NEAR and x2 > x1
    else:
        assert y2 > y1 and (kind == 2) == (abs(x1 - x2) >= 1e-9)
    at = nx * x1 + ny * y1 - (task.kerf if first < 0 else 0)
    # From edge to edge: both ends are on the piece's outline.
    for x, y in ((x1, y1), (x2, y2)):
        assert max(ex * x + ey * y - out for ex, ey, out in edges(polygon)) > -1e-3, "ends inside the piece"
        assert max(ex * x + ey * y - out for ex, ey, out in edges(polygon)) < 1e-3, "ends outside of the piece"
    for index, part in ((first, clip(polygon, nx, ny, at)), (second, clip(polygon, -nx, -ny, -at - task.kerf))):
        if index < 0:
            assert len(part) < 3 or abs(area(part)) < 1e-3 * (1 + length), "something is left there"
            continue
        assert same_polygon(corners_of(nest.pieces[int(index)]), part), "not what the cut makes of it"
        assert int(index) not in whole, "cut before it is there"
        whole.add(int(index))


def check_cuts(task, nest):
    there = set()
    for i, piece in enumerate(nest.pieces):
        if i == 0 or nest.pieces[i - 1][0] != piece[0]:
            there.add(i)
            wide, tall = nest.sheets[int(piece[0])][1:3]
            assert same_polygon(corners_of(piece), [(0, 0), (wide, 0), (wide, tall), (0, tall)])
    cut_once = set()
    for cut in nest.cuts:
        assert int(cut[3]) in there and int(cut[3]) not in cut_once
        cut_once.add(int(cut[3]))
        check_cut(task, nest, cut, there)
    assert there == set(range(len(nest.pieces))), "a piece from nowhere"
    sheets = placed(task, nest)
    parts, kept = 0, []
    order = {}
    for i, p in enumerate(nest.placements):
        order[i] = sheets[int(p[2])].pop(0)
    for i, piece in enumerate(nest.pieces):
        polygon = corners_of(piece)
        assert area(polygon) > 0
        assert (piece[1] == 0) == (i in cut_once), "cut further or not"
        assert (piece[1] == 1) == (piece[2] >= 0)
        if piece[1] == 1:
            parts += 1
            assert same_polygon(order[int(piece[2])], polygon), "a part that is not its outline"
        if piece[1] == 2:
            kept.append((area(polygon), piece[0], polygon))
    assert parts == len(nest.placements)
    assert len(kept) == len(nest.offcuts)
    sizes = []
    for sheet, x, y, wide, tall in nest.offcuts:
        assert min(wide, tall) >= task.keep - NEAR and min(wide, tall) > 0
        assert any(s == sheet and same_polygon(p, [(x, y), (x + wide, y), (x + wide, y + tall), (x, y + tall)])
                   for _, s, p in kept), "an offcut that is no piece"
        sizes.append(wide * tall)
    assert all(a >= b - 1e-6 for a, b in zip(sizes, sizes[1:])), "the largest first"
    assert abs(sum(sizes) - nest.offcuts_mm2) < 1e-6 * (1 + nest.offcuts_mm2) + 1
    total = sum(row[1] * row[2] for row in nest.sheets)
    assert abs(total - nest.sheets_mm2) < 1 and nest.waste_mm2 >= -1
    assert abs(total - nest.parts_mm2 - nest.offcuts_mm2 - nest.waste_mm2) < 1


def check_bound(task, nest):
    if task.whole[0] <= 0:
        return
    usable = (task.whole[0] - 2 * task.whole[2] + task.kerf) * (task.whole[1] - 2 * task.whole[2] + task.kerf)
    assert 0 <= nest.bound <= nest.new or nest.left
    placed_mm2 = sum(area(outline_of(task, int(p[0]))) for p in nest.placements)
    in_stock = sum(w * h for w, h, _ in task.have)
    assert nest.bound >= math.ceil((placed_mm2 - in_stock) / usable - 1e-6) - (1 if task.have else 0)


def trapezoid(rng, wide, tall):
    """Right, isosceles, general or a triangle, level or upright, any way round."""
    kind = rng.randrange(5)
    a, b = {0: (0, rng.uniform(0.05, 0.7)), 1: (s := rng.uniform(0.02, 0.45), s),
            2: (rng.uniform(0, 0.45), rng.uniform(0, 0.45)), 3: (rng.uniform(0.05, 0.7), 0),
            4: (t := rng.choice([0, 0.5, 1, rng.random()]), 1 - t)}[kind]
    outline = [(0, 0), (wide, 0), (wide * (1 - b), tall), (wide * a, tall)]
    if rng.random() < 0.5:
        outline, _, _ = rotate(outline, wide, tall, 2)
    if rng.random() < 0.3:
        outline, wide, tall = rotate(outline, wide, tall, 1)
    return wide, tall, outline


def quadrilateral(rng, wide, tall):
    at = [rng.uniform(0.1, 0.9) for _ in range(4)]
    return [(wide * at[0], 0), (wide, tall * at[1]), (wide * at[2], tall), (0, tall * at[3])]


def random_task(rng):
    whole = rng.choice([(2440, 1220, 0), (1220, 2440, 10), (1000, 700, 0), (3050, 1525, 5), (1016, 762, 0)])
    kerf = rng.choice([0, 0, 2, 3.2, 4])
    have = [(rng.uniform(200, 1500), rng.uniform(150, 900), rng.choice([0, 0, 3])) for _ in
            range(rng.choice([0, 0, 1, 2, 5]))]
    if rng.random() < 0.02:
        have.append((60, 900, 30))
    if rng.random() < 0.08 and have:
        whole = (0, 0, 0)
    size = max(whole[0], 1000)
    items = []
    grain = rng.random() < 0.4
    for _ in range(rng.choice([1, 2, 3, 5, 8, 12, 20])):
        wide, tall = rng.uniform(20, 0.55 * size), rng.uniform(20, 0.45 * size)
        if rng.random() < 0.5:
            wide, tall = round(wide / 25.4) * 25.4 or 25.4, round(tall / 25.4) * 25.4 or 25.4
        copies = rng.choice([1, 1, 1, 2, 3, 6])
        turn = not grain and rng.random() < 0.9
        outline = None
        pick = rng.random()
        if pick < 0.3:
            wide, tall, outline = trapezoid(rng, wide, tall)
        elif pick < 0.35:
            outline = quadrilateral(rng, wide, tall)
        elif pick < 0.36:
            wide *= 4
        items.append((wide, tall, turn, copies, outline))
    return Task(kerf, rng.choice([0, 0, 100, 300]), 0.1, whole, have, items)


def check(task, nest):
    check_placements(task, nest)
    check_cuts(task, nest)
    check_bound(task, nest)


def share_over_bound(driver, rng, lists, parts, turn):
    """New sheets over those of the bound, all together, for lists of so many parts like a book's."""
    tasks = []
    for _ in range(lists):
        items = [(rng.uniform(80, 1300), rng.uniform(80, 900), turn, 1, None) for _ in range(parts)]
        tasks.append(Task(3.2, 0, 1, (2440, 1220, 0), [], items))
    done = nests(driver, tasks)
    for task, nest in zip(tasks, done):
        check(task, nest)
    return sum(n.new for n in done) / sum(n.bound for n in done) - 1


# Parts a list, lists, turned -> the most that is stated of the sheets over the bound.
OVER_BOUND = {(10, 40, 0): 0.18, (10, 40, 1): 0.10, (30, 20, 0): 0.15, (30, 20, 1): 0.08, (100, 6, 0): 0.10,
              (100, 6, 1): 0.08}


def main():
    driver, lists = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 3000
    rng = random.Random(20)
    tasks = [random_task(rng) for _ in range(lists)]
    done = nests(driver, tasks)
    again = nests(driver, tasks[:50])
    slanted = joined = 0
    for i, (task, nest) in enumerate(zip(tasks, done)):
        try:
            check(task, nest)
        except AssertionError as fault:
            sys.exit("list %d: %s\n%s" % (i, fault, task.text()))
        slanted += sum(cut[1] == 2 for cut in nest.cuts)
        joined += sum(cut[1] == 2 and min(cut[8:]) >= 0 and
                      all(nest.pieces[int(k)][1] < 2 for k in cut[8:]) for cut in nest.cuts)
    assert slanted > lists and joined > lists / 10, (slanted, joined)
    for a, b in zip(done, again):
        assert a.placements == b.placements and a.cuts == b.cuts, "not the same nest again"
    print("%d lists, %d parts, %d cuts, %d of them slanted, %d between two parts" % (
        lists, sum(len(n.placements) for n in done), sum(len(n.cuts) for n in done), slanted, joined))
    for (parts, some, turn), most in OVER_BOUND.items():
        share = share_over_bound(driver, random.Random(5), some, parts, turn)
        print("lists of %d parts, %s: %.1f %% over the area bound" % (parts, "turned" if turn else "not turned",
                                                                      100 * share))
        assert share <= most, (parts, turn, share)


if __name__ == "__main__":
    main()
