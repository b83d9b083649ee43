#!/usr/bin/env python3
"""Draws the demo book's drawings: line art of our own, set down where the specs say.

usage: draw.py FACTS_FOLDER      (of `groundrow compile specs -o FACTS_FOLDER --json`)

Writes NN-name.svg (NN-name-SHOT.svg) beside this file, in millimetres of the drawing, and makes the PNGs of them with rsvg-convert.
Puppets touch the ground, look and end at the top exactly where the facts have their foot, eyes and head; where a spec states how tall a
puppet is drawn, it is drawn that tall.
"""
import json
import math
import os
import struct
import subprocess
import sys
import zlib

HERE = os.path.dirname(os.path.abspath(__file__))
PEN, PAPER, WASH, WATER = "#3a332c", "#fbf8f0", "#efe9da", "#e3ebec"
LAND, FAR, SHADE, WOOD = "#f3eedd", "#f0ede3", "#e2dac6", "#eadfc8"
BROWN, SAND, GRAY, DUSK, RED, LIGHT = "#d9c8ae", "#e4d3b8", "#cfd6d8", "#8d949a", "#d9a58f", "#f8e3a4"

# What the ground and the sky of each scene are: painting, not facts. `shore` is how far back the land ends and the water begins (in),
# `far shore` where it begins again.
LOOKS = {
    "01-the-landing": {"shore": 3, "sky": "hills town"},
    "02-the-lamp-is-lit": {"ground": "land", "sky": "moon"},
    "03-down-the-river": {"shore": 2, "far shore": 21, "sky": "hills"},
    "04-the-stair": {"ground": "land", "sky": ""},
    "05-the-kitchen": {"ground": "boards", "sky": ""},
    "06-from-the-bridge": {"sky": ""},
    "07-over-the-reeds": {"shoals": True, "sky": "hills clouds"},
    "08-fog": {"shoals": True, "sky": "fog"},
    "09-the-lamp-post": {"ground": "land", "sky": "moon"},
    "10-the-quay": {"far shore": 22, "sky": "clouds"},
    "11-by-lantern-light": {"shore": 8, "sky": "hills moon"},
    "12-home": {"ground": "land", "sky": "hills clouds"},
}


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


def limb(points, *radii):
    """The outline round a bent line whose half width goes through `radii`."""
    left, right, n = [], [], len(points) - 1
    for i, (x, y) in enumerate(points):
        ax, ay = points[max(0, i - 1)]
        bx, by = points[min(n, i + 1)]
        size = math.hypot(bx - ax, by - ay)
        k = i / n * (len(radii) - 1)
        j = min(int(k), len(radii) - 2)
        r = radii[j] + (radii[j + 1] - radii[j]) * (k - j)
        nx, ny = -(by - ay) / size * r, (bx - ax) / size * r
        left.append((x + nx, y + ny))
        right.append((x - nx, y - ny))
    return left + right[::-1]


class Sheet:
    """One drawing: y up in millimetres while drawing, y down in the file."""

    def __init__(self, wide, tall):
        self.wide, self.tall, self.parts = wide, tall, []

    def xy(self, p):
        return f"{p[0]:.3f} {self.tall - p[1]:.3f}"

    def curve(self, path, fill="none", width=0.8, closed=True, kind=""):
        d = "M" + self.xy(path[0]) + "".join(" C" + " ".join(self.xy(p) for p in c) for c in path[1:])
        self.add(d + (" Z" if closed else ""), fill, width, kind)

    def line(self, points, fill="none", width=0.8, closed=False):
        d = "M" + " L".join(self.xy(p) for p in points)
        self.add(d + (" Z" if closed else ""), fill, width)

    def add(self, d, fill, width, kind=""):
        stroke = f'stroke="{PEN}" stroke-width="{width:g}"' if width else 'stroke="none"'
        kind = f' class="{kind}"' if kind else ""
        self.parts.append(f'<path{kind} d="{d}" fill="{fill}" {stroke}/>')

    def open(self, name):
        self.parts.append(f'<g id="{name.replace(" ", "_")}">')

    def close(self):
        self.parts.append("</g>")

    def text(self):
        return (f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.wide:.4f}mm" height="{self.tall:.4f}mm" '
                f'viewBox="0 0 {self.wide:.4f} {self.tall:.4f}">\n<g stroke-linejoin="round" stroke-linecap="round">\n'
                f'<rect width="{self.wide:.4f}" height="{self.tall:.4f}" fill="{PAPER}"/>\n' + "\n".join(self.parts) + "\n</g>\n</svg>\n")


class Figure:
    """Strokes in a box of height 1 with the foot at (0, 0); `face` 1 looks right, -1 left; `eyes` is their share of the height."""

    def __init__(self, sheet, foot, head, face, eyes):
        self.sheet, self.foot, self.face, self.eyes = sheet, foot, face, eyes
        self.tall = head[1] - foot[1]
        self.lean = head[0] - foot[0]
        self.pen = max(0.45, min(1.1, self.tall / 90))

    def at(self, p):
        return (self.foot[0] + self.face * p[0] * self.tall + p[1] * self.lean, self.foot[1] + p[1] * self.tall)

    def shape(self, points, fill=PAPER, width=1.0):
        self.sheet.curve(smooth([self.at(p) for p in points]), fill, width * self.pen)

    def stroke(self, points, width=1.0):
        self.sheet.curve(smooth([self.at(p) for p in points], False), "none", width * self.pen, False)

    def dot(self, x, y, rx, ry=None, kind=""):
        self.sheet.curve(smooth([self.at(p) for p in ring(x, y, rx, ry)]), PEN, 0, kind=kind)

    def eye(self, x, r):
        self.dot(x, self.eyes, r, r * 1.15, "eye")
        self.sheet.curve(smooth([self.at(p) for p in ring(x + r * .3, self.eyes + r * .4, r * .3)]), PAPER, 0)

    def poly(self, points, fill=PAPER, width=1.0):
        self.sheet.line([self.at(p) for p in points], fill, width * self.pen, True)


