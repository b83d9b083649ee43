"""What the facts say of another body in the planned camera's place, held to OpenCV's projectPoints: named points of the set,
projected onto that body's sensor from where the model has the planned camera, land in the crop of its picture where the
drawing has them in the frame; its corners, where the facts put them on the drawing and on the ground.

usage: also_opencv.py FOLDER...   (models and the facts beside them, as --json writes them)

Intrinsics of the body: f = v' px / sensor, v' = f' u / (u - f') (the thin lens), c = the middle of its image.
"""
import json
import pathlib
import sys

import cv2
import numpy as np

from project_opencv import camera_node, read_json

MOST_PX = 0.05  # the facts give pixels to six decimals, lengths to three


def blocks(facts):
    return [block for block in facts["blocks"] if block["kind"] == "also"]


def project(model, camera, also, points):
    """Pixels of points of the set (mm) in the other body's picture."""
    _, turn, eye = camera_node(model, camera["id"])
    focal, u = also["lens"]["focal_mm"], camera["object_mm"]
    image = focal * u / (u - focal)
    px, sensor = (also["crop"]["of_wide"], also["crop"]["of_tall"]), also["planned_frame"]
    matrix = np.array([[image * px[0] / sensor["sensor_wide_mm"], 0, px[0] / 2],
                       [0, image * px[1] / sensor["sensor_tall_mm"], px[1] / 2], [0, 0, 1]])
    r = np.diag([1.0, -1.0, -1.0]) @ turn.T
    world = np.array([[a / 1000, up / 1000, -back / 1000] for a, back, up in points])
    return cv2.projectPoints(world, cv2.Rodrigues(r)[0], -r @ eye, matrix, None)[0].reshape(-1, 2)


def from_drawing(camera, also, drawn):
    """Pixels of places on the drawing (mm), by the crop that is stated."""
    frame = np.array(camera["frame_on_sensor_mm"]) * camera["drawn_per_sensor"]
    share = (np.array(drawn) - np.array(camera["drawing_mm"]) / 2) / frame + 0.5
    crop = also["crop_exact"]
    return np.array([crop["left"], crop["top"]]) + np.array([crop["wide"], crop["tall"]]) * (share * [1, -1] + [0, 1])


def check_crop(camera, also):
    """The whole pixels hold the exact frame as far as the image goes, and no pixel more."""
    whole, exact = also["crop"], also["crop_exact"]
    faults = 0
    for low, size, most in (("left", "wide", "of_wide"), ("top", "tall", "of_tall")):
        start, end = max(0, exact[low]), min(whole[most], exact[low] + exact[size])
        faults += not (0 <= start - whole[low] < 1 and 0 <= whole[low] + whole[size] - end < 1)
    return faults


def check_also(base, facts, model, block):
    also = block["facts"]
    camera = next(c for c in facts["cameras"] if c["planned"] and c["shot"] == block["shot"])
    points = [p for p in facts["points"] if p["shot"] == block["shot"] and p["drawing"]]
    off = project(model, camera, also, [p["set"] for p in points]) - from_drawing(camera, also, [p["drawing"] for p in points])
    # its own corners on the drawing
    edges, size = also["on_drawing"], [also["crop"]["of_wide"], also["crop"]["of_tall"]]
    corners = [[edges["left_mm"], edges["high_mm"]], [edges["right_mm"], edges["low_mm"]]]
    off = np.vstack([off, from_drawing(camera, also, corners) - [[0, 0], size]])
    # and on the set, from the first shot's centre line, at the mark of this one
    first = next(c for c in facts["cameras"] if c["planned"])
    mark = next(p["set"] for p in facts["points"] if p["shot"] == block["shot"] and p["thing"] == "mark")
    for side, x in (("left_at_mark", 0), ("right_at_mark", size[0])):
        at = [first["across_mm"] + also[side]["mm"], mark[1], mark[2]]
        off = np.vstack([off, [project(model, camera, also, [at])[0][0] - x, 0]])
    if isinstance(also["front"], dict):
        at = [camera["across_mm"], also["front"]["mm"] + mark[1], 0]
        off = np.vstack([off, [0, project(model, camera, also, [at])[0][1] - size[1]]])
    worst = np.abs(off).max()
    faults = check_crop(camera, also)
    if not worst < MOST_PX or faults:
        print(f"{base.name}, {block['name']}: {worst:.3f} px off, {faults} faults of the crop")
    return worst, len(off), faults


def main():
    worst, count, faults, bodies = 0.0, 0, 0, 0
    for base in (p.with_suffix("") for folder in sys.argv[1:] for p in sorted(pathlib.Path(folder).glob("*.json"))):
        facts, model = json.loads(base.with_suffix(".json").read_text()), read_json(base.with_suffix(".glb"))
        for block in blocks(facts):
            one = check_also(base, facts, model, block)
            worst, count, faults, bodies = max(worst, one[0]), count + one[1], faults + one[2], bodies + 1
    print(f"{bodies} bodies, {count} places, the worst {worst:.4f} px off")
    return 0 if worst < MOST_PX and faults == 0 and bodies > 4 else 1


if __name__ == "__main__":
    sys.exit(main())
