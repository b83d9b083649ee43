#!/usr/bin/python3
"""Random books whose sets are built one after another, held to what is really there.

    tests/external/again_check.py DRIVER [BOOKS]

A store is kept beside the program's account: every sheet, offcut and panel is a thing that is there once. Whatever a
scene is said to be made from must be there when its turn comes, and be gone then: on hand and not used before; kept of
an earlier sheet, of that size; a part of an earlier set, struck, that keeps its shape and is not the book's. What
serves as it is has its corners where they are wanted; what is cut down holds the other's outline, found here by trying
every shift that can matter; a rectangle taken from a struck part lies in it. Each nest is one that a saw can cut, by
nest_check. What goes into the book is what is left and what is said to be wasted, to the square millimetre.

Never more new sheets than without use again, for any stock.
"""

import itertools
import math
import random
import subprocess
import sys

import nest_check
from nest_check import area, edges, rotate

NEVER, WHOLE, CUT = range(3)
ON_HAND, OFFCUT, STRUCK = range(3)
KEEP, NEAR, TOLD = 152.4, 2e-3, 5e-3


class Part:
    def __init__(self, wide, tall, turn, copies, outline, keeps=True, of_book=False):
        self.wide, self.tall, self.turn, self.copies = wide, tall, turn, copies
        self.outline, self.keeps, self.of_book = outline, keeps, of_book
        self.corners = outline or [(0, 0), (wide, 0), (wide, tall), (0, tall)]

    def text(self):
        corners = "" if self.outline is None else " " + " ".join("%r %r" % corner for corner in self.outline)
        return "%d %d %r %r %d %d %d%s" % (self.keeps, self.of_book, self.wide, self.tall, self.turn, self.copies,
                                           self.outline is not None, corners)


class Book:
    def __init__(self, again, alike, kerf, whole, have, scenes):
        self.again, self.alike, self.kerf, self.whole, self.have, self.scenes = again, alike, kerf, whole, have, scenes

    def text(self, again=None):
        lines = ["book %d %r %r %r %r %d %d" % (self.again if again is None else again, self.alike, self.kerf,
                                                *self.whole, len(self.have), len(self.scenes))]
        lines += ["%r %r 0" % size for size in self.have]
        for scene in self.scenes:
            lines += ["scene %d" % len(scene), *(part.text() for part in scene)]
        return "\n".join(lines) + "\n"


class Cut:
    def __init__(self, lines):
        head = next(lines).split()
        assert head[0] == "cut", head
        self.scene, items, have, again = map(int, head[1:])
        self.items = [tuple(map(int, next(lines).split())) for _ in range(items)]
        self.found = [next(lines).split() for _ in range(have)]
        self.again = [tuple(map(float, next(lines).split())) for _ in range(again)]
        self.again = [(*map(int, row[:6]), *row[6:]) for row in self.again]
        self.nest = nest_check.Nest(lines)


class Account:
    def __init__(self, lines):
        head = next(lines).split()
        assert head[0] == "book", head
        (self.in_turn, cuts, self.new, self.at_once, self.bound, self.on_hand, self.lacking, self.whole,
         self.cut) = map(int, head[1:10])
        self.sheets_mm2, self.waste_mm2 = map(float, head[10:])
        self.cuts = [Cut(lines) for _ in range(cuts)]


def turned(part, turn):
    return [rotate(part.corners, part.wide, part.tall, turns) for turns in range(4) if turn or turns % 2 == 0]


def serves(panel, wanted, alike):
    """Some turn lays every corner within `alike` of a wanted one, in order: by how much off, or None."""
    off = min(max(max(abs(x - u), abs(y - v)) for (x, y), (u, v) in
                  zip(outline[first:] + outline[:first], wanted.corners))
              for outline, _, _ in turned(panel, wanted.turn) for first in range(4))
    return off if off <= alike + 1e-6 else None


def lies_in(outline, at, panel, near=NEAR):
    """Moved there, every corner of an outline is inside of a convex panel."""
    return all(nx * (x + at[0]) + ny * (y + at[1]) <= out + near for nx, ny, out in edges(panel) for x, y in outline)


def holds(panel, outline):
    """Some shift lays an outline inside a convex panel: if any, then one at which two of the conditions are just met."""
    sides = [(nx, ny, at - max(nx * x + ny * y for x, y in outline) + NEAR) for nx, ny, at in edges(panel)]
    for (ax, ay, a), (bx, by, b) in itertools.combinations(sides, 2):
        det = ax * by - ay * bx
        if abs(det) > 1e-12 and lies_in(outline, ((a * by - b * ay) / det, (ax * b - bx * a) / det), panel, 2 * NEAR):
            return True
    return False


def take(store, key, does):
    """What is called so, of several (they are alike to a maker) the one that does best; `does` tells None for no."""
    things = store.get(key, [])
    ranks = [(rank, i) for i, rank in enumerate(map(does, things)) if rank is not None]
    assert ranks, "%s is not there, or does not do" % (key,)
    return things.pop(min(ranks)[1])


