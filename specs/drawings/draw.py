#!/usr/bin/env python3
"""Draws the demo book's drawings: line art of our own, set down where the specs say.

usage: draw.py FACTS_FOLDER      (of `groundrow compile specs -o FACTS_FOLDER --json`)

Writes NN-name.svg (NN-name-SHOT.svg) beside this file, in millimetres of the drawing, and makes the PNGs of them with rsvg-convert.
Puppets touch the ground and end at the top exactly where the facts have their foot and head.
"""
import json
import math
import os
import subprocess
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
PEN, PAPER, WASH, WATER = "#3a332c", "#fbf8f0", "#efe9da", "#e3ebec"


def smooth(points, closed=True):
    """A Catmull-Rom curve through points, as cubic Beziers: [(start), (c1, c2, end) ...]."""
    n = len(points)
    at = (lambda i: points[i % n]) if closed else (lambda i: points[max(0, min(n - 1, i))])
    path = [points[0]]
    for i in range(n if closed else n - 1):
        p0, p1, p2, p3 = at(i - 1), at(i), at(i + 1), at(i + 2)
        c1 = (p1[0] + (p2[0] - p0[0]) / 6, p1[1] + (p2[1] - p0[1]) / 6)
        c2 = (p2[0] - (p3[0] - p1[0]) / 6, p2[1] - (p3[1] - p1[1]) / 6)
        path.append((c1, c2, p2))
    return path


def ring(x, y, rx, ry=None, n=12):
    ry = rx if ry is None else ry
    return [(x + rx * math.cos(2 * math.pi * i / n), y + ry * math.sin(2 * math.pi * i / n)) for i in range(n)]


class Sheet:
    """One drawing: y up in millimetres while drawing, y down in the file."""

    def __init__(self, wide, tall):
        self.wide, self.tall, self.parts = wide, tall, []

    def xy(self, p):
        return f"{p[0]:.3f} {self.tall - p[1]:.3f}"

    def curve(self, path, fill="none", width=0.8, closed=True):
        d = "M" + self.xy(path[0]) + "".join(" C" + " ".join(self.xy(p) for p in c) for c in path[1:])
        self.add(d + (" Z" if closed else ""), fill, width)

    def line(self, points, fill="none", width=0.8, closed=False):
        d = "M" + " L".join(self.xy(p) for p in points)
        self.add(d + (" Z" if closed else ""), fill, width)

    def add(self, d, fill, width):
        stroke = f'stroke="{PEN}" stroke-width="{width:g}"' if width else 'stroke="none"'
        self.parts.append(f'<path d="{d}" fill="{fill}" {stroke}/>')

    def open(self, name):
        self.parts.append(f'<g id="{name}">')

    def close(self):
        self.parts.append("</g>")

    def text(self):
        return (f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.wide:.4f}mm" height="{self.tall:.4f}mm" '
                f'viewBox="0 0 {self.wide:.4f} {self.tall:.4f}">\n<g stroke-linejoin="round" stroke-linecap="round">\n'
                f'<rect width="{self.wide:.4f}" height="{self.tall:.4f}" fill="{PAPER}"/>\n' + "\n".join(self.parts) + "\n</g>\n</svg>\n")


class Figure:
    """Strokes in a box of height 1 with the foot at (0, 0); `face` 1 looks right, -1 left."""

    def __init__(self, sheet, foot, head, face=1):
        self.sheet, self.foot, self.face = sheet, foot, face
        self.tall = head[1] - foot[1]
        self.lean = head[0] - foot[0]
        self.pen = max(0.45, min(1.1, self.tall / 90))

    def at(self, p):
        return (self.foot[0] + self.face * p[0] * self.tall + p[1] * self.lean, self.foot[1] + p[1] * self.tall)

    def shape(self, points, fill=PAPER, width=1.0):
        self.sheet.curve(smooth([self.at(p) for p in points]), fill, width * self.pen)

    def stroke(self, points, width=1.0):
        self.sheet.curve(smooth([self.at(p) for p in points], False), "none", width * self.pen, False)

    def dot(self, x, y, r):
        self.sheet.curve(smooth([self.at(p) for p in ring(x, y, r)]), PEN, 0)

    def poly(self, points, fill=PAPER, width=1.0):
        self.sheet.line([self.at(p) for p in points], fill, width * self.pen, True)