def otter_head(f, k):
    """Head and boater; `k` is the size of the head against the standing otter's."""
    e = f.eyes
    c, brim = e - .035 * k, e + .046 * k
    for x in (-.112, .112):
        f.shape(ring(x * k, c + .045 * k, .026 * k), BROWN)
    f.shape([(-.125 * k, c - .02 * k), (-.105 * k, c + .06 * k), (0, c + .09 * k), (.105 * k, c + .06 * k), (.125 * k, c - .02 * k),
             (.075 * k, c - .085 * k), (0, c - .1 * k), (-.075 * k, c - .085 * k)], BROWN)
    f.shape(ring(0, c - .043 * k, .074 * k, .046 * k), PAPER, .6)
    f.dot(0, c - .017 * k, .024 * k, .016 * k)
    f.stroke([(0, c - .03 * k), (0, c - .05 * k)], .6)
    f.stroke([(-.034 * k, c - .052 * k), (-.016 * k, c - .06 * k), (0, c - .05 * k), (.016 * k, c - .06 * k), (.034 * k, c - .052 * k)], .6)
    for x in (-.055, .055):
        f.eye(x * k, .0125 * k)
    for s in (-1, 1):
        for j in (-.012, -.04, -.064):
            f.stroke([(s * .05 * k, c + (j - .006) * k), (s * .16 * k, c + (j * 1.5 + .012) * k)], .4)
    f.shape(ring(0, brim, .15 * k, .022 * k), LIGHT)
    f.poly([(-.082 * k, brim + .012 * k), (-.074 * k, 1), (.074 * k, 1), (.082 * k, brim + .012 * k)], LIGHT)
    band = brim + .026 * k
    f.poly([(-.082 * k, brim + .008 * k), (-.079 * k, band), (.079 * k, band), (.082 * k, brim + .008 * k)], RED, .6)


def otter(f, pose):
    if pose == "seated":
        f.shape(limb([(-.1, .1), (-.3, .07), (-.5, .08), (-.66, .17), (-.74, .25)], .09, .075, .05, .012), BROWN)
        f.shape([(-.24, .05), (-.27, .28), (-.19, .52), (-.12, .66), (.12, .66), (.19, .52), (.27, .28), (.24, .05), (0, .02)], BROWN)
        f.shape([(-.13, .1), (-.16, .3), (-.09, .6), (.09, .6), (.16, .3), (.13, .1), (0, .06)], PAPER, .6)
        for s in (-1, 1):
            f.shape(ring(s * .2, .07, .13, .07), BROWN)
            f.shape(limb([(s * .15, .58), (s * .24, .44), (s * .14, .34)], .045, .035, .035), BROWN)
        otter_head(f, 1.69)
        return
    f.shape(limb([(-.06, .13), (-.2, .07), (-.34, .06), (-.46, .12), (-.52, .2)], .075, .055, .035, .008), BROWN)
    f.shape([(-.13, .04), (-.17, .2), (-.145, .42), (-.1, .6), (-.085, .76), (.085, .76), (.1, .6), (.145, .42), (.17, .2), (.13, .04), (0, .025)], BROWN)
    f.shape([(-.075, .1), (-.1, .26), (-.07, .52), (-.05, .72), (.05, .72), (.07, .52), (.1, .26), (.075, .1), (0, .07)], PAPER, .6)
    for x in (-.085, .085):
        f.shape(ring(x, .026, .075, .026), BROWN)
        for j in (-.025, .025):
            f.stroke([(x + j, .006), (x + j * .8, .026)], .5)
    f.poly([(.221, 0), (.213, .97), (.231, .97), (.239, 0)], WOOD, .8)                          # the ferry pole
    f.shape(limb([(-.085, .66), (-.165, .55), (-.15, .44), (-.06, .41)], .035, .03, .028), BROWN)
    f.shape(limb([(.085, .66), (.15, .57), (.185, .53), (.235, .55)], .035, .03, .028), BROWN)
    f.shape([(-.1, .745), (0, .705), (.1, .745), (.09, .775), (0, .75), (-.09, .775)], RED, .7)          # kerchief
    f.shape([(-.02, .725), (.02, .725), (.045, .66), (.0, .675), (-.03, .65)], RED, .7)
    otter_head(f, 1)


def heron(f, pose):
    e = f.eyes
    if pose == "flying":
        f.shape([(-.05, .5), (-.3, .66), (-.34, .86), (-.22, .93), (-.02, 1.0), (.08, .93), (.2, .74), (.28, .56)], GRAY)     # far wing
        for x, y in ((-.24, .9), (-.12, .95), (-.31, .8)):
            f.stroke([(x, y), (x + .15, y - .2)], .5)
        for k in (0, .035):
            f.stroke([(-.4, .46 - k), (-.8, .41 - k), (-1.05, .42 - k), (-1.15, .4 - k * 1.6)], .9)
        f.shape([(-.62, .45), (-.4, .39), (0, .36), (.3, .42), (.46, .54), (.3, .6), (0, .58), (-.36, .53)], PAPER)
        f.shape(limb([(.34, .52), (.52, .47), (.6, .53), (.54, .62), (.62, e)], .075, .045, .035, .035), PAPER)
        f.poly([(.7, e + .03), (1.06, e - .03), (.7, e - .04)], LIGHT)
        f.shape(ring(.65, e - .002, .085, .052), PAPER)
        f.shape([(.62, e + .045), (.5, e + .06), (.34, e + .03), (.5, e + .03), (.6, e + .02)], DUSK, .6)
        f.eye(.675, .017)
        f.shape([(.3, .54), (.18, .36), (.14, .16), (.0, .0), (-.1, .03), (-.22, .12), (-.36, .22), (-.44, .42), (-.1, .57), (.15, .6)], GRAY)   # near wing
        f.shape([(.14, .16), (0, .0), (-.1, .03), (-.22, .12), (-.36, .22), (-.14, .24)], DUSK, .6)
        for x, y in ((-.08, .06), (-.2, .14), (-.31, .23)):
            f.stroke([(x, y), (x + .1, y + .26)], .5)
        return
    for x in (-.045, .045):
        f.stroke([(x, .44), (x + .01, .22), (x, .012)], 1.3)
        f.stroke([(x + .01, .225), (x + .02, .215)], 1.8)
        f.stroke([(x - .06, .0), (x, .014), (x + .06, .0)], .9)
    f.shape([(-.32, .3), (-.24, .37), (-.1, .36), (.05, .38), (.14, .47), (.13, .58), (.04, .64), (-.08, .6), (-.2, .48)], PAPER)
    f.shape(limb([(.075, .53), (.115, .61), (.1, .68), (.05, .74), (.03, .8), (.055, .86), (.1, e - .005)], .065, .045, .035, .03, .03, .03, .03), PAPER)
    f.stroke([(.1, .55), (.125, .62), (.115, .67)], .5)
    f.stroke([(.08, .71), (.05, .77)], .5)
    f.shape([(-.34, .29), (-.22, .44), (-.1, .58), (.03, .62), (.08, .54), (.04, .45), (-.08, .4), (-.2, .35)], GRAY)
    f.shape([(-.34, .29), (-.27, .385), (-.19, .42), (-.1, .405), (-.2, .35)], DUSK, .6)
    for y in (0, .045, .09):
        f.stroke([(-.14 + y, .43 + y), (-.04 + y * .7, .455 + y), (.025, .5 + y * .9)], .5)
    f.poly([(.16, e + .022), (.42, e - .028), (.16, e - .024)], LIGHT)
    f.stroke([(.16, e - .003), (.36, e - .02)], .4)
    f.shape([(.045, e - .01), (.06, e + .025), (.11, e + .04), (.165, e + .027), (.185, e), (.155, e - .028), (.1, e - .037), (.06, e - .03)], PAPER)
    f.shape([(.16, e + .03), (.1, e + .062), (.03, e + .088), (-.05, 1.0), (-.13, .982), (-.18, .945), (-.11, .966), (-.04, .972), (.02, e + .06),
             (.08, e + .022)], DUSK, .6)
    f.eye(.135, .0115)