def check_turn(book, cut, store, made):
    """One scene of a book that is cut in turn; what is there afterwards is in `store`."""
    scene, struck = book.scenes[cut.scene], []
    wanted = {i: part.copies for i, part in enumerate(scene) if not (part.of_book and i in made)}
    for i in wanted:
        if scene[i].of_book:
            made[i] = 0  # once for the book, though nothing may be left for it
    standing = []  # of this scene: what it keeps until it is struck

    def stand(index, panel, new=False):
        part = scene[index]
        wanted[index] -= 1
        assert wanted[index] >= 0, "more than is wanted"
        if part.of_book:
            made[index] += area(panel.corners)
        elif part.keeps:
            struck.insert(0 if new else len(struck), (index, panel))  # of panels alike, new ones are nearer
        else:
            standing.append(area(panel.corners))

    for index, from_scene, from_part, copies, down, turns, x, y in cut.again:
        part = scene[index]
        assert from_scene < cut.scene and copies > 0 and (book.again == CUT or not down)
        for _ in range(copies):
            if down:
                outline = rotate(part.corners, part.wide, part.tall, turns)[0]
                assert part.turn or turns % 2 == 0
                fits = lambda panel: area(panel.corners) if holds(panel.corners, outline) and lies_in(
                    outline, (x, y), panel.corners, TOLD) else None
            else:
                fits = lambda panel: serves(panel, part, book.alike)
            panel = take(store, ("struck", from_scene, from_part), fits)
            stand(index, part if down else panel)

    used = sorted(int(row[0]) for row in cut.nest.sheets if row[0] >= 0)
    for have in used:
        kind, on_hand, from_scene, sheet, from_part = map(int, cut.found[have][:5])
        wide, tall, x, y = map(float, cut.found[have][5:])
        same = lambda size: 0 if abs(size[0] - wide) < NEAR and abs(size[1] - tall) < NEAR else None
        if kind == ON_HAND:
            take(store, ("on hand", on_hand), same)
        elif kind == OFFCUT:
            assert from_scene < cut.scene
            take(store, ("offcut", from_scene, sheet), same)
        else:
            assert kind == STRUCK and book.again == CUT and from_scene < cut.scene
            box = [(0, 0), (wide, 0), (wide, tall), (0, tall)]
            assert min(wide, tall) >= KEEP - NEAR
            take(store, ("struck", from_scene, from_part),
                 lambda panel: area(panel.corners) if lies_in(box, (x, y), panel.corners, TOLD) else None)

    items = [scene[name] for _, name, _ in cut.items]
    task = nest_check.Task(book.kerf, KEEP, 1, (*book.whole, 0), [(float(f[5]), float(f[6]), 0) for f in cut.found],
                           [(p.wide, p.tall, p.turn, row[2], p.outline) for p, row in zip(items, cut.items)])
    nest_check.check_placements(task, cut.nest)
    for placement in cut.nest.placements:
        index = cut.items[int(placement[0])][1]
        stand(index, scene[index], True)
    lacking = len(cut.nest.left) + sum(cut.items[i][2] for i in cut.nest.too_large)
    assert sum(wanted.values()) == lacking, "all that is wanted, or it is told"
    for sheet, _, _, wide, tall in cut.nest.offcuts:
        store.setdefault(("offcut", cut.scene, int(sheet)), []).append((wide, tall))
    for index, panel in struck:
        store.setdefault(("struck", cut.scene, index), []).append(panel)
    return lacking, sum(standing), len(used)


def check_sums(book, account, store, made, gone):
    there = gone + sum(made.values())
    for key, things in store.items():
        if key[0] != "on hand":
            there += sum(area(t.corners) if isinstance(t, Part) else t[0] * t[1] for t in things)
    bought = account.new * book.whole[0] * book.whole[1]
    on_hand = sum(w * h for w, h in book.have) - sum(w * h for k, things in store.items() if k[0] == "on hand"
                                                      for w, h in things)
    assert abs(bought + on_hand - account.sheets_mm2) < 1, "sheets"
    # Panels of one name may differ by `alike` where some served before: which of them went is not told.
    unsure = 10 + 4 * sum(len(scene) for scene in book.scenes)
    for cut in account.cuts:
        for index, _, _, copies, down, *_ in cut.again:
            part = book.scenes[cut.scene][index]
            unsure += 0 if down else 2 * copies * book.alike * (part.wide + part.tall)
    assert abs(account.sheets_mm2 - there - account.waste_mm2) < unsure, (
        "waste", account.sheets_mm2 - there, account.waste_mm2)


