#!/usr/bin/python3
"""Makes photos/fog-1.jpg, a photograph of a mock-up that nobody built: the things of scene 08-fog as boards, from a camera
that stands not quite where it was planned, with the post 2 1/4 in too near. Prints the marks as the spec has them.

    groundrow specs --scene 08-fog --json -o DIR; specs/photos/photograph.py DIR/08-fog.json
"""

import json
import math
import pathlib
import sys

import cv2
import numpy as np

WIDE, TALL, SENSOR = 3000, 2000, 23.5
SCALE = 2  # drawn larger, then shrunk, so that edges are smooth
POST_NEARER = 2.25 * 25.4
# The camera from where it was planned: mm and degrees.
NEARER, RIGHT, UP, TURN, TILT, ROLL, FOCAL = 45.0, -30.0, 15.0, 0.7, 0.3, -0.5, 40.3
MARK_PX = 1.0


class Camera:
    def __init__(self, planned):
        self.lens = np.array([planned["across_mm"] + RIGHT, -planned["distance_mm"] + NEARER, planned["height_mm"] + UP])
        turn, tilt, roll = math.radians(TURN), math.radians(planned["tilt_deg"] + TILT), math.radians(ROLL)
        self.forward = np.array([math.sin(turn) * math.cos(tilt), math.cos(turn) * math.cos(tilt), -math.sin(tilt)])
        right = np.array([math.cos(turn), -math.sin(turn), 0])
        down = np.array([-math.sin(turn) * math.sin(tilt), -math.cos(turn) * math.sin(tilt), -math.cos(tilt)])
        self.right = math.cos(roll) * right + math.sin(roll) * down
        self.down = math.cos(roll) * down - math.sin(roll) * right
        focus = np.array([0, 0, 248.0]) - self.lens
        distance = focus @ self.forward
        self.image = FOCAL * distance / (distance - FOCAL) * WIDE / SENSOR

    def project(self, point):
        ray = np.asarray(point, float) - self.lens
        depth = ray @ self.forward
        return WIDE / 2 + self.image * (ray @ self.right) / depth, TALL / 2 + self.image * (ray @ self.down) / depth


def main():
    facts = json.loads(pathlib.Path(sys.argv[1]).read_text())
    camera = Camera(next(c for c in facts["cameras"] if c["planned"]))
    points = {}
    for point in facts["points"]:
        at = np.array(point["set"], float)
        if point["thing"] == "post":
            at[1] -= POST_NEARER
        points[point["thing"], point["point"]] = at
    random = np.random.default_rng(8)
    picture = np.zeros((TALL * SCALE, WIDE * SCALE, 3), np.float32)
    picture[:] = (74, 70, 66)

    def fill(corners, color):
        outline = np.array([camera.project(c) for c in corners]) * SCALE
        cv2.fillPoly(picture, [np.round(outline * 16).astype(np.int32)], color, cv2.LINE_AA, 4)

    def face(thing, names, color):
        fill([points[thing, name] for name in names], color)

    def board(thing, wide, color):
        foot, head = points[thing, "foot"], points[thing, "head" if (thing, "head") in points else "top"]
        half, neck = np.array([wide / 2, 0, 0]), foot + (head - foot) * 0.7
        fill([foot - half, foot + half, neck + half, head + half * 0.45, head - half * 0.45, neck - half], color)

    face("backdrop", ["foot left", "foot right", "top right", "top left"], (196, 190, 178))
    ground = ["front left", "front right", "rear right", "rear left"]
    front = camera.lens[1] + 400  # what lies under the lens is not in the picture
    corners = [points["ground", name].copy() for name in ground]
    corners[0][1] = corners[1][1] = front
    fill(corners, (150, 160, 158))
    face("far bank", ["foot left", "foot right", "top right", "top left"], (112, 128, 120))
    board("heron", 120, (150, 140, 128))
    board("post", 19, (60, 78, 96))
    board("otter", 120, (66, 92, 128))
    for names, color in (([f"{side} {end}" for side, end in (("rear left", "top"), ("rear right", "top"), ("front right", "top"), ("front left", "top"))], (120, 150, 172)),
                         ([f"front {side} {end}" for side, end in (("left", "foot"), ("right", "foot"), ("right", "top"), ("left", "top"))], (92, 124, 150))):
        face("ferry", names, color)
    picture = cv2.resize(picture, (WIDE, TALL), interpolation=cv2.INTER_AREA)
    x, y = np.meshgrid(np.linspace(-1, 1, WIDE), np.linspace(-1, 1, TALL))
    picture *= (1.08 - 0.30 * (x * x + 0.6 * y * y) - 0.12 * (x + y) / 2)[..., None]
    picture = cv2.GaussianBlur(picture, (0, 0), 0.9) + random.normal(0, 3.5, picture.shape)
    folder = pathlib.Path(__file__).resolve().parent
    cv2.imwrite(str(folder / "fog-1.jpg"), np.clip(picture, 0, 255).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, 82])
    for thing, name in (("otter", "foot"), ("otter", "head"), ("heron", "foot"), ("heron", "head"), ("ferry", "front left foot"),
                        ("ferry", "front left top"), ("ferry", "front right top"), ("post", "foot"), ("post", "top"),
                        ("far bank", "foot left"), ("far bank", "top left"), ("far bank", "top right")):
        at = np.array(camera.project(points[thing, name])) + random.normal(0, MARK_PX, 2)
        if 0 <= at[0] <= WIDE and 0 <= at[1] <= TALL:
            print(f"      {thing}.{name}: [{at[0]:.0f} px, {at[1]:.0f} px]")


if __name__ == "__main__":
    main()
