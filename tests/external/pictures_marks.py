"""Marks in the pictures through the lens lie where the facts have their points, to within a pixel.

Everything is measured in the PNG's own pixels: the picture's place by the crop marks beside it, and the marks, upright
crosses and slanted ones at eyes, by their black strokes with a white rim. Where points must be, OpenCV's projectPoints
says, through the model's own camera (gltf/project_opencv.py).

usage: pictures_marks.py FOLDER...   (pictures, models and facts beside them, as --json writes them)
"""
import json
import pathlib
import re
import sys

import cv2
import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).parent / "gltf"))
from project_opencv import on_drawing, read_json  # noqa: E402

cv2.setNumThreads(1)
MOST_PX = 1.0
ARM_PX, SLANTED_ARM_PX, STROKE_PX = 9, 9.5, 2
INK, RIM_PX = (19, 116), (1.5, 1.0)  # levels of the stroke, width of the white rim: of what is seen, of what is hidden
SIDE = 27  # of a patch that holds a mark, px; odd
FINE = 8  # parts of a pixel when a mark is drawn to compare with
SURELY_ALIKE = 20.0  # levels of 255: so far from the strokes at most, in the mean square, is a mark anywhere
ALIKE = (40.0, 20.0)  # where one is looked for: a line to a name may cross one that is seen
ABOUT_ALIKE = 45.0  # likewise, blurred
ENOUGH_PX = 24  # of a mark that must be free of others


def peaks(profile):
    """Middles of the dark runs in a profile of darkness."""
    dark = profile > 0.25 * profile.max()
    runs = np.flatnonzero(np.diff(np.concatenate([[0], dark.view(np.int8), [0]])))
    return [np.average(np.arange(a, b) + 0.5, weights=profile[a:b]) for a, b in runs.reshape(-1, 2)]


def trim_of(grey):
    """left, top, right, bottom of the trim in px, by the crop marks; where there are none, the picture's own edges, on which
    a line runs that is 2 px wide."""
    _, _, boxes, _ = cv2.connectedComponentsWithStats((grey < 250).astype(np.uint8), connectivity=8)
    left, top, wide, tall = max(boxes[1:].tolist(), key=lambda box: box[2] * box[3])[:4]
    right, bottom, dark = left + wide, top + tall, 255.0 - grey
    strips = [dark[top:bottom, left - 18 : left - 6].min(axis=1), dark[top:bottom, right + 6 : right + 18].min(axis=1),
              dark[top - 18 : top - 6, left:right].min(axis=0), dark[bottom + 6 : bottom + 18, left:right].min(axis=0)]
    if all(strip.max() == 0 for strip in strips):
        return left + 1, top + 1, right - 1, bottom - 1
    lefts, rights, above, below = (peaks(strip) for strip in strips)
    if not len(lefts) == len(above) == 2 or not np.allclose(lefts + above, rights + below, atol=0.2):
        raise ValueError(f"crop marks at {lefts}, {rights}, {above}, {below}")
    return left + above[0], top + lefts[0], left + above[1], top + lefts[1]


def drawn_mark(slanted, hidden, off_x, off_y):
    """A mark about the middle of a patch, moved by parts of a pixel: how white or black, and how much of it counts."""
    axis = (np.arange(SIDE * FINE) + 0.5) / FINE - SIDE / 2
    x, y = np.meshgrid(axis - off_x, axis - off_y)
    if slanted:
        x, y = (x + y) / np.sqrt(2), (x - y) / np.sqrt(2)

    reach = SLANTED_ARM_PX if slanted else ARM_PX

    def strokes(half):
        return (np.abs(x) <= half) & (np.abs(y) <= reach) | (np.abs(y) <= half) & (np.abs(x) <= reach)

    black, white = strokes(STROKE_PX / 2), strokes(STROKE_PX / 2 + RIM_PX[hidden])
    shrink = lambda fine: cv2.resize(fine.astype(np.float32), (SIDE, SIDE), interpolation=cv2.INTER_AREA)
    tone, weight = shrink(white & ~black) * 255 + shrink(black) * INK[hidden], shrink(white)
    return tone / np.maximum(weight, 1e-6), np.where(weight > 0.95, 1.0, 0.0).astype(np.float32)