def check_in_turn(book, account):
    store = {("on hand", i): [size] for i, size in enumerate(book.have)}
    made, gone, lacking = {}, 0, 0
    assert [cut.scene for cut in account.cuts] == sorted({cut.scene for cut in account.cuts}), "in order, once each"
    for cut in account.cuts:
        short, kept, _ = check_turn(book, cut, store, made)
        lacking += short
        gone += kept
    for number, scene in enumerate(book.scenes):
        new = [i for i, part in enumerate(scene) if not part.of_book]
        assert not new or any(cut.scene == number for cut in account.cuts), "a scene is missing"
    assert lacking == account.lacking
    assert account.new == sum(cut.nest.new for cut in account.cuts)
    assert account.whole == sum(again[3] for cut in account.cuts for again in cut.again if not again[4])
    assert account.on_hand == sum(not store[("on hand", i)] for i in range(len(book.have)))
    check_sums(book, account, store, made, gone)


def check_bound(book, account):
    """By area, what one scene's parts need stands at once; a part that serves is at most `alike` smaller."""
    sheet, have = book.whole[0] * book.whole[1], sum(w * h for w, h in book.have)
    for scene in book.scenes:
        need = sum(p.copies * (area(p.corners) - 4 * book.alike * (p.wide + p.tall)) for p in scene) - have
        assert sheet == 0 or account.lacking or account.new >= math.ceil(need / sheet - 1e-9)
    assert account.bound <= account.new


def check(book, account, plain):
    assert not plain.in_turn and plain.new == plain.at_once == account.at_once
    assert account.lacking < plain.lacking or (account.lacking == plain.lacking and account.new <= plain.new), "more"
    if account.in_turn:
        check_in_turn(book, account)
    else:
        assert account.new == plain.new and account.whole == account.cut == 0
    check_bound(book, account)


def random_part(rng, size, grain):
    wide, tall = rng.uniform(100, 0.95 * size[0]), rng.uniform(100, 0.95 * size[1])
    outline = None
    if rng.random() < 0.4:
        a, b = rng.uniform(0, 0.4), rng.uniform(0, 0.4)
        outline = [(wide * a, 0), (wide * (1 - b), 0), (wide, tall), (0, tall)]
    return Part(wide, tall, not grain, rng.choice([1, 1, 1, 2, 3]), outline, rng.random() < 0.9)


def near_part(rng, part, grain):
    """Another set's part that is much the same, or the same."""
    wide, tall = part.wide + rng.choice([0, 0, 3, -3, 5]), part.tall + rng.choice([0, 0, 3, -3, -40])
    outline = part.outline and [(x * wide / part.wide, y * tall / part.tall) for x, y in part.outline]
    if rng.random() < 0.3:
        turns = 2 if grain else rng.randrange(4)
        outline, wide, tall = rotate(outline or [(0, 0), (wide, 0), (wide, tall), (0, tall)], wide, tall, turns)
        outline = part.outline and outline
    return Part(wide, tall, part.turn, rng.choice([1, 1, part.copies]), outline, part.keeps)


def random_book(rng):
    size = rng.choice([(1220, 2440), (1000, 1500)])
    grain = rng.random() < 0.5
    shared = [random_part(rng, size, grain) for _ in range(4)]
    once = random_part(rng, size, grain)
    once.of_book = True
    scenes = []
    for _ in range(rng.choice([1, 2, 3, 5, 8])):
        scene = [once] if rng.random() < 0.3 else []
        for _ in range(rng.choice([1, 2, 3, 6])):
            scene.append(near_part(rng, rng.choice(shared), grain) if rng.random() < 0.5 else
                         random_part(rng, size, grain))
        scenes.append(scene)
    for scene in scenes:  # what is of the book has one name in all scenes: the first
        if scene[0] is not once:
            scene.insert(0, Part(100, 100, not grain, 1, None, False))
    have = [(rng.uniform(200, 1200), rng.uniform(200, 1200)) for _ in range(rng.choice([0, 0, 1, 4]))]
    whole = (0, 0) if have and rng.random() < 0.1 else size
    return Book(rng.choice([WHOLE, CUT, CUT]), rng.choice([1, 3.175]), rng.choice([0, 3.2]), whole, have, scenes)


def accounts(driver, text):
    done = subprocess.run([driver], input=text, text=True, capture_output=True)
    if done.returncode:
        sys.exit("the driver ended with %d\n%s" % (done.returncode, done.stderr))
    lines = iter(done.stdout.splitlines())
    return lines


def main():
    driver, count = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 1000
    rng = random.Random(107)
    books = [random_book(rng) for _ in range(count)]
    lines = accounts(driver, "".join(book.text() + book.text(NEVER) for book in books))
    in_turn = whole = cut = new = at_once = 0
    for i, book in enumerate(books):
        account, plain = Account(lines), Account(lines)
        try:
            check(book, account, plain)
        except AssertionError as fault:
            sys.exit("book %d: %s\n%s" % (i, fault, book.text()))
        in_turn, whole, cut = in_turn + account.in_turn, whole + account.whole, cut + account.cut
        new, at_once = new + account.new, at_once + account.at_once
    print("%d books, %d in turn: %d parts served as they are, %d struck ones were cut; %d new sheets for %d" % (
        count, in_turn, whole, cut, new, at_once))
    assert in_turn > count / 2 and whole > count / 4 and cut > count / 2 and new < at_once


if __name__ == "__main__":
    main()
