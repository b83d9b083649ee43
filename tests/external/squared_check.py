#!/usr/bin/python3
"""The squared-up drawing's lines, found in the picture's pixels, cross where OpenCV's projectPoints sends the places of the
ground: within a pixel. The demo book's drawings are white for this, so that nothing else is dark where lines are looked for.

    squared_check.py GROUNDROW SPECS
"""

import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

import cv2
import numpy as np

STEPS_MM = {"feet-inches": (152.4, 50.8), "millimetres": (150.0, 50.0)}
RIM = np.array([138, 144, 152])
MOST_PX = 1.0
SIDE_PX = 125  # numbers stand there
MARK_PX = 24  # round the mark is its ring

faults = []


def white_book(specs, folder):
    book = folder / "book"
    shutil.copytree(specs, book, ignore=shutil.ignore_patterns("*.svg", "*.py"))
    for path in (book / "drawings").glob("*.png"):
        cv2.imwrite(str(path), np.full_like(cv2.imread(str(path)), 255))
    return book


def project(camera, places):
    """Places of the set (across, back, up in mm) on the drawing (mm, y up). OpenCV's axes: right, down, along the axis."""
    tilt = np.radians(camera["tilt_deg"])
    right, axis = np.array([1.0, 0, 0]), np.array([0, np.cos(tilt), -np.sin(tilt)])
    turn = np.stack([right, np.cross(axis, right), axis])
    lens = np.array([camera["across_mm"], -camera["distance_mm"], camera["height_mm"]])
    matrix = np.diag([camera["image_mm"], camera["image_mm"], 1.0])
    sensor, _ = cv2.projectPoints(np.array(places, float), cv2.Rodrigues(turn)[0], -turn @ lens, matrix, None)
    seen = sensor.reshape(-1, 2) * [1, -1] - camera["crop_mm"]
    return np.array(camera["drawing_mm"]) / 2 + camera["drawn_per_sensor"] * seen


def window_of(picture):
    """Left, top, right, bottom of what the rim is drawn round."""
    rim = np.abs(picture.astype(int) - RIM).max(axis=2) <= 2
    rows = np.flatnonzero(rim.sum(axis=1) > 0.5 * picture.shape[1] * 0.5)
    columns = np.flatnonzero(rim[rows[0]])
    return columns[0] + 1, rows[0] + 1, columns[-1], rows[-1]


def centroid(profile, at, reach):
    """Where a dark line crosses a profile near `at` (in px; pixel i spans i to i + 1), or None without one."""
    low, high = int(round(at - reach)), int(round(at + reach))
    if low < 0 or high > len(profile):
        return None
    ink = profile[low:high] - np.median(profile[low:high])
    ink = np.where(ink > 0.15 * max(ink.max(), 1e-9), ink, 0)
    if ink.max() < 25:
        return None
    return float((ink * (np.arange(low, high) + 0.5)).sum() / ink.sum())


class Squares:
    def __init__(self, picture, camera, lengths):
        self.ink = 255.0 - picture[:, :, 0]
        self.camera = camera
        self.box = window_of(picture)
        frame_mm = camera["drawing_mm"][0]
        self.scale = (self.box[2] - self.box[0]) / frame_mm
        wide, fine = STEPS_MM[lengths]
        at_mark = self.px([[-500, 0, 0], [500, 0, 0]])
        across = 1000 * (self.box[2] - self.box[0]) / (at_mark[1][0] - at_mark[0][0])
        self.step = fine if across < 3 * wide else wide

    def px(self, places):
        mm = project(self.camera, places)
        return np.column_stack([self.box[0] + mm[:, 0] * self.scale, self.box[3] - mm[:, 1] * self.scale])

    def row_y(self, number):
        return self.px([[self.camera["across_mm"], number * self.step, 0]])[0][1]

    def rows(self):
        """Lines across that are there: number and y as found."""
        level = self.ink[:, self.box[0] + SIDE_PX : self.box[2] - SIDE_PX].mean(axis=1)
        for number in range(-60, 61):
            back = number * self.step
            if back < -self.camera["distance_mm"] + 100:
                continue
            y = self.row_y(number)
            if not self.box[1] + 12 < y < self.box[3] - 12:
                continue
            found = centroid(level, y, 3)
            if found is not None:
                yield number, found

    def column_x(self, number, y, back):
        """x of a line along the set at height y of the picture, near the row `back`."""
        a, b = self.px([[number * self.step, back, 0], [number * self.step, back + 100, 0]])
        slope = (b[0] - a[0]) / (b[1] - a[1])
        x = a[0] + (y - a[1]) * slope
        mark = self.px([[0, 0, 0]])[0]
        if np.hypot(x - mark[0], y - mark[1]) < MARK_PX:
            return None
        if abs(slope) > 2.5 or not self.box[0] + SIDE_PX < x < self.box[2] - SIDE_PX:
            return None
        return centroid(self.ink[int(np.floor(y))], x + (np.floor(y) + 0.5 - y) * slope, 4 + 2 * abs(slope))

    def crossings(self):
        """(row, column, x, y) as found: columns halfway to the next rows on either side, put together on the row."""
        rows = list(self.rows())
        for (_, above), (number, y), (_, below) in zip(rows[2:], rows[1:-1], rows):
            if min(y - above, below - y) < 9:
                continue
            for column in range(-40, 41):
                halves = [np.floor((above + y) / 2) + 0.5, np.floor((below + y) / 2) + 0.5]
                xs = [self.column_x(column, half, number * self.step) for half in halves]
                if None not in xs:
                    share = (y - halves[0]) / (halves[1] - halves[0])
                    yield number, column, xs[0] + share * (xs[1] - xs[0]), y


def check(name, picture, camera, lengths):
    squares = Squares(picture, camera, lengths)
    worst, count = 0.0, 0
    for row, column, x, y in squares.crossings():
        wanted = squares.px([[column * squares.step, row * squares.step, 0]])[0]
        apart = float(np.hypot(x - wanted[0], y - wanted[1]))
        worst, count = max(worst, apart), count + 1
        if apart > MOST_PX:
            faults.append(f"{name}: row {row}, column {column} cross {apart:.2f} px from their place")
    return worst, count


def main():
    groundrow, specs = sys.argv[1], pathlib.Path(sys.argv[2])
    worst, count, bare = 0.0, 0, []
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        book = white_book(specs, folder)
        subprocess.run([groundrow, book, "-o", folder / "out", "--only", "reports,pictures", "--json", "-q"], check=True)
        for path in sorted((folder / "out").glob("*.json")):
            data = json.loads(path.read_text())
            for camera in (c for c in data["cameras"] if c["planned"]):
                name = f"{path.stem}{'.' + camera['shot'] if camera['shot'] else ''}.squared.png"
                picture = cv2.imread(str(folder / "out" / name))[:, :, ::-1]
                off, found = check(name, picture, camera, data["lengths"])
                worst, count = max(worst, off), count + found
                if found == 0:
                    bare.append(name)
    if len(bare) > 3:
        faults.append(f"no crossing is found in {', '.join(bare)}")
    if count < 120:
        faults.append(f"only {count} crossings are found")
    print("\n".join(faults) or f"{count} crossings, the worst {worst:.2f} px off")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