def vole_head(f, k):
    e = f.eyes
    c, ear = e - .025 * k, .068 * k
    for s in (-1, 1):
        f.shape(ring(s * .15 * k, 1 - ear, ear), SAND)
        f.shape(ring(s * .15 * k, 1 - ear, ear * .6), RED, .5)
    f.shape([(-.215 * k, c - .03 * k), (-.175 * k, c + .085 * k), (-.07 * k, c + .148 * k), (.07 * k, c + .148 * k), (.175 * k, c + .085 * k),
             (.215 * k, c - .03 * k), (.16 * k, c - .125 * k), (0, c - .16 * k), (-.16 * k, c - .125 * k)], SAND)
    f.shape(ring(0, c - .072 * k, .088 * k, .058 * k), PAPER, .5)
    for s in (-1, 1):
        f.sheet.curve(smooth([f.at(p) for p in ring(s * .15 * k, c - .06 * k, .03 * k, .02 * k)]), RED, 0)
        for j in (-.05, -.078):
            f.stroke([(s * .08 * k, c + j * k), (s * .25 * k, c + (j * 1.3 + .02) * k)], .4)
        f.eye(s * .09 * k, .0215 * k)
    f.dot(0, c - .038 * k, .024 * k, .018 * k)
    f.stroke([(0, c - .05 * k), (0, c - .078 * k)], .6)
    f.stroke([(-.038 * k, c - .08 * k), (-.018 * k, c - .092 * k), (0, c - .078 * k), (.018 * k, c - .092 * k), (.038 * k, c - .08 * k)], .6)
    f.stroke([(-.02 * k, c + .15 * k), (-.005 * k, c + .115 * k), (.012 * k, c + .15 * k)], .5)


def vole(f, pose):
    if pose == "seated":
        f.stroke([(-.22, .07), (-.4, .04), (-.52, .1)], .9)
        f.shape([(-.27, .06), (-.31, .24), (-.22, .46), (-.13, .56), (.13, .56), (.22, .46), (.31, .24), (.27, .06), (0, .03)], SAND)
        f.shape([(-.15, .1), (-.18, .26), (-.08, .46), (.08, .46), (.18, .26), (.15, .1), (0, .07)], PAPER, .5)
        for s in (-1, 1):
            f.shape(limb([(s * .2, .46), (s * .27, .33), (s * .13, .27)], .05, .042, .042), SAND)
            f.shape(ring(s * .17, .08, .125, .08), SAND)
            f.shape(ring(s * .17, .075, .07, .045), RED, .5)
        f.shape([(-.24, .47), (0, .41), (.24, .47), (.22, .545), (0, .5), (-.22, .545)], RED, .8)
        vole_head(f, 1.53)
        return
    f.stroke([(-.14, .09), (-.3, .04), (-.4, .08), (-.45, .15)], .9)
    f.shape([(-.15, .05), (-.2, .22), (-.165, .46), (-.1, .66), (.1, .66), (.165, .46), (.2, .22), (.15, .05), (0, .03)], SAND)
    f.shape([(-.085, .1), (-.12, .24), (-.08, .46), (-.05, .58), (.05, .58), (.08, .46), (.12, .24), (.085, .1), (0, .07)], PAPER, .5)
    for x in (-.095, .095):
        f.shape(ring(x, .034, .085, .034), SAND)
    for s in (-1, 1):
        f.shape(limb([(s * .13, .57), (s * .195, .46), (s * .17, .37), (s * .1, .34)], .036, .032, .03), SAND)
    f.shape([(-.155, .615), (0, .57), (.155, .615), (.15, .672), (0, .64), (-.15, .672)], RED, .8)       # scarf
    f.shape([(.05, .6), (.1, .61), (.14, .49), (.12, .42), (.055, .44)], RED, .8)
    for y in (.445, .47):
        f.stroke([(.06, y), (.125, y - .008)], .4)
    vole_head(f, 1)


ANIMALS = {"otter": otter, "heron": heron, "vole": vole}


class Scene:
    """The facts of one shot, as places on the drawing."""

    def __init__(self, facts, shot):
        self.facts, self.shot = facts, shot
        self.camera = next(c for c in facts["cameras"] if c["planned"] and c["shot"] == shot)
        self.wide, self.tall = self.camera["drawing_mm"]
        self.looks = LOOKS.get(facts["scene"], {"sky": ""})
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

    def rear(self):
        """How far up the drawing the ground reaches."""
        back = max((p["set"][1] for p in self.things.get("ground", {}).values()), default=0)
        return min(self.project(self.camera["across_mm"], back, 0)[1], self.tall + 5)

    def level(self, inches):
        """The bent edge that a bank makes so far back on the ground."""
        y = self.project(self.camera["across_mm"], inches * 25.4, 0)[1]
        lift = max(.5, (self.rear() - y) * .06)
        return [(x, y + lift * math.sin(x / self.wide * 15 + inches)) for x in (-8 + (self.wide + 16) * i / 24 for i in range(25))]


def depth_of(points):
    return max(p["set"][1] for p in points.values())


def mix(a, b, k):
    return (a[0] + (b[0] - a[0]) * k, a[1] + (b[1] - a[1]) * k)


def on(quad, u, v):
    """A place on a four-cornered face: u from left to right, v from foot to top."""
    return mix(mix(quad[0], quad[1], u), mix(quad[3], quad[2], u), v)


def face_line(sheet, quad, uv, width=.5, fill="none", closed=False):
    sheet.line([on(quad, u, v) for u, v in uv], fill, width, closed)


def draw_hills(s, sheet, y):
    for k, (height, wave) in enumerate(((.2, 2.1), (.11, 3.3))):
        ridge = []
        for i in range(25):
            x = -8 + (s.wide + 16) * i / 24
            a = x / s.wide * wave * math.pi
            ridge.append((x, y + s.tall * height * (.62 + .38 * math.sin(a + 1.7 * k) * math.cos(a * .6 + k))))
        sheet.curve(smooth(ridge, False) + [((s.wide + 8, y),) * 3, ((-8, y),) * 3], (FAR, LAND)[k], 0)
        sheet.curve(smooth(ridge, False), "none", .4, False)