def otter(f, pose):
    if pose == "seated":
        f.shape([(-.2, .02), (-.46, .03), (-.6, .16), (-.52, .2), (-.3, .14)])                     # tail
        f.shape([(-.26, .03), (-.3, .3), (-.17, .58), (.1, .6), (.24, .34), (.22, .05), (0, .005)])
        f.shape([(.04, .015), (.3, .005), (.5, .06), (.48, .2), (.26, .21), (.08, .17)])           # leg
        head = .80
    else:
        f.shape([(-.08, .1), (-.22, .02), (-.36, .03), (-.42, .12), (-.36, .13), (-.24, .12), (-.12, .2)])
        f.shape([(-.15, .05), (-.165, .25), (-.12, .5), (-.1, .68), (.08, .7), (.12, .5), (.155, .25), (.14, .05), (0, .02)])
        f.shape([(-.075, .12), (-.09, .3), (-.05, .46), (.04, .47), (.085, .3), (.07, .12), (0, .085)], WASH, .6)
        for x in (-.085, .075):
            f.shape([(x - .065, .012), (x - .05, .05), (x + .03, .055), (x + .07, .02), (x + .03, .0), (x - .03, .0)])
        f.stroke([(-.11, .6), (-.19, .46), (-.15, .36), (-.07, .35)])                               # arms
        f.stroke([(.1, .62), (.2, .52), (.22, .42)])
        f.stroke([(.235, .02), (.222, .42), (.21, .93)], 1.3)                                       # the ferry pole
        head = .83
    r = 1 - head
    for x in (-.13, .12):
        f.shape(ring(x * r / .17, head + .1 * r / .17, .035 * r / .17), PAPER)
    f.shape([(-1.0 * r, head - .1 * r), (-.85 * r, head + .6 * r), (0, head + r), (.85 * r, head + .6 * r), (1.0 * r, head - .1 * r),
             (.75 * r, head - .75 * r), (0, head - .95 * r), (-.75 * r, head - .75 * r)])
    f.shape(ring(.12 * r, head - .38 * r, .5 * r, .34 * r), WASH, .6)
    f.dot(.12 * r, head - .15 * r, .13 * r)
    for x in (-.36, .58):
        f.dot(x * r, head + .12 * r, .085 * r)
    for s in (-1, 1):
        for k in (-.05, -.28):
            f.stroke([(.12 * r + s * .4 * r, head - .36 * r), (.12 * r + s * 1.15 * r, head + k * r - .25 * r)], .45)
    f.stroke([(-.1 * r, head - .5 * r), (.12 * r, head - .56 * r), (.34 * r, head - .5 * r)], .6)


def heron(f, pose):
    if pose == "flying":
        f.shape([(-1.3, .62), (-.8, .92), (-.3, .72), (-.1, .55), (-.5, .5), (-.95, .5)])
        f.shape([(.1, .6), (.5, .98), (1.1, .99), (1.5, .8), (.9, .66), (.4, .46)])
        f.shape([(-.55, .42), (-.2, .3), (.25, .32), (.5, .5), (.2, .62), (-.3, .58)])
        f.stroke([(.45, .5), (.75, .36), (.7, .22), (.95, .2)], 1.2)
        f.shape(ring(.98, .2, .11, .09))
        f.poly([(1.06, .235), (1.42, .15), (1.06, .16)], WASH)
        f.dot(.99, .225, .018)
        for k in (0, .05):
            f.stroke([(-.5, .44), (-1.0, .2 - k), (-1.35, .08 - k), (-1.45, .0 + k * 1.2)], .9)
        for x in (-1.1, -.75, .75, 1.1):
            f.stroke([(x, .62 if x < 0 else .76), (x * .82, .53 if x < 0 else .66)], .5)
        return
    for x in (-.045, .05):
        f.stroke([(x, .44), (x + .012, .22), (x - .006, .012)], 1.1)
        f.stroke([(x - .075, .0), (x - .006, .014), (x + .05, .0)], .9)
    f.shape([(-.26, .33), (-.2, .42), (-.09, .58), (.06, .63), (.13, .54), (.1, .42), (-.02, .36), (-.16, .36)])
    f.stroke([(-.18, .41), (-.02, .44), (.07, .53)], .7)
    f.stroke([(-.12, .4), (.0, .4), (.06, .45)], .5)
    f.shape([(.05, .58), (.1, .68), (.06, .78), (.05, .88), (.1, .925), (.12, .86), (.135, .76), (.165, .68), (.13, .56)])
    f.poly([(.17, .955), (.42, .905), (.17, .905)], WASH)
    f.shape([(.035, .93), (.07, .982), (.12, 1.0), (.17, .98), (.185, .93), (.13, .895), (.07, .9)])
    f.stroke([(.04, .96), (-.03, .955), (-.12, .915)], .8)
    f.dot(.135, .945, .013)


