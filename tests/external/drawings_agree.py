#!/usr/bin/env python3
"""The demo book's drawings and its specs agree, to 1 mm on the drawing: the strokes of each puppet reach from its foot to its head, its
eyes are at its eyes and its feet on both sides of its axis; flats and boxes reach as far as their corners, posts and cones as high as
their tops. The sheet and the PNG have the trim's proportions.

usage: drawings_agree.py GROUNDROW SPECS
Extents come from the curves themselves (Bezier polynomials), not from anything the drawing says about itself. The PNG's header is read
as the PNG specification (third edition, 11.2.1) has it.
"""
import json
import os
import re
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"[MLCZ]|-?\d+(?:\.\d+)?")
SLACK_MM = 1.0
LARGEST_PNG_BYTES = 60000
NOT_DRAWN = ("mark", "frame", "ground", "base", "backdrop")


def points_of(d):
    """Points along a path of absolute M, L and C commands."""
    tokens, at, command, i = NUMBER.findall(d), None, None, 0
    while i < len(tokens):
        if tokens[i] in "MLCZ":
            command = tokens[i]
            i += 1
            continue
        if command in "ML":
            at = (float(tokens[i]), float(tokens[i + 1]))
            i += 2
            yield at
        else:
            c = [float(t) for t in tokens[i:i + 6]]
            i += 6
            for k in range(1, 17):
                t = k / 16
                yield tuple((1 - t) ** 3 * at[a] + 3 * (1 - t) ** 2 * t * c[a] + 3 * (1 - t) * t * t * c[2 + a] + t ** 3 * c[4 + a]
                            for a in (0, 1))
            at = (c[4], c[5])


class Extent:
    def __init__(self, points):
        self.left, self.right = min(p[0] for p in points), max(p[0] for p in points)
        self.low, self.high = min(p[1] for p in points), max(p[1] for p in points)
        self.middle = ((self.left + self.right) / 2, (self.low + self.high) / 2)