def draw_town(s, sheet, y):
    """A few roofs far away on the other bank."""
    x, unit = s.wide * .56, s.tall * .05
    for wide, tall, roof in ((1.2, 1.2, .8), (1.5, .9, .7), (.7, 2.2, 1.3), (1.3, 1.3, .8), (1.6, 1.0, .7), (1.1, 1.5, .9)):
        w, t = wide * unit, tall * unit
        sheet.line([(x, y), (x, y + t), (x + w / 2, y + t + roof * unit), (x + w, y + t), (x + w, y)], PAPER, .45)
        sheet.line([(x, y + t), (x + w, y + t)], "none", .35)
        sheet.line([(x + w * .4, y + t * .35), (x + w * .62, y + t * .35), (x + w * .62, y + t * .75), (x + w * .4, y + t * .75)], LIGHT, .3, True)
        x += w + unit * .12


def draw_sky(s, sheet, y):
    sky = s.looks["sky"]
    if "moon" in sky:
        x, top, r = s.wide * .8, s.tall - s.wide * .11, s.wide * .042
        sheet.curve(smooth(ring(x, top, r)), LIGHT, .6)
        for a, b, q in ((-.35, .3, .16), (.25, -.2, .22), (-.2, -.45, .1)):
            sheet.curve(smooth(ring(x + r * a, top + r * b, r * q)), "none", .3)
        for i in range(9):
            a, b = s.wide * ((i * 41 + 9) % 100) / 100, s.tall * (.7 + .27 * ((i * 37) % 10) / 10)
            if math.hypot(a - x, b - top) > 1.6 * r and b > y + 10:
                q = s.wide * .004
                sheet.line([(a - q, b), (a + q, b)], "none", .35)
                sheet.line([(a, b - q), (a, b + q)], "none", .35)
    if "hills" in sky:
        draw_hills(s, sheet, y)
    if "town" in sky:
        draw_town(s, sheet, y)
    if "clouds" in sky:
        for x, z, w in ((.16, .86, .12), (.52, .93, .09), (.86, .84, .1)):
            x, z, w = x * s.wide, z * s.tall, w * s.wide
            bumps = []
            for c, size in ((-.34, .13), (-.08, .2), (.2, .16), (.38, .09)):                              # arcs, from left to right
                bumps.append([(x + w * (c + size * math.cos(a)), z + w * size * math.sin(a)) for a in (math.pi * (1 - i / 8) for i in range(9))])
            for bump in bumps:
                sheet.curve(smooth(bump, False), PAPER, .45, False)
            for bump in bumps:
                sheet.curve(smooth([mix(p, (sum(q[0] for q in bump) / 9, z), .06) for p in bump]), PAPER, 0)
            sheet.line([(x - w * .47, z), (x + w * .47, z)], "none", .45)


def draw_fog(s, sheet, y):
    """Pale bands that lie over the far bank."""
    for i in range(6):
        x, z = s.wide * ((i * 43 + 12) % 100) / 100, y + 4 + 9 * i
        w = s.wide * (.18 + .03 * (i % 3))
        sheet.curve(smooth(limb([(x - w, z), (x - w / 2, z + 1), (x, z), (x + w / 2, z - 1), (x + w, z)], 0.2, 2.2, 2.6, 2.2, .2)), PAPER, 0)
        sheet.curve(smooth([(x - w * .2, z - 2), (x, z - 2.4), (x + w * .2, z - 2)], False), "none", .3, False)


def draw_ripples(s, sheet, low, high):
    for i in range(1, 6):
        y = high + (low - high) * (i / 6) ** 1.5
        for j in range(3):
            x = s.wide * ((i * 37 + j * 61) % 100) / 100
            w = 6 + 5 * i
            sheet.curve(smooth([(x, y), (x + w / 3, y + .7), (x + 2 * w / 3, y - .5), (x + w, y + .2)], False), "none", .4, False)


def draw_tufts(s, sheet, low, high):
    for i in range(1, 5):
        y = high + (low - high) * (i / 5) ** 1.3
        for j in range(4):
            x, k = s.wide * ((i * 29 + j * 53 + 7) % 100) / 100, 1.2 + .7 * i
            if (i + j) % 3:
                for d in (-.8, 0, .9):
                    sheet.curve(smooth([(x + d * k * .4, y), (x + d * k * .7, y + k), (x + d * k * 1.3, y + k * 1.6)], False), "none", .4, False)
            else:
                sheet.curve(smooth(ring(x, y, k * .8, k * .3)), PAPER, .4)


def draw_shoal(s, sheet, thing):
    """A sandbank round the foot of what stands in the water."""
    across, back, up = s.set(thing, "foot")
    r = .55 * (s.set(thing, "head")[2] - up)
    rim = [s.project(across + r * (1 + .1 * math.sin(3 * a)) * math.cos(a), back + .7 * r * math.sin(a), up) for a in
           (2 * math.pi * i / 16 for i in range(16))]
    sheet.curve(smooth(rim), LAND, .5)


def draw_land(s, sheet):
    """Sky, ground and what grows or flows on it."""
    y, looks = s.rear(), s.looks
    draw_sky(s, sheet, y)
    land = looks.get("ground")
    sheet.line([(-5, -5), (s.wide + 5, -5), (s.wide + 5, y), (-5, y)], {"land": LAND, "boards": WOOD}.get(land, WATER), 0, True)
    sheet.line([(-5, y), (s.wide + 5, y)], "none", .6)
    if land == "boards":
        back = max(p["set"][1] for p in s.things["ground"].values())
        for i in range(-16, 17):
            a, b = s.project(i * 60, -.7 * s.camera["distance_mm"], 0), s.project(i * 60, back, 0)
            sheet.line([a, b], "none", .35)
        return
    low = 0
    if land == "land":
        draw_tufts(s, sheet, 0, y)
        return
    if "far shore" in looks:
        edge = s.level(looks["far shore"])
        sheet.curve(smooth(edge, False) + [((s.wide + 8, y),) * 3, ((-8, y),) * 3], LAND, .6)
        y = min(p[1] for p in edge)
    if "shore" in looks:
        edge = s.level(looks["shore"])
        low = max(p[1] for p in edge)
        draw_ripples(s, sheet, low, y)
        sheet.curve(smooth(edge, False) + [((s.wide + 8, -8),) * 3, ((-8, -8),) * 3], LAND, .6)
        draw_tufts(s, sheet, 0, min(p[1] for p in edge) - 2)
        return
    draw_ripples(s, sheet, low, y)
    if "shoals" in looks:
        for name, points in sorted(s.things.items(), key=lambda t: -depth_of(t[1])):
            if "head" in points and points["foot"]["set"][2] == 0:
                draw_shoal(s, sheet, name)


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
        front = [s.project(across + wide / 2 * math.cos(a), back - f["deep"]["mm"] / 2 * math.sin(a), 0) for a in (math.pi * i / 12 for i in range(13))]
        sheet.curve(smooth(ridge + front[1:-1]), LAND, 0)
        sheet.curve(smooth(ridge, False), "none", .6, False)
        sheet.curve(smooth(front, False), "none", .4, False)
        for k in (-5, -2, 1, 4):
            x, y = s.project(across + wide / 2 * k / 10, back, tall / 2 * (1 + math.cos(math.pi * k / 10)) * .6)
            for d in (-.6, 0, .8):
                sheet.curve(smooth([(x + d, y), (x + d * 1.4, y + 1.4), (x + d * 2.2, y + 2.2)], False), "none", .35, False)


