#!/usr/bin/python3
"""The demo book's cut lists, read as a maker reads them: every part lies on a sheet exactly once, fits it, there is no more on
a sheet than it has area, no nest is under its bound, and weights add up.

    tests/external/parts_check.py GROUNDROW SPECS
"""

import json
import pathlib
import re
import subprocess
import sys
import tempfile

HAIR = 0.002  # data is rounded to 0.001 mm
COPIES = re.compile(r"^(.*?)(?: \((\d+) of them\))?$")


def blocks(report, kind):
    return {block["name"]: block["facts"] for block in report["blocks"] if block["kind"] == kind}


def sheets_of(cut):
    """Each sheet of a stock: its sides (longer first) and what lies on it."""
    for key, fact in cut.items():
        if not key.startswith("sheet "):
            continue
        on_hand = isinstance(fact, dict)
        size = fact if on_hand else cut["new"]
        sides = sorted((size[side] for side in ("wide_mm", "tall_mm", "long_mm") if side in size), reverse=True)
        lying = [COPIES.match(item).groups() for item in (fact["parts"] if on_hand else fact).split("; ")]
        yield sides, [(name, int(count or 1)) for name, count in lying], on_hand


def check_cut(where, stock, cut, parts):
    placed, new = {}, 0
    for sides, lying, on_hand in sheets_of(cut):
        new += not on_hand
        used = 0
        for name, count in lying:
            part = parts[name]
            placed[name] = placed.get(name, 0) + count
            own = sorted((part[side] for side in ("wide_mm", "tall_mm", "long_mm") if side in part), reverse=True)
            if len(own) != len(sides) or any(mine > sheet + HAIR for mine, sheet in zip(own, sides)):
                yield f"{where}: {name}, {own} mm, on a sheet of {sides} mm"
            corners = parts.get(f"corners {name}", {})
            area = own[0] * (own[1] if len(own) > 1 else 1)
            if isinstance(corners, dict):
                area -= sum(corners[key] * corners[key.replace("along", "up")] / 2 for key in corners if "along" in key)
            shape = part.get("shape", "")
            used += count * area if shape in ("", "with slanted sides", "a triangle") else 0
        if used > sides[0] * (sides[1] if len(sides) > 1 else 1) * (1 + 1e-6):
            yield f"{where}: more on a sheet of {stock} than it has"
    wanted = {name: int(part.get("copies_value", part.get("copies", 1))) for name, part in parts.items()
              if isinstance(part, dict) and part.get("stock") == stock}
    if placed != wanted:
        yield f"{where}: of {stock} {placed} lie on sheets, not {wanted}"
    if "new" in cut and (new != cut["new"]["count"] or new < cut["new"]["bound"]):
        yield f"{where}: {new} new sheets of {stock}, told {cut['new']}"


def check_weights(where, report, parts):
    weights = blocks(report, "weight").get("", {})
    told = weights.get("all", {}).get("kg", 0)
    added = sum(part["weight_kg"] * int(part.get("copies", 1)) for part in parts.values() if isinstance(part, dict) and "weight_kg" in part)
    if abs(told - added) > 1e-3 + 1e-4 * added:
        yield f"{where}: weighs {told} kg, but its parts {added} kg"


def main():
    faults, scenes, cuts = [], 0, 0
    with tempfile.TemporaryDirectory() as output:
        subprocess.run([sys.argv[1], "-q", "--json", "--only", "reports", sys.argv[2], "-o", output], check=True, timeout=300)
        for path in sorted(pathlib.Path(output).glob("*.json")):
            report = json.loads(path.read_text())
            parts = blocks(report, "parts").get("", {})
            scenes += 1
            for stock, cut in blocks(report, "cut").items():
                cuts += 1
                faults += check_cut(path.stem, stock, cut, parts)
                faults += [f"{path.stem}: no sheet for {cut['lacking']}"] if "lacking" in cut else []
            faults += check_weights(path.stem, report, parts)
    print(*faults, f"{cuts} stocks cut in {scenes} scenes, {len(faults)} faults", sep="\n")
    sys.exit(bool(faults) or cuts < scenes)


main()