def vole(f, pose):
    if pose == "seated":
        f.stroke([(-.3, .06), (-.52, .02), (-.66, .1)], .9)
        f.shape([(-.32, .04), (-.37, .28), (-.24, .54), (.16, .56), (.34, .3), (.3, .04), (0, .005)])
        for s in (-1, 1):
            f.shape(ring(s * .24, .1, .13, .095))
        head, r = .70, .24
    else:
        f.stroke([(-.17, .07), (-.34, .02), (-.45, .09)], .8)
        f.shape([(-.19, .04), (-.235, .24), (-.16, .47), (.13, .48), (.22, .24), (.19, .04), (0, .015)])
        f.shape([(-.09, .1), (-.1, .28), (0, .39), (.1, .28), (.09, .1), (0, .07)], WASH, .6)
        for x in (-.1, .1):
            f.shape(ring(x, .03, .075, .03))
        f.stroke([(-.17, .4), (-.24, .3), (-.16, .26)])
        f.stroke([(.16, .4), (.24, .31), (.17, .26)])
        f.shape([(-.17, .465), (0, .43), (.17, .465), (.16, .51), (0, .48), (-.16, .51)], WASH, .8)    # scarf
        head, r = .69, .215
    for s in (-1, 1):
        f.shape(ring(s * .72 * r, head + .8 * r, .40 * r))
        f.shape(ring(s * .72 * r, head + .8 * r, .23 * r), WASH, .5)
    top = 1 - head
    f.shape([(-1.02 * r, head), (-.8 * r, head + .72 * r), (-.34 * r, head + .95 * top), (0, head + top), (.34 * r, head + .95 * top), (.8 * r, head + .72 * r), (1.02 * r, head), (.65 * r, head - .72 * r),
             (0, head - .92 * r), (-.65 * r, head - .72 * r)])
    f.dot(.05 * r, head - .28 * r, .1 * r)
    for x in (-.38, .46):
        f.dot(x * r, head + .1 * r, .1 * r)
    f.stroke([(-.1 * r, head - .52 * r), (.05 * r, head - .58 * r), (.2 * r, head - .52 * r)], .6)
    for s in (-1, 1):
        f.stroke([(s * .45 * r, head - .3 * r), (s * 1.2 * r, head - .2 * r)], .4)


ANIMALS = {"otter": otter, "heron": heron, "vole": vole}


class Scene:
    """The facts of one shot, as places on the drawing."""

    def __init__(self, facts, shot):
        self.facts, self.shot = facts, shot
        self.camera = next(c for c in facts["cameras"] if c["planned"] and c["shot"] == shot)
        self.wide, self.tall = self.camera["drawing_mm"]
        self.things = {}
        for p in facts["points"]:
            if p["shot"] == shot:
                self.things.setdefault(p["thing"], {})[p["point"]] = p

    def project(self, across, back, up):
        c = self.camera
        t = math.radians(c["tilt_deg"])
        away, down = back + c["distance_mm"], c["height_mm"] - up
        w = away * math.cos(t) + down * math.sin(t)
        q = away * math.sin(t) - down * math.cos(t)
        k, v = c["drawn_per_sensor"], c["image_mm"]
        return (self.wide / 2 + k * (v * (across - c["across_mm"]) / w - c["crop_mm"][0]), self.tall / 2 + k * (v * q / w - c["crop_mm"][1]))

    def block(self, kind, name):
        """The block of a thing; in one shot where it has one of its own."""
        for b in self.facts["blocks"]:
            if b["kind"] == kind and b["name"].split(" in ")[0] == name and b["shot"] in ("", self.shot):
                return b["facts"]
        return {}

    def xy(self, thing, point):
        return tuple(self.things[thing][point]["drawing"])

    def set(self, thing, point):
        return self.things[thing][point]["set"]