def draw_house(sheet, name, q):
    """A gabled front inside a flat: the ridge touches its top, the eaves its sides."""
    tower = "tower" in name
    eave, wall = (.7, .1) if tower else (.74, .035) if name == "boathouse" else (.6, .035)
    sheet.line([on(q, u, v) for u, v in ((wall, 0), (wall, eave - .07), (.5, .94), (1 - wall, eave - .07), (1 - wall, 0))], PAPER, .8, True)
    t = .06
    roof = [(0, eave - t / 2), (.5, 1), (1, eave - t / 2), (1, eave - t - .02), (.5, 1 - t - .04), (0, eave - t - .02)]
    face_line(sheet, q, roof, .7, SHADE, True)
    if name == "boathouse":
        for v in (.12, .24, .36, .48):
            face_line(sheet, q, [(wall, v), (1 - wall, v)], .3)
        face_line(sheet, q, [(.45, .74), (.55, .74), (.55, .82), (.45, .82)], .5, WASH, True)
        return
    windows = [(.42, v) for v in (.14, .34, .54)] if tower else [(.2, .34), (.6, .34)] if name == "far house" else [(.18, .36), (.44, .36), (.44, .6)]
    w, h = (.2, .09) if tower else (.15, .13)
    for u, v in windows:
        face_line(sheet, q, [(u, v), (u + w, v), (u + w, v + h), (u, v + h)], .45, LIGHT, True)
        face_line(sheet, q, [(u + w / 2, v), (u + w / 2, v + h)], .3)
    if not tower:
        face_line(sheet, q, [(.36, 0), (.36, .22), (.52, .22), (.52, 0)], .5, WOOD)
    if name == "mill":                                                                                   # its wheel
        middle, r = on(q, .8, .2), .18 * (q[3][1] - q[0][1])
        sheet.curve(smooth(ring(*middle, r)), WOOD, .5)
        sheet.curve(smooth(ring(*middle, r * .72)), PAPER, .4)
        for i in range(8):
            a = math.pi * i / 4
            sheet.line([middle, (middle[0] + r * math.cos(a), middle[1] + r * math.sin(a))], "none", .35)


def draw_low(sheet, name, q):
    """A far bank or a hedge: its bushes reach the top of the flat and no higher."""
    wide, tall = q[1][0] - q[0][0], q[3][1] - q[0][1]
    count = max(10, round(wide / (tall * (.5 if name == "hedge" else .8))))
    top = [on(q, 0, .9)]
    for i in range(count):
        rise = 1 if i % 3 == 0 else .93 + .05 * ((i * 7) % 5) / 5
        top += [on(q, (i + .18) / count, rise - .045), on(q, (i + .5) / count, rise), on(q, (i + .82) / count, rise - .045), on(q, (i + 1) / count, .88)]
    path = smooth(top, False)
    path = [path[0]] + [(a, b, c) for a, b, c in path[1:]]
    sheet.curve(path + [(q[1],) * 3, (q[0],) * 3], LAND if name == "hedge" else FAR, .55)
    for i in range(count):
        c = on(q, (i + .4 + .2 * (i % 2)) / count, .35 + .3 * ((i * 3) % 4) / 4)
        r = min(tall * .07, 3)
        sheet.curve(smooth([(c[0] - r, c[1]), (c[0] - r * .4, c[1] + r * .8), (c[0] + r * .5, c[1] + r * .7), (c[0] + r, c[1])], False), "none", .35, False)


def draw_wall(s, sheet, name, q):
    sheet.line(q, WASH if name in ("left wall", "right wall") else PAPER, .8, True)
    if name == "back wall":
        face_line(sheet, q, [(.62, .52), (.86, .52), (.86, .5), (.62, .5)], .5, WOOD, True)              # a shelf with jars
        for u, w, h in ((.64, .03, .1), (.68, .04, .07), (.74, .026, .12), (.79, .045, .06)):
            face_line(sheet, q, [(u, .52), (u + w, .52), (u + w, .52 + h), (u, .52 + h)], .5, (LIGHT, GRAY)[int(u * 100) % 2], True)
            face_line(sheet, q, [(u - .003, .52 + h), (u + w + .003, .52 + h)], .9)
        face_line(sheet, q, [(0, .05), (1, .05)], .4)
    if name == "wall":                                                                                   # stones
        for i in range(22):
            x, y = s.wide * ((i * 37 + 11) % 100) / 100, q[0][1] + (s.tall - q[0][1]) * ((i * 23 + 5) % 22) / 22
            sheet.line([(x, y), (x + 9, y), (x + 9, y + 4.5)], "none", .35)


def draw_panel(s, sheet, name):
    q = [s.xy(name, k) for k in ("foot left", "foot right", "top right", "top left")]
    if name in ("far bank", "hedge"):
        draw_low(sheet, name, q)
    elif "wall" in name:
        draw_wall(s, sheet, name, q)
    else:
        draw_house(sheet, name, q)


def draw_openings(s, sheet, flat):
    """Windows and doors, in the plane of their flat."""
    a, b = s.set(flat, "foot left"), s.set(flat, "foot right")
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
        q = [s.project(middle[0] + x * along[0], middle[1] + x * along[1], middle[2] + z) for x, z in corners]
        view = "wall" in flat
        sheet.line(q, WATER if view else LIGHT if sill else WOOD, .8, True)
        if view:                                                                                         # the river hills
            sheet.curve(smooth([on(q, u, v) for u, v in ((0, .38), (.25, .5), (.5, .36), (.75, .46), (1, .4))], False) + [(q[1],) * 3, (q[0],) * 3], LAND, .4)
            sheet.curve(smooth(ring(*on(q, .74, .76), (q[1][0] - q[0][0]) * .07)), LIGHT, .4)
        if sill > 0:
            face_line(sheet, q, [(.5, 0), (.5, 1)], .8)
            face_line(sheet, q, [(0, .5), (1, .5)], .8)
            face_line(sheet, q, [(-.04, 0), (1.04, 0)], 1.2)
        else:
            for u in (.25, .5, .75):
                face_line(sheet, q, [(u, 0), (u, 1)], .35)
            sheet.curve(smooth(ring(*on(q, .85, .45), .7)), PEN, 0)


