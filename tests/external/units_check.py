#!/usr/bin/python3
"""A thousand random quantities against GNU units (its definitions.units), in every unit of the language that both know.

usage: units_check.py DRIVER

Both sides get the same number; ours is written as a maker would write it, theirs as an expression of sums and quotients.
"""
import random
import subprocess
import sys

# slot, canonical unit of units(1), and (ours, theirs) for each unit
KINDS = {
    "length": ("mm", [("in", "in"), ("inches", "in"), ("ft", "ft"), ("feet", "ft"), ("yd", "yd"), ("mm", "mm"), ("cm", "cm"), ("m", "m"),
                      ("'", "ft"), ("\"", "in"), ("″", "in"), ("''", "in")]),
    "weight": ("kg", [("lb", "lb"), ("oz", "oz"), ("kg", "kg"), ("g", "g")]),
    "density": ("kg/m^3", [("lb/ft3", "lb/ft^3"), ("lb/ft³", "lb/ft^3"), ("kg/m3", "kg/m^3"), ("kg/m³", "kg/m^3")]),
    "weight of an area": ("kg/m^2", [("lb/ft2", "lb/ft^2"), ("lb/ft²", "lb/ft^2"), ("kg/m2", "kg/m^2")]),
    "stiffness": ("N/mm^2", [("psi", "psi"), ("MPa", "MPa"), ("GPa", "GPa"), ("N/mm2", "N/mm^2"), ("N/mm²", "N/mm^2")]),
    "angle": ("degree", [("deg", "degree"), ("°", "degree")]),
    "power": ("W", [("W", "W"), ("kW", "kW")]),
    "current": ("A", [("A", "A")]),
    "voltage": ("V", [("V", "V")]),
    "colour of light": ("K", [("K", "K")]),
}
COMPOUNDS = {
    "length": [("ft", "in", 12, "ft", "in"), ("'", "\"", 12, "ft", "in"), ("yd", "ft", 3, "yd", "ft"), ("m", "cm", 100, "m", "cm")],
    "weight": [("lb", "oz", 16, "lb", "oz"), ("kg", "g", 1000, "kg", "g")],
}


def number(chance, most):
    """A number as text of ours, and as an expression of units(1)."""
    whole, below = chance.randrange(most), chance.choice([2, 3, 4, 8, 16, 32, 64])
    above = chance.randrange(1, below)
    kind = chance.randrange(5)
    if kind == 0:
        return "%d" % whole, "%d" % whole
    if kind == 1:
        places = chance.randint(1, 4)
        text = "%d.%0*d" % (whole, places, chance.randrange(10**places))
        return text, text
    if kind == 2:
        return "%d %d/%d" % (whole, above, below), "(%d + %d|%d)" % (whole, above, below)
    if kind == 3:
        return "%d-%d/%d" % (whole, above, below), "(%d + %d|%d)" % (whole, above, below)
    return "%d/%d" % (above, below), "(%d|%d)" % (above, below)


def sample(chance, slot):
    if slot in COMPOUNDS and chance.random() < 0.4:
        first, second, ratio, first_theirs, second_theirs = chance.choice(COMPOUNDS[slot])
        whole, (ours, theirs) = chance.randrange(1, 300), number(chance, ratio - 1)
        blank = "" if first == "'" else " "
        text = "%d%s%s%s%s%s%s" % (whole, blank, first, "-" if first == "'" else " ", ours, blank, second)
        return text, "%d %s + %s %s" % (whole, first_theirs, theirs, second_theirs)
    ours_unit, theirs_unit = chance.choice(KINDS[slot][1])
    ours, theirs = number(chance, 900)
    return "%s %s" % (ours, ours_unit), "%s %s" % (theirs, theirs_unit)


def by_units(samples):
    lines = "".join("%s\n%s\n" % (theirs, KINDS[slot][0]) for slot, _, theirs in samples)
    answer = subprocess.run(["units", "--quiet", "--terse", "--output-format", "%.17g"], input=lines.encode(),
                            stdout=subprocess.PIPE, check=True).stdout.decode()
    return [float(line) for line in answer.split()]


def by_driver(driver, samples):
    lines = "".join("%s\t%s\n" % (slot, ours) for slot, ours, _ in samples)
    answer = subprocess.run([driver], input=lines.encode(), stdout=subprocess.PIPE, check=True).stdout.decode()
    values = []
    for line, (_, ours, _) in zip(answer.splitlines(), samples):
        _, verdict, value, message = line.split("\t")
        if verdict != "sound":
            sys.exit("refused: `%s`: %s" % (ours, message))
        values.append(float.fromhex(value))
    return values


def main():
    chance = random.Random(45359237)
    slots = ["length"] * 5 + ["weight"] * 2 + ["density", "weight of an area", "stiffness", "angle", "power", "current", "voltage", "colour of light"]
    samples = [(slot, *sample(chance, slot)) for slot in (chance.choice(slots) for _ in range(1000))]
    ours, theirs = by_driver(sys.argv[1], samples), by_units(samples)
    if len(ours) != 1000 or len(theirs) != 1000:
        sys.exit("%d values of ours, %d of units" % (len(ours), len(theirs)))
    faults = [(text, a, b) for (_, text, _), a, b in zip(samples, ours, theirs) if abs(a - b) > 1e-12 * max(abs(a), abs(b))]
    for text, a, b in faults[:20]:
        print("`%s`: %.17g, but units says %.17g" % (text, a, b))
    print("1000 quantities, %d apart" % len(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
