#!/usr/bin/python3
"""Nesting on published instances of cutting with straight cuts through whole pieces, against the best that is known.

    tests/external/nest_published.py DRIVER [EFFORT]      (of the usual steps for the 500 instances; 0.1)

Instances, values and their sources: nest/instances.py. What docs/cutting.md says of them is held here.
"""

import pathlib
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE / "nest")]
import instances  # noqa: E402
from nest_check import Task, check, nests  # noqa: E402

NOTHING = (0, 0, 0)
# Sheets for cgcut and gcut, not turned: from memory (proven by Martello and Vigo 1998, whose cuts may be any; that gcut4 does not
# go in 13 is more recent).
SHEETS = {"cgcut1": 2, "cgcut2": 2, "cgcut3": 23, "gcut1": 5, "gcut2": 6, "gcut3": 8, "gcut4": 14, "gcut5": 3, "gcut9": 3}


def one(driver, task):
    nest = nests(driver, [task])[0]
    check(task, nest)
    return nest


def one_sheet(driver):
    for name, (sheet, items, best) in instances.ONE_SHEET.items():
        nest = one(driver, Task(0, 0, 0, NOTHING, [(*sheet, 0)], [(w, h, 0, n, None) for w, h, n in items]))
        assert round(nest.parts_mm2) == best, (name, nest.parts_mm2, best)
    print("%d instances of one sheet: all at the best known" % len(instances.ONE_SHEET))
    worst = {}
    for name, (side, items, *best) in instances.GCUT.items():
        for turn in (0, 1):
            many = [(w, h, turn, side * side // (w * h), None) for w, h in items]
            nest = one(driver, Task(0, 0, 0, NOTHING, [(side, side, 0)], many))
            assert nest.parts_mm2 <= best[turn] + 1e-6, (name, "more than the proven best")
            worst[turn] = min(worst.get(turn, 1), nest.parts_mm2 / best[turn])
    print("gcut, as many as one likes: at least %.4f of the best, turned %.4f" % (worst[0], worst[1]))
    assert worst[0] > 0.996 and worst[1] > 0.955


def as_many_sheets(driver):
    for name, known in SHEETS.items():
        if name in instances.CGCUT:
            sheet, items = instances.CGCUT[name]
        else:
            side, sizes = instances.GCUT[name][:2]
            sheet, items = (side, side), [(w, h, 1) for w, h in sizes]
        nest = one(driver, Task(0, 0, 0, (*sheet, 0), [], [(w, h, 0, n, None) for w, h, n in items]))
        assert nest.new == known, (name, nest.new, known)
    print("%d instances of cgcut and gcut: as few sheets as are known to do" % len(SHEETS))


def classes(driver, turn, effort):
    """Sheets by class, of ten instances of each size."""
    tasks, keys = [], []
    for number in instances.KNOWN:
        for count in instances.SIZES:
            for which in range(1, 11):
                side, items = instances.class_instance(number, count, which)
                tasks.append(Task(0, 0, effort, (side, side, 0), [], [(w, h, turn, 1, None) for w, h in items]))
                keys.append(number)
    done = nests(driver, tasks)
    for task, nest in list(zip(tasks, done))[::7]:
        check(task, nest)
    sheets = dict.fromkeys(instances.KNOWN, 0)
    for key, nest in zip(keys, done):
        sheets[key] += nest.new
    return sheets


def main():
    driver, effort = sys.argv[1], float(sys.argv[2]) if len(sys.argv) > 2 else 0.1
    one_sheet(driver)
    as_many_sheets(driver)
    known = {number: round(10 * sum(row)) for number, row in instances.KNOWN.items()}
    sheets = classes(driver, 0, effort)
    print("500 instances, not turned: %d sheets; known to do where cuts may be any: %d" % (
        sum(sheets.values()), sum(known.values())))
    for number in known:
        print("  class %d: %d, %d" % (number, sheets[number], known[number]))
        assert known[number] <= sheets[number] <= 1.07 * known[number] + 2, number
    assert sum(sheets.values()) <= 1.02 * sum(known.values())
    turned = classes(driver, 1, effort)
    print("turned: %d" % sum(turned.values()))
    assert sum(turned.values()) <= sum(known.values())


if __name__ == "__main__":
    main()