def draw_hull(sheet, front, top):
    """A punt: deck, raked ends and strakes."""
    rake = .06
    sheet.line(top, WOOD, .8, True)
    deck = [on(top, u, v) for u, v in ((.03, .1), (.97, .1), (.97, .9), (.03, .9))]
    sheet.line(deck, PAPER, .5, True)
    for u in (.1, .2, .3, .4, .5, .6, .7, .8, .9):
        face_line(sheet, deck, [(u, 0), (u, 1)], .35)
    sheet.line([on(front, u, v) for u, v in ((rake, 0), (1 - rake, 0), (1, 1), (0, 1))], WOOD, .8, True)
    for v in (.36, .7):
        face_line(sheet, front, [(rake * (1 - v), v), (1 - rake * (1 - v), v)], .4)
    for u in (.2, .5, .8):
        face_line(sheet, front, [(u, .7), (u, 1)], .4)


def draw_table(sheet, front, top, leg):
    for u in (.12, .8):
        face_line(sheet, front, [(u, .1), (u + .06, .1), (u + .06, .8), (u, .8)], .5, SHADE, True)
    for u in (.015, .985 - leg):
        face_line(sheet, front, [(u, 0), (u + leg, 0), (u + leg, .84), (u, .84)], .7, WOOD, True)
    sheet.line(top, WASH, .8, True)
    face_line(sheet, front, [(0, .84), (1, .84), (1, 1), (0, 1)], .8, WOOD, True)
    face_line(sheet, front, [(.1, .92), (.35, .92)], .35)
    face_line(sheet, front, [(.5, .9), (.82, .9)], .35)


def draw_planks(sheet, name, front, top):
    sheet.line(top, WASH, .8, True)
    sheet.line(front, WOOD if name != "landing" else PAPER, .8, True)
    if name == "crate":
        for v in (.34, .67):
            face_line(sheet, front, [(.12, v), (.88, v)], .4)
        for u in (.12, .88):
            face_line(sheet, front, [(u, 0), (u, 1)], .5)
        for u, v in ((.06, .1), (.06, .9), (.94, .1), (.94, .9)):
            sheet.curve(smooth(ring(*on(front, u, v), .45)), PEN, 0)
    elif name == "jetty":
        for i in range(1, 24):
            face_line(sheet, top, [(i / 24, 0), (i / 24, 1)], .35)
        face_line(sheet, front, [(0, .72), (1, .72)], .5)
        for u in (.03, .25, .5, .75, .93):
            face_line(sheet, front, [(u, 0), (u + .04, 0), (u + .04, .72), (u, .72)], .5, SHADE, True)
    elif name == "landing":
        for k, v in enumerate((.25, .5, .75)):
            face_line(sheet, front, [(0, v), (1, v)], .4)
            for u in (.08, .19, .86, .95):
                face_line(sheet, front, [(u + .03 * (k % 2), v), (u + .03 * (k % 2), v + .25)], .4)
    else:
        for v in (.33, .66):
            face_line(sheet, top, [(0, v), (1, v)], .4)


def draw_box(s, sheet, name):
    xy = lambda k: s.xy(name, k)
    front = [xy(k) for k in ("front left foot", "front right foot", "front right top", "front left top")]
    top = [xy(k) for k in ("front left top", "front right top", "rear right top", "rear left top")]
    sides = [[xy(k) for k in (f"front {w} foot", f"rear {w} foot", f"rear {w} top", f"front {w} top")] for w in ("left", "right")]
    seen = lambda q: sum(q[i][0] * q[(i + 1) % 4][1] - q[(i + 1) % 4][0] * q[i][1] for i in range(4)) > 0
    if name in ("kitchen table", "bench"):
        draw_table(sheet, front, top, .05)
        return
    if name != "ferry":
        for side, flip in zip(sides, (True, False)):
            if seen(side[::-1] if flip else side):
                sheet.line(side, SHADE, .8, True)
    if name == "ferry":
        draw_hull(sheet, front, top)
    else:
        draw_planks(sheet, name, front, top)


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
        for u in ((.3, .72), (.18, .55, .86))[i % 2]:
            v = (i + .15) / (i + 1)
            face_line(sheet, riser, [(u, v), (u, v + .55 / (i + 1))], .4)


def draw_stool(sheet, a, b, r):
    tall = b[1] - a[1]
    for x in (-.8, .8, 0):
        sheet.line([(a[0] + r * x - r * .1, a[1]), (a[0] + r * x + r * .1, a[1]), (b[0] + r * x * .8 + r * .12, b[1] - tall * .2), (b[0] + r * x * .8 - r * .12, b[1] - tall * .2)], WOOD, .7, True)
    sheet.curve(smooth([(a[0] - r * .8, a[1] + tall * .3), (a[0], a[1] + tall * .26), (a[0] + r * .8, a[1] + tall * .3)], False), "none", .7, False)
    sheet.line([(b[0] - r, b[1] - tall * .24), (b[0] + r, b[1] - tall * .24), (b[0] + r, b[1]), (b[0] - r, b[1])], WOOD, .8, True)
    sheet.curve(smooth(ring(b[0], b[1], r, r * .12)), WASH, .7)


def draw_reed(sheet, a, b, i):
    bend = .05 * (b[1] - a[1]) * (1 if i % 2 else -1)
    tip = (b[0] + bend, b[1])
    long = (b[1] - a[1])
    sheet.curve(smooth([a, (a[0] + bend / 4, (a[1] + b[1]) / 2), tip], False), "none", .7, False)
    sheet.curve(smooth(ring(tip[0], tip[1] - long * .1, 1.1, long * .07)), BROWN, .5)
    for side, reach in ((-1, .55), (1, .7)):
        end = (a[0] + side * long * .1, a[1] + long * reach)
        bow = (a[0] + side * long * .02, a[1] + long * reach * .6)
        sheet.curve(smooth([a, (bow[0] - .5, bow[1]), end, (bow[0] + 1.1, bow[1]), (a[0] + .8, a[1])], False), LAND, .4, False)


