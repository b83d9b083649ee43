#!/usr/bin/env python3
"""The demo book's drawings and its specs agree: the strokes of each puppet reach from the foot to the head that the facts state, to
1 mm on the drawing, and the sheet has the trim's proportions.

usage: drawings_agree.py GROUNDROW SPECS
Extents come from the curves themselves (Bezier polynomials), not from anything the drawing says about itself.
"""
import json
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"[MLCZ]|-?\d+(?:\.\d+)?")
SLACK_MM = 1.0


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


def check_drawing(facts, shot, path, faults):
    camera = next(c for c in facts["cameras"] if c["planned"] and c["shot"] == shot)
    wide, tall = camera["drawing_mm"]
    root = ET.parse(path).getroot()
    box = [float(v) for v in root.get("viewBox").split()]
    if abs(box[2] / box[3] / (wide / tall) - 1) > 0.001:
        faults.append(f"{path}: proportions {box[2]} x {box[3]}, the trim is {wide} x {tall}")
    points = {}
    for p in facts["points"]:
        if p["shot"] == shot:
            points[p["thing"], p["point"]] = p["drawing"]
    checked = 0
    for group in root.iter(SVG + "g"):
        name = (group.get("id") or "").replace("_", " ")
        if (name, "head") not in points:
            continue
        strokes = [p for part in group.iter(SVG + "path") for p in points_of(part.get("d"))]
        lowest, highest = box[3] - max(p[1] for p in strokes), box[3] - min(p[1] for p in strokes)
        left, right = min(p[0] for p in strokes), max(p[0] for p in strokes)
        foot, head = points[name, "foot"], points[name, "head"]
        if abs(lowest - foot[1]) > SLACK_MM or abs(highest - head[1]) > SLACK_MM:
            faults.append(f"{path}: {name} is drawn from {lowest:.2f} to {highest:.2f} mm, the facts have {foot[1]:.2f} to {head[1]:.2f}")
        if not left <= foot[0] <= right:
            faults.append(f"{path}: {name} is drawn beside its foot")
        checked += 1
    wanted = sum(1 for (thing, point) in points if point == "head")
    if checked != wanted:
        faults.append(f"{path}: {checked} puppets drawn, {wanted} on the set")
    return checked


def main():
    program, specs = sys.argv[1:3]
    faults, checked = [], 0
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([program, "compile", specs, "-o", folder, "--json", "-q"], check=True)
        for file in sorted(f for f in os.listdir(folder) if f.endswith(".json")):
            with open(os.path.join(folder, file), encoding="utf-8") as text:
                facts = json.load(text)
            for shot in dict.fromkeys(c["shot"] for c in facts["cameras"]):
                name = facts["scene"] + ("-" + shot if shot else "")
                checked += check_drawing(facts, shot, os.path.join(specs, "drawings", name + ".svg"), faults)
    print("\n".join(faults))
    print(f"{checked} puppets compared, {len(faults)} faults")
    sys.exit(1 if faults or checked == 0 else 0)


main()