def depth_of(points):
    return max(p["set"][1] for p in points.values())


def draw_land(s, sheet):
    """Sky, far ground line and a few strokes for water or floor."""
    rear = max((p["set"][1] for p in s.things["ground"].values()), default=0)
    c = s.camera
    y = s.project(c["across_mm"], rear, 0)[1]
    y = min(y, s.tall + 5)
    sheet.line([(-5, -5), (s.wide + 5, -5), (s.wide + 5, y), (-5, y)], WATER, 0, True)
    sheet.line([(-5, y), (s.wide + 5, y)], "none", .7)
    front = -5
    if "left wall" in s.things:  # a floor, not a river
        return
    for i in range(1, 6):
        level = y + (front - y) * (i / 6) ** 1.5
        for j in range(3):
            x = s.wide * ((i * 37 + j * 61) % 100) / 100
            length = 6 + 5 * i
            sheet.curve(smooth([(x, level), (x + length / 3, level + .7), (x + 2 * length / 3, level - .5), (x + length, level + .2)], False), "none",
                        .4, False)


def draw_mounds(s, sheet):
    """Mounds as their outline against what is behind them: the top of the cosine, projected."""
    for b in s.facts["blocks"]:
        if b["kind"] != "mound":
            continue
        f = b["facts"]
        wide, tall = f["wide"]["mm"], f["tall"]["mm"]
        lens = s.camera["across_mm"]
        base = min(p["set"][1] for p in s.things.get("base", s.things["ground"]).values())
        tape = next(t["facts"]["place"] for t in s.facts["blocks"] if t["kind"] == "tape-out" and t["name"] == b["name"])
        across, back = tape["right_mm"] + lens, tape["behind_mm"] + base
        ridge = [s.project(across + wide / 2 * x / 10, back, tall / 2 * (1 + math.cos(math.pi * x / 10))) for x in range(-10, 11)]
        sheet.curve(smooth(ridge, False), PAPER, .7, False)
        for k in (-4, -1, 3):
            x, y = s.project(across + wide / 2 * k / 10, back, tall / 2 * (1 + math.cos(math.pi * k / 10)) * .7)
            sheet.curve(smooth([(x, y), (x + 1, y + 2.4), (x + 2.4, y + 3.2)], False), "none", .4, False)


def draw_panel(s, sheet, name):
    p = [s.xy(name, k) for k in ("foot left", "foot right", "top right", "top left")]
    if name == "backdrop":
        return
    sheet.line(p, PAPER, .8, True)
    low = name in ("far bank", "hedge")
    if low:
        top = [(p[3][0] + (p[2][0] - p[3][0]) * i / 40, p[3][1] + (1.6 if i % 2 else -.8)) for i in range(41)]
        sheet.curve(smooth(top, False), "none", .6, False)
        return
    if "wall" in name:
        return
    wide, tall = p[1][0] - p[0][0], p[3][1] - p[0][1]
    if tall > 1.5 * wide:
        sheet.line([p[3], ((p[3][0] + p[2][0]) / 2, p[3][1] - 0), p[2]], WASH, .8, True)
    ridge = min(tall * .3, wide * .3)
    sheet.line([(p[3][0] - wide * .03, p[3][1] - ridge), ((p[3][0] + p[2][0]) / 2, p[3][1]), (p[2][0] + wide * .03, p[2][1] - ridge)], "none", .8)
    rows = max(1, int(tall / 14))
    if name != "boathouse":
        for r in range(rows):
            x, y = p[0][0] + wide * .3, p[0][1] + tall * (.18 + .5 * r / max(1, rows))
            sheet.line([(x, y), (x + wide * .16, y), (x + wide * .16, y + tall * .12), (x, y + tall * .12)], WASH, .5, True)