# Leaves of the reed clump and its two heads: (from, to, bend) in a box of 1 x 1, x from the left, y up.
CLUMP_LEAVES = ((.42, .02, .55, -.1), (.45, .16, .82, -.06), (.48, .31, .7, -.05), (.5, .45, .97, .02), (.5, .6, .86, .04), (.53, .78, .74, .07), (.56, .97, .5, .12))
CLUMP_HEADS = ((.47, .36, .93), (.53, .69, .98))


def clump_shapes():
    """Outlines with their fills, in that box: a tuft at the foot holds everything together, as a saw needs it."""
    shapes = []
    for start, foot, stop in CLUMP_HEADS:
        shapes.append((limb([(start, .1), ((start + foot) / 2 - .01, .5), (foot, stop - .1)], .016, .013), WOOD))
        shapes.append((limb([(foot - .004, stop - .24), (foot, stop - .13), (foot + .002, stop - .02)], .02, .042, .03), BROWN))
    for start, foot, stop, bend in CLUMP_LEAVES:
        middle = ((start + foot) / 2 - bend * .4, stop * .55)
        shapes.append((limb([(start, .1), middle, ((middle[0] + foot) / 2 - bend * .1, stop * .82), (foot, stop)], .03, .034, .024, .006), LAND))
    shapes.append(([(.2, 0), (.35, 0), (.5, 0), (.65, 0), (.8, 0), (.77, .07), (.63, .12), (.5, .13), (.37, .12), (.23, .07)], SHADE))
    return shapes


def draw_clump(sheet, low, high, width):
    for points, fill in clump_shapes():
        sheet.curve(smooth([(low[0] + x * (high[0] - low[0]), low[1] + y * (high[1] - low[1])) for x, y in points]), fill, width)


def write_clump(path):
    """The image of the cutout, nothing round it."""
    sheet = Sheet(140, 180)
    draw_clump(sheet, (2, 2), (138, 178), .8)
    bare = "\n".join(line for line in sheet.text().split("\n") if not line.startswith("<rect"))
    made = subprocess.run(["rsvg-convert", "-w", "560"], input=bare.encode(), check=True, stdout=subprocess.PIPE).stdout
    with open(path, "wb") as out:
        out.write(made)


def draw_cutout(s, sheet, points):
    corners = [points[p]["drawing"] for p in ("foot left", "top right")]
    draw_clump(sheet, *corners, .5)


def draw_post(s, sheet, name, block):
    foot, top = s.set(name, "foot"), s.set(name, "top")
    count, every = 1, 0
    if "row" in block:
        count, every = int(block["row"].get("count", 1)), block["row"].get("every_mm", 0)
    thick = next((block[k]["mm"] for k in ("across", "thick", "wide") if k in block), 10)
    for i in range(count):
        a = s.project(foot[0] + i * every, foot[1], foot[2])
        b = s.project(top[0] + i * every, top[1], top[2])
        r = s.project(foot[0] + i * every + thick / 2, foot[1], foot[2])[0] - a[0]
        if "reed" in name:
            draw_reed(sheet, a, b, i)
            continue
        if name == "stool":
            draw_stool(sheet, a, b, r)
            continue
        face = [(a[0] - r, a[1]), (a[0] + r, a[1]), (b[0] + r, b[1]), (b[0] - r, b[1])]
        sheet.line(face, WOOD, .8, True)
        flat = s.project(top[0] + i * every, top[1] + thick / 2, top[2])[1] - b[1]
        sheet.curve(smooth(ring(b[0], b[1], r, max(.3, abs(flat)))), WASH, .6)
        face_line(sheet, face, [(.35, .1), (.38, .5)], .35)
        face_line(sheet, face, [(.68, .45), (.64, .85)], .35)
        if name in ("mooring post", "post"):                                                             # a rope
            for v in (.66, .7, .74):
                face_line(sheet, face, [(-.06, v), (.5, v - .015), (1.06, v)], .7)
        if name == "lamp post":
            for v in (.05, .93):
                face_line(sheet, face, [(-.3, v), (1.3, v), (1.3, v + .02), (-.3, v + .02)], .6, WASH, True)


def draw_cone(s, sheet, name, block):
    foot, tip = s.xy(name, "foot"), s.xy(name, "tip")
    half = abs(s.project(s.set(name, "foot")[0] + block["wide"]["mm"] / 2, *s.set(name, "foot")[1:])[0] - foot[0])
    tall = tip[1] - foot[1]
    place = lambda u, v: (foot[0] + half * u + (tip[0] - foot[0]) * v, foot[1] + tall * v)
    if name == "bowl":
        sheet.curve(smooth([place(u, v) for u, v in ((-1, .92), (-.75, .35), (-.42, 0), (.42, 0), (.75, .35), (1, .92))], False), GRAY, .8, False)
        sheet.curve(smooth([place(u, v) for u, v in ring(0, .9, 1, .1)]), PAPER, .7)
        return
    sheet.line([place(u, v) for u, v in ((-.85, 0), (.85, 0), (.85, .08), (-.85, .08))], WOOD, .7, True)
    sheet.line([place(u, v) for u, v in ((-.66, .08), (.66, .08), (.66, .6), (-.66, .6))], LIGHT, .8, True)
    for u in (-.22, .22):
        sheet.line([place(u, .08), place(u, .6)], "none", .5)
    sheet.curve(smooth([place(u, v) for u, v in ((0, .46), (.13, .3), (.1, .18), (0, .14), (-.1, .18), (-.13, .3))]), PAPER, .6)
    sheet.line([place(u, v) for u, v in ((-1, .6), (1, .6), (.3, .82), (-.3, .82))], SHADE, .8, True)
    sheet.curve(smooth([place(u, v) for u, v in ring(0, .91, .18, .09)]), "none", .9)


def draw_glow(s, sheet, name):
    """Strokes of light on both sides of a lantern."""
    foot, tip = s.xy(name, "foot"), s.xy(name, "tip")
    tall = tip[1] - foot[1]
    for side in (-1, 1):
        for a in (-.1, .25, .6, .9):
            d = (side * math.cos(a), math.sin(a))
            c = (foot[0], foot[1] + tall * .34)
            sheet.line([(c[0] + tall * .52 * d[0], c[1] + tall * .52 * d[1]), (c[0] + tall * .68 * d[0], c[1] + tall * .68 * d[1])], "none", .45)


def draw_steam(s, sheet, name):
    foot, tip = s.xy(name, "foot"), s.xy(name, "tip")
    tall = tip[1] - foot[1]
    for x in (-.35, .3):
        curl = ((x, 1.2), (x + .14, 1.5), (x - .09, 1.8), (x + .07, 2.1))
        sheet.curve(smooth([(foot[0] + u * tall, foot[1] + v * tall) for u, v in curl], False), "none", .35, False)


