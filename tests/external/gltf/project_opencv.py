"""Named points, projected through the models' own cameras by OpenCV's projectPoints, land where the facts say that the
drawing has them. Reads the models with nothing but struct and json.

usage: project_opencv.py FOLDER...   (models and the facts beside them, as --json writes them)

From a glTF camera to OpenCV (x right, y down, z forward): R = diag(1, -1, -1) R_gl^T, t = -R eye,
f = (H/2)/tan(yfov/2), c = (W/2, H/2).
"""
import json
import pathlib
import struct
import sys

import cv2
import numpy as np

MOST_MM = 0.05
HIGH = 4000.0  # px; only a scale


def read_json(path):
    data = path.read_bytes()
    magic, version, length, text, kind = struct.unpack_from("<4sIII4s", data)
    assert (magic, version, length, kind) == (b"glTF", 2, len(data), b"JSON")
    return json.loads(data[20 : 20 + text])


def rotation(quaternion):
    x, y, z, w = quaternion
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )


def camera_node(model, name):
    node = next(n for n in model["nodes"] if n["name"] == name)
    index = model["nodes"].index(node)
    turn, place = rotation(node.get("rotation", [0, 0, 0, 1])), np.array(node.get("translation", [0, 0, 0]), float)
    while True:  # up to the root
        parent = next((i for i, n in enumerate(model["nodes"]) if index in n.get("children", [])), None)
        if parent is None:
            return node, turn, place
        outer = model["nodes"][parent]
        outer_turn = rotation(outer.get("rotation", [0, 0, 0, 1]))
        turn, place = outer_turn @ turn, outer_turn @ place + np.array(outer.get("translation", [0, 0, 0]), float)
        index = parent


def on_drawing(model, facts, points):
    """Places on the drawing (mm) of points of the set (mm)."""
    node, turn, eye = camera_node(model, facts["id"])
    view = model["cameras"][node["camera"]]["perspective"]
    wide = HIGH * view["aspectRatio"]
    focal = HIGH / 2 / np.tan(view["yfov"] / 2)
    matrix = np.array([[focal, 0, wide / 2], [0, focal, HIGH / 2], [0, 0, 1]])
    r = np.diag([1.0, -1.0, -1.0]) @ turn.T
    world = np.array([[a / 1000, u / 1000, -b / 1000] for a, b, u in points])
    pixels, _ = cv2.projectPoints(world, cv2.Rodrigues(r)[0], -r @ eye, matrix, None)
    seen = pixels.reshape(-1, 2) / [wide / 2, -HIGH / 2] + [-1, 1]
    e = node["extras"]
    low = np.array([e["frame_left"], e["frame_foot"]])
    high = np.array([e["frame_right"], e["frame_top"]])
    frame = np.array(facts["frame_on_sensor_mm"]) * facts["drawn_per_sensor"]
    return np.array(facts["drawing_mm"]) / 2 + ((seen - low) / (high - low) - 0.5) * frame


def check(base):
    facts = json.loads(base.with_suffix(".json").read_text())
    model = read_json(base.with_suffix(".glb"))
    worst, count = 0.0, 0
    for camera in facts["cameras"]:
        points = [p for p in facts["points"] if p["shot"] == camera["shot"] and p["drawing"]]
        if not camera["planned"]:  # draws the leading one where the planned camera does
            points = [p for p in points if p["thing"] == "mark"]
        off = on_drawing(model, camera, [p["set"] for p in points]) - [p["drawing"] for p in points]
        distances = np.hypot(off[:, 0], off[:, 1])
        for point, distance in zip(points, distances):
            if not distance < MOST_MM:
                print(f"{base.name}, {camera['name']}: {point['thing']} {point['point']} is {distance:.3f} mm off")
        worst, count = max(worst, distances.max()), count + len(points)
    return worst, count


def main():
    bases = [p.with_suffix("") for folder in sys.argv[1:] for p in sorted(pathlib.Path(folder).glob("*.json"))]
    results = [check(base) for base in bases]
    worst, count = max(r[0] for r in results), sum(r[1] for r in results)
    print(f"{len(bases)} scenes, {count} points, the worst {worst:.4f} mm off")
    return 0 if worst < MOST_MM and count > 100 else 1


if __name__ == "__main__":
    sys.exit(main())