def draw_openings(s, sheet, flat):
    """Windows and doors, in the plane of their flat."""
    a, b, d = s.set(flat, "foot left"), s.set(flat, "foot right"), s.set(flat, "top left")
    half = math.dist(a[:2], b[:2]) / 2
    middle = [(a[i] + b[i]) / 2 for i in range(3)]
    along = [(b[i] - a[i]) / (2 * half) for i in range(2)]
    for block in s.facts["blocks"]:
        if block["kind"] != "opening" or not block["name"].split(" in ")[0].endswith(" of " + flat):
            continue
        f = block["facts"]
        wide, tall = f["wide"]["mm"], f["tall"]["mm"]
        across, sill = f["across"]["mm"], f.get("sill", {}).get("mm", 0)
        corners = [(across - wide / 2, sill), (across + wide / 2, sill), (across + wide / 2, sill + tall), (across - wide / 2, sill + tall)]
        p = [s.project(middle[0] + x * along[0], middle[1] + x * along[1], middle[2] + z) for x, z in corners]
        sheet.line(p, WASH, .7, True)
        if sill > 0:
            sheet.line([((p[0][0] + p[1][0]) / 2, p[0][1]), ((p[2][0] + p[3][0]) / 2, p[2][1])], "none", .5)
            sheet.line([((p[0][0] + p[3][0]) / 2, (p[0][1] + p[3][1]) / 2), ((p[1][0] + p[2][0]) / 2, (p[1][1] + p[2][1]) / 2)], "none", .5)



def draw_box(s, sheet, name):
    q = s.things[name]
    xy = lambda k: tuple(q[k]["drawing"])
    front = [xy(k) for k in ("front left foot", "front right foot", "front right top", "front left top")]
    faces = [[xy(k) for k in ("front left top", "front right top", "rear right top", "rear left top")],
             [xy(k) for k in ("front left foot", "front left top", "rear left top", "rear left foot")],
             [xy(k) for k in ("front right foot", "front right top", "rear right top", "rear right foot")]]
    for face, fill in zip(faces, (WASH, PAPER, PAPER)):
        sheet.line(face, fill, .8, True)
    sheet.line(front, PAPER, .8, True)
    planks = 3 if front[1][0] - front[0][0] > 30 else 2
    for i in range(1, planks):
        k = i / planks
        a = (front[0][0] + (front[3][0] - front[0][0]) * k, front[0][1] + (front[3][1] - front[0][1]) * k)
        b = (front[1][0] + (front[2][0] - front[1][0]) * k, front[1][1] + (front[2][1] - front[1][1]) * k)
        sheet.line([a, b], "none", .4)


def draw_steps(s, sheet, name, steps=4):
    q = {k: v["set"] for k, v in s.things[name].items()}
    front, rear = q["front left foot"], q["rear left foot"]
    right, top = q["front right foot"][0], q["rear left top"][2]
    for i in reversed(range(steps)):
        y0 = front[1] + (rear[1] - front[1]) * i / steps
        z = front[2] + (top - front[2]) * (i + 1) / steps
        y1 = front[1] + (rear[1] - front[1]) * (i + 1) / steps
        tread = [s.project(front[0], y0, z), s.project(right, y0, z), s.project(right, y1, z), s.project(front[0], y1, z)]
        riser = [s.project(front[0], y0, front[2]), s.project(right, y0, front[2]), s.project(right, y0, z), s.project(front[0], y0, z)]
        sheet.line(tread, WASH, .8, True)
        sheet.line(riser, PAPER, .8, True)


def draw_post(s, sheet, name, block):
    foot, top = s.set(name, "foot"), s.set(name, "top")
    row, every = 1, 0
    if "row" in block:
        row, every = int(block["row"].get("count", 1)), block["row"].get("every_mm", 0)
    thick = next((block[k]["mm"] for k in ("across", "thick", "wide") if k in block), 10)
    for i in range(row):
        a = s.project(foot[0] + i * every, foot[1], foot[2])
        b = s.project(top[0] + i * every, top[1], top[2])
        r = s.project(foot[0] + i * every + thick / 2, foot[1], foot[2])[0] - a[0]
        if "reed" in name:
            bend = .04 * (b[1] - a[1]) * (1 if i % 2 else -1)
            sheet.curve(smooth([a, (a[0] + bend / 3, (a[1] + b[1]) / 2), (b[0] + bend, b[1])], False), "none", .7, False)
            sheet.curve(smooth(ring(b[0] + bend, b[1] - 3, .9, 3)), WASH, .5)
            continue
        sheet.line([(a[0] - r, a[1]), (a[0] + r, a[1]), (b[0] + r, b[1]), (b[0] - r, b[1])], PAPER, .8, True)
        sheet.curve(smooth(ring(b[0], b[1], r, max(.3, r * .28))), WASH, .6)