class Check:
    """One drawing against the facts of its shot."""

    def __init__(self, facts, shot, path):
        self.facts, self.shot, self.path = facts, shot, path
        self.puppets, self.things, self.faults = 0, 0, []

    def fault(self, text):
        self.faults.append(f"{os.path.basename(self.path)}: {text}")

    def near(self, thing, what, drawn, wanted, more=0.0):
        if not wanted - SLACK_MM <= drawn <= wanted + SLACK_MM + more:
            self.fault(f"{thing}: {what} is drawn at {drawn:.2f} mm, the facts have {wanted:.2f} mm")

    def block(self, kind, name):
        for b in self.facts["blocks"]:
            if b["kind"] == kind and b["name"].split(" in ")[0] == name and b["shot"] in ("", self.shot):
                return b["facts"]
        return {}

    def puppet(self, name, q, strokes, eyes):
        all_of_it = Extent(strokes)
        foot, tall, block = q["foot"], q["head"][1] - q["foot"][1], self.block("puppet", name)
        share = (q["eyes"][1] - foot[1]) / tall
        tall = block.get("stated_tall", {"mm": tall})["mm"]     # what a spec states of its drawing goes before what the set would show
        self.near(name, "foot", all_of_it.low, foot[1])
        self.near(name, "head", all_of_it.high, foot[1] + tall)
        if not eyes:
            self.fault(f"{name} has no eyes")
        for eye in eyes:
            self.near(name, "eye", Extent(eye).middle[1], foot[1] + share * tall)
        if block.get("pose") == "flying":
            if not all_of_it.left < foot[0] < all_of_it.right:
                self.fault(f"{name} is drawn beside its axis")
        elif block.get("pose") != "seated":
            feet = [p[0] for p in strokes if p[1] < all_of_it.low + 0.02 * tall]
            if not min(feet) < foot[0] < max(feet):
                self.fault(f"{name} has its feet beside its axis")
        self.puppets += 1

    def corners(self, name, q, strokes):
        drawn, wanted = Extent(strokes), Extent(list(q.values()))
        self.near(name, "left edge", drawn.left, wanted.left)
        self.near(name, "right edge", drawn.right, wanted.right)
        self.near(name, "lower edge", drawn.low, wanted.low)
        self.near(name, "upper edge", drawn.high, wanted.high)

    def upright(self, name, q, strokes):
        """Posts and cones: a row begins at its first one's foot; the round top of a post rises above its middle, by less than half its width."""
        drawn, top = Extent(strokes), q.get("top") or q["tip"]
        block = self.block("piece", name)
        one = "row" not in block
        self.near(name, "foot", drawn.low, q["foot"][1])
        half = block["thick"]["mm"] / 2 * (top[1] - q["foot"][1]) / block["tall"]["mm"] if "top" in q else 0
        self.near(name, "top", drawn.high, top[1], half)
        if one:
            low = [p[0] for p in strokes if p[1] < q["foot"][1] + SLACK_MM]
            self.near(name, "axis", (min(low) + max(low)) / 2, q["foot"][0])

    def png(self, wide, tall):
        path = self.path[:-4] + ".png"
        with open(path, "rb") as file:
            head = file.read(26)
        across, up = struct.unpack(">II", head[16:24])
        if head[:8] != b"\x89PNG\r\n\x1a\n" or abs(across / up / (wide / tall) - 1) > 0.01:
            self.fault(f"the PNG is {across} x {up}, the trim {wide} x {tall}")
        if head[24] != 8 or head[25] not in (0, 3) or os.path.getsize(path) >= LARGEST_PNG_BYTES:
            self.fault(f"the PNG is not small: {os.path.getsize(path)} bytes, depth {head[24]}, colour type {head[25]}")

    def run(self):
        camera = next(c for c in self.facts["cameras"] if c["planned"] and c["shot"] == self.shot)
        wide, tall = camera["drawing_mm"]
        root = ET.parse(self.path).getroot()
        box = [float(v) for v in root.get("viewBox").split()]
        if abs(box[2] - wide) > 0.01 or abs(box[3] - tall) > 0.01:
            self.fault(f"the sheet is {box[2]} x {box[3]}, the trim is {wide} x {tall}")
        self.png(wide, tall)
        things = {}
        for p in self.facts["points"]:
            if p["shot"] == self.shot and p["thing"] not in NOT_DRAWN:
                things.setdefault(p["thing"], {})[p["point"]] = p["drawing"]
        groups = {(g.get("id") or "").replace("_", " "): g for g in root.iter(SVG + "g")}
        for name, q in things.items():
            if name not in groups:
                self.fault(f"{name} is on the set and not drawn")
                continue
            paths = [(part.get("class"), [(x, box[3] - y) for x, y in points_of(part.get("d"))]) for part in groups[name].iter(SVG + "path")]
            strokes = [p for _, points in paths for p in points]
            if "head" in q:
                self.puppet(name, q, strokes, [points for kind, points in paths if kind == "eye"])
            elif "top" in q or "tip" in q:
                self.upright(name, q, strokes)
            else:
                self.corners(name, q, strokes)
            self.things += 1


def main():
    program, specs = sys.argv[1:3]
    faults, puppets, things = [], 0, 0
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([program, "compile", specs, "-o", folder, "--json", "-q"], check=True)
        for file in sorted(f for f in os.listdir(folder) if f.endswith(".json")):
            with open(os.path.join(folder, file), encoding="utf-8") as text:
                facts = json.load(text)
            for shot in dict.fromkeys(c["shot"] for c in facts["cameras"]):
                check = Check(facts, shot, os.path.join(specs, "drawings", facts["scene"] + ("-" + shot if shot else "") + ".svg"))
                check.run()
                faults += check.faults
                puppets += check.puppets
                things += check.things
    print("\n".join(faults))
    print(f"{puppets} puppets and {things - puppets} other things compared, {len(faults)} faults")
    sys.exit(1 if faults or puppets == 0 else 0)


main()