def draw_puppet(s, sheet, name):
    block = s.block("puppet", name)
    cast = next((c for c in ANIMALS if c in name), "otter")
    foot, head, eyes = s.xy(name, "foot"), s.xy(name, "head"), s.xy(name, "eyes")
    share = (eyes[1] - foot[1]) / (head[1] - foot[1])
    if "stated_tall" in block:                  # the drawing shows what the spec says, also where the set is built otherwise
        head = (head[0], foot[1] + block["stated_tall"]["mm"])
    turn = next((b["facts"]["turn"]["deg"] for b in s.facts["blocks"] if b["kind"] == "tape-out" and name in (b["name"].split(" in ")[0], b["facts"].get("here"))
                 and b["shot"] in ("", s.shot) and "turn" in b["facts"]), 0)
    ANIMALS[cast](Figure(sheet, foot, head, -1 if turn > 0 else 1, share), block.get("pose", ""))


def draw_shadow(s, sheet, name):
    foot, head = s.xy(name, "foot"), s.xy(name, "head")
    if s.block("puppet", name).get("stands_on", "").startswith("nothing"):
        return
    w = (head[1] - foot[1]) * .26
    sheet.curve(smooth(ring(foot[0], foot[1] + w * .03, w, w * .13)), SHADE, 0)


def kind_of(points):
    for point, kind in (("foot left", "flat"), ("front left top", "box"), ("head", "puppet"), ("tip", "cone"), ("front left foot", "steps")):
        if point in points:
            return kind
    return "post"


def draw_thing(s, sheet, name):
    cutout = s.block("piece", name).get("shape") == "cutout"
    kind = "cutout" if cutout else kind_of(s.things[name])
    if kind == "puppet":
        draw_shadow(s, sheet, name)
    if name == "lantern":
        draw_glow(s, sheet, name)
    sheet.open(name)
    if kind == "flat":
        draw_panel(s, sheet, name)
    elif kind == "box":
        draw_box(s, sheet, name)
    elif kind == "steps":
        draw_steps(s, sheet, name)
    elif kind == "cone":
        draw_cone(s, sheet, name, s.block("piece", name))
    elif kind == "cutout":
        draw_cutout(s, sheet, s.things[name])
    elif kind == "puppet":
        draw_puppet(s, sheet, name)
    else:
        draw_post(s, sheet, name, s.block("piece", name))
    sheet.close()
    if kind == "flat":
        draw_openings(s, sheet, name)
    if name == "bowl":
        draw_steam(s, sheet, name)


# A PNG of few colours is a third as large as one of all. The palette is the colours used here and their blends into the pen.

def rgb(text):
    return tuple(int(text[i:i + 2], 16) for i in (1, 3, 5))


def palette():
    colours = [rgb(PEN)]
    for fill in (PAPER, WASH, WATER, LAND, FAR, SHADE, WOOD, BROWN, SAND, GRAY, DUSK, RED, LIGHT):
        blends = (0, .3, .6) if fill in (PAPER, WATER, LAND, WOOD) else (0, .5)
        colours += [tuple(round(a + (b - a) * k) for a, b in zip(rgb(fill), rgb(PEN))) for k in blends]
    return colours


def unfilter(raw, wide, tall, size):
    """Rows of a PNG without their filters (PNG specification, third edition, 9.2)."""
    stride, last = wide * size, bytearray(wide * size)
    for y in range(tall):
        kind, row = raw[y * (stride + 1)], bytearray(raw[y * (stride + 1) + 1:(y + 1) * (stride + 1)])
        if kind:
            for i in range(stride):
                a, b, c = (row[i - size] if i >= size else 0), last[i], (last[i - size] if i >= size else 0)
                if kind == 4:
                    p = a + b - c
                    pa, pb, pc = abs(p - a), abs(p - b), abs(p - c)
                    add = a if pa <= pb and pa <= pc else b if pb <= pc else c
                else:
                    add = (0, a, b, (a + b) // 2)[kind]
                row[i] = (row[i] + add) & 255
        yield bytes(row)
        last = row


def reduce_png(data):
    """The same picture with the palette's colours: 8 bits a pixel."""
    at, head, packed = 8, None, b""
    while at < len(data):
        size, kind = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + size]
        head, packed = (body if kind == b"IHDR" else head), packed + (body if kind == b"IDAT" else b"")
        at += size + 12
    wide, tall, depth, colour = struct.unpack(">IIBB", head[:10])
    assert depth == 8 and colour in (2, 6) and head[12] == 0
    colours, near, rows, size = palette(), {}, bytearray(), 4 if colour == 6 else 3
    for row in unfilter(zlib.decompress(packed), wide, tall, size):
        rows.append(0)
        for i in range(0, len(row), size):
            c = row[i:i + 3]
            if c not in near:
                near[c] = min(range(len(colours)), key=lambda k: sum((a - b) ** 2 for a, b in zip(colours[k], c)))
            rows.append(near[c])
    chunk = lambda kind, body: struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
    return (data[:8] + chunk(b"IHDR", struct.pack(">IIBBBBB", wide, tall, 8, 3, 0, 0, 0)) + chunk(b"PLTE", bytes(v for c in colours for v in c))
            + chunk(b"IDAT", zlib.compress(bytes(rows), 9)) + chunk(b"IEND", b""))


def draw(facts, shot, path):
    s = Scene(facts, shot)
    sheet = Sheet(s.wide, s.tall)
    draw_land(s, sheet)
    draw_mounds(s, sheet)
    names = [n for n in s.things if n not in ("mark", "frame", "ground", "base", "backdrop")]
    names.sort(key=lambda n: (-depth_of(s.things[n]), max(p["set"][2] for p in s.things[n].values())))
    for name in names:
        draw_thing(s, sheet, name)
        if name == "far bank" and "fog" in s.looks["sky"]:
            draw_fog(s, sheet, s.rear())
    with open(path + ".svg", "w", encoding="utf-8") as out:
        out.write(sheet.text())
    made = subprocess.run(["rsvg-convert", "-w", "1400", path + ".svg"], check=True, stdout=subprocess.PIPE).stdout
    with open(path + ".png", "wb") as out:
        out.write(reduce_png(made))


def main():
    folder = sys.argv[1]
    write_clump(os.path.join(HERE, "..", "cutouts", "reed-clump.png"))
    for file in sorted(os.listdir(folder)):
        if not file.endswith(".json"):
            continue
        with open(os.path.join(folder, file), encoding="utf-8") as text:
            facts = json.load(text)
        for shot in dict.fromkeys(c["shot"] for c in facts["cameras"]):
            draw(facts, shot, os.path.join(HERE, facts["scene"] + ("-" + shot if shot else "")))


main()