def draw_cone(s, sheet, name, block):
    foot, tip = s.xy(name, "foot"), s.xy(name, "tip")
    half = abs(s.project(s.set(name, "foot")[0] + block["wide"]["mm"] / 2, *s.set(name, "foot")[1:])[0] - foot[0])
    if name == "bowl":
        sheet.curve(smooth([(foot[0] - half, tip[1]), (foot[0] - half * .6, foot[1] + .5), (foot[0] + half * .6, foot[1] + .5), (foot[0] + half, tip[1])], False),
                    PAPER, .8)
        return
    tall = tip[1] - foot[1]
    base = [(foot[0] - half * .8, foot[1]), (foot[0] + half * .8, foot[1]), (foot[0] + half * .62, foot[1] + tall * .68), (foot[0] - half * .62, foot[1] + tall * .68)]
    sheet.line(base, WASH, .8, True)
    sheet.line([(foot[0] - half, foot[1] + tall * .68), (foot[0] + half, foot[1] + tall * .68), tip], PAPER, .8, True)
    sheet.curve(smooth(ring(foot[0], foot[1] + tall * .3, half * .2, tall * .16)), PAPER, .6)
    for k in range(8):
        a = 2 * math.pi * k / 8 + .2
        c = (foot[0], foot[1] + tall * .36)
        sheet.line([(c[0] + half * 1.25 * math.cos(a), c[1] + tall * .62 * math.sin(a)), (c[0] + half * 1.6 * math.cos(a), c[1] + tall * .8 * math.sin(a))], "none", .4)


def draw_puppet(s, sheet, name):
    block = s.block("puppet", name)
    cast = next((c for c in ANIMALS if c in name), "otter")
    text = json.dumps(block)
    pose = "seated" if "seated" in text else "flying" if "flying" in text else ""
    foot, head = s.xy(name, "foot"), s.xy(name, "head")
    turn = next((b["facts"]["turn"]["deg"] for b in s.facts["blocks"] if b["kind"] == "tape-out" and b["name"].split(" in ")[0] == name
                 and "turn" in b["facts"]), 0)
    face = -1 if turn > 0 else 1
    sheet.open(name.replace(" ", "_"))
    ANIMALS[cast](Figure(sheet, foot, head, face), pose)
    sheet.close()


def draw(facts, shot, path):
    s = Scene(facts, shot)
    sheet = Sheet(s.wide, s.tall)
    draw_land(s, sheet)
    draw_mounds(s, sheet)
    skip = ("mark", "frame", "ground", "base", "backdrop")
    names = [n for n in s.things if n not in skip]
    names.sort(key=lambda n: (-depth_of(s.things[n]), max(p["set"][2] for p in s.things[n].values())))
    for name in names:
        points = s.things[name]
        kind = "foot left" in points and "flat" or "front left top" in points and "box" or "head" in points and "puppet" or \
            "tip" in points and "cone" or "front left foot" in points and "steps" or "post"
        if kind == "flat":
            draw_panel(s, sheet, name)
            draw_openings(s, sheet, name)
        elif kind == "box":
            draw_box(s, sheet, name)
        elif kind == "steps":
            draw_steps(s, sheet, name)
        elif kind == "cone":
            draw_cone(s, sheet, name, s.block("piece", name))
        elif kind == "puppet":
            draw_puppet(s, sheet, name)
        else:
            draw_post(s, sheet, name, s.block("piece", name))
    with open(path + ".svg", "w", encoding="utf-8") as out:
        out.write(sheet.text())
    subprocess.run(["rsvg-convert", "-w", "1400", "-o", path + ".png", path + ".svg"], check=True)


def main():
    folder = sys.argv[1]
    for file in sorted(os.listdir(folder)):
        if not file.endswith(".json"):
            continue
        with open(os.path.join(folder, file), encoding="utf-8") as text:
            facts = json.load(text)
        for shot in dict.fromkeys(c["shot"] for c in facts["cameras"]):
            draw(facts, shot, os.path.join(HERE, facts["scene"] + ("-" + shot if shot else "")))


main()