STEPS = np.arange(-4, 4) / 8
KINDS = [(slanted, hidden) for slanted in (False, True) for hidden in (False, True)]
MARKS = {(*kind, x, y): drawn_mark(*kind, x, y) for kind in KINDS for x in STEPS for y in STEPS}


def unlikeness(grey, tone, weight):
    """Wherever a patch lies in a picture: how far it is from a mark, root mean square of levels."""
    squares = cv2.matchTemplate(grey * grey, weight, cv2.TM_CCORR) - 2 * cv2.matchTemplate(grey, weight * tone, cv2.TM_CCORR)
    return np.sqrt(np.maximum(squares + (weight * tone * tone).sum(), 0) / weight.sum())


def blurred(grey):
    return cv2.GaussianBlur(grey, (0, 0), 0.8)


def places_of_marks(grey, kind):
    """About where, to a pixel, marks are: blurred a little, one drawn in the middle of a pixel is like any."""
    tone, weight = MARKS[(*kind, 0.0, 0.0)]
    ground = np.where(weight > 0, tone, 255).astype(np.float32)
    apart = unlikeness(blurred(grey), blurred(ground), cv2.erode(weight, np.ones((2, 2))))
    ring = np.ones((13, 13), np.uint8)
    ring[2:-2, 2:-2] = 0
    alone = cv2.erode(apart, ring) > apart + 6  # no place a little further on is nearly as like: no line, no plain
    where = (apart < ABOUT_ALIKE) & (apart == cv2.erode(apart, np.ones((9, 9)))) & alone
    _, _, _, middles = cv2.connectedComponentsWithStats(where.astype(np.uint8), connectivity=8)
    return [(x + SIDE / 2, y + SIDE / 2) for x, y in middles[1:]]


def mark_at(grey, x, y, kind, others=()):
    """The mark next to a place: (unlikeness, x, y) in px; None: nothing to see. Strokes of others beside it do not count."""
    around = 3
    left, top = int(np.floor(x)) - SIDE // 2 - around, int(np.floor(y)) - SIDE // 2 - around
    size = SIDE + 2 * around
    if left < 0 or top < 0 or left + size > grey.shape[1] or top + size > grey.shape[0]:
        return None
    patch = grey[top : top + size, left : left + size]
    rows, columns = np.mgrid[0:SIDE, 0:SIDE] + 0.5
    free = np.ones((SIDE, SIDE), np.float32)
    for other_x, other_y in others:
        free[np.hypot(columns + left + around - other_x, rows + top + around - other_y) < ARM_PX + STROKE_PX + around] = 0
    best = (np.inf, 0, 0, 0, 0)
    for steps in ([(x, y) for x in STEPS[::2] for y in STEPS[::2]], None):  # quarters of a pixel, then eighths about the best
        steps = steps or [(x, y) for x in STEPS for y in STEPS if max(abs(x - best[3]), abs(y - best[4])) < 0.2]
        for off_x, off_y in steps:
            tone, weight = MARKS[(*kind, off_x, off_y)]
            if (weight * free).sum() < ENOUGH_PX:
                return None
            apart = unlikeness(patch, tone, weight * free)
            row, column = np.unravel_index(np.argmin(apart), apart.shape)
            best = min(best, (apart[row, column], left + column + SIDE / 2 + off_x, top + row + SIDE / 2 + off_y, off_x, off_y))
    return best[:3]


def points_in_px(model, camera, facts, trim):
    points = [p for p in facts["points"] if p["shot"] == camera["shot"] and p["drawing"]]
    left, top, right, bottom = trim
    wide, tall = camera["drawing_mm"]
    on = on_drawing(model, camera, [p["set"] for p in points])
    xs = left + on[:, 0] / wide * (right - left)
    ys = bottom - on[:, 1] / tall * (bottom - top)
    return [(p["thing"], p["point"], x, y) for p, x, y in zip(points, xs, ys)]


def check(picture, base, shot):
    facts = json.loads(base.with_name(base.name + ".json").read_text())
    model = read_json(base.with_name(base.name + ".glb"))
    camera = next(c for c in facts["cameras"] if c["planned"] and file_word(c["shot"]) == shot)
    grey = cv2.cvtColor(cv2.imread(str(picture)), cv2.COLOR_BGR2GRAY).astype(np.float32)
    trim = trim_of(grey)
    points = points_in_px(model, camera, facts, trim)
    faults, marked = [], {}
    for kind in ((False, False), (True, False)):  # grey ones are less easily told from what is drawn under them
        for x, y in places_of_marks(grey[: int(trim[3]) - 2], kind):
            if y < trim[1] + 2:
                continue
            apart, mark_x, mark_y = mark_at(grey, x, y, kind)
            near = [p for p in points if np.hypot(p[2] - x, p[3] - y) < 6 and (p[1] == "eyes") == kind[0]]
            if apart > SURELY_ALIKE:
                continue
            if not near:
                faults.append(f"a mark at {mark_x:.1f}, {mark_y:.1f} px, where there is no point")
                continue
            thing, point, x, y = min(near, key=lambda p: np.hypot(p[2] - mark_x, p[3] - mark_y))
            marked[thing, point] = np.hypot(x - mark_x, y - mark_y)
    must = {thing for thing, _ in marked} | {b["name"] for b in facts["blocks"] if b["kind"] == "puppet"}
    for thing, point, x, y in points:  # what has one mark has all that the picture shows of it
        inside = trim[0] + 14 < x < trim[2] - 14 and trim[1] + 14 < y < trim[3] - 14
        if thing not in must or point.startswith("rear") or (thing, point) in marked or not inside:
            continue
        others = [p[2:] for p in points if p[:2] != (thing, point) and p[0] in must and np.hypot(p[2] - x, p[3] - y) < SIDE]
        found = [(mark_at(grey, x, y, (point == "eyes", hidden), others), hidden) for hidden in (False, True)]
        found = [(mark, hidden) for mark, hidden in found if mark]
        if not found:
            continue  # too little of it is free of others
        (apart, mark_x, mark_y), hidden = min(found)
        if apart > ALIKE[hidden]:
            faults.append(f"{thing}, {point}: no mark at {x:.1f}, {y:.1f} px (unlike by {apart:.0f})")
        else:
            marked[thing, point] = np.hypot(x - mark_x, y - mark_y)
    faults += [f"{thing}, {point}: marked {off:.2f} px off" for (thing, point), off in marked.items() if not off < MOST_PX]
    return [f"{picture.name}: {fault}" for fault in faults], max(marked.values(), default=0), len(marked)


def file_word(shot):
    return re.sub(r"[^a-z0-9]+", "-", shot.lower())


def main():
    faults, worst, marks, pictures = [], 0.0, 0, 0
    for folder in map(pathlib.Path, sys.argv[1:]):
        for facts in sorted(folder.glob("*.json")):
            base = facts.with_suffix("")
            photos = {file_word(b["name"]) for b in json.loads(facts.read_text())["blocks"] if b["kind"] == "photo"}
            for picture in sorted(folder.glob(f"{base.name}.*png")):
                shot = picture.name[len(base.name) + 1 : -len("png")].rstrip(".")
                if shot in {"cameras", "squared"} | photos or shot.endswith((".cameras", ".squared")):
                    continue
                found, off, count = check(picture, base, shot)
                print(f"{picture.name}: {count} marks, the worst {off:.2f} px off")
                faults, worst, marks, pictures = faults + found, max(worst, off), marks + count, pictures + 1
    for fault in faults[:30]:
        print(fault, file=sys.stderr)
    print(f"{pictures} pictures, {marks} marks, the worst {worst:.2f} px off; {len(faults)} faults")
    return 0 if not faults and pictures > 12 and marks > 80 else 1


if __name__ == "__main__":
    sys.exit(main())
