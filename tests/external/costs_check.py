#!/usr/bin/python3
"""What the demo book's reports say an allowance costs is what one finds by taking it out of the spec: each scene is written once
more without it, with the planned camera's own numbers in its place, and both reports are compared.

    tests/external/costs_check.py GROUNDROW SPECS
"""

import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

LEAST_MM, LEAST_KG, HAIR = 12.7, 0.2, 0.002  # what is told at all; data is rounded
EVERY_SCENE = {"lens": "60 to 105 mm", "spare": "6 %"}
WORD = re.compile(r"(lens|height|spare): (\[[^\]]*\]|[^,}]+)")
FOCALS = re.compile(r"^  ([\w -]+?): *\{focal: ([\d.]+) mm", re.M)
ENOUGH = 40


def facts_of(report, kind, name=""):
    return next((block["facts"] for block in report["blocks"] if (block["kind"], block["name"]) == (kind, name)), {})


def allow_of(text):
    line = re.search(r"^allow: *(\{.*\})$", text, re.M)
    return EVERY_SCENE | dict(WORD.findall(line.group(1)) if line else [])


def write_allow(text, allow):
    line = "allow: {" + ", ".join(f"{word}: {value.strip()}" for word, value in allow.items()) + "}"
    if re.search(r"^allow:.*$", text, re.M):
        return re.sub(r"^allow:.*$", line, text, count=1, flags=re.M)
    return text + line + "\n"


def without_lenses(value, planned_mm, shorter, focals):
    ends = re.fullmatch(r"([\d.]+) to ([\d.]+) mm", value.strip())
    if ends:
        return f"{planned_mm} to {ends[2]} mm" if shorter else f"{ends[1]} to {planned_mm} mm"
    lenses = [lens.strip() for lens in value.strip(" []").split(",")]
    focal = [focals.get(lens) or float(lens.removesuffix(" mm")) for lens in lenses]
    kept = [lens for lens, mm in zip(lenses, focal) if (mm >= planned_mm - 1e-3 if shorter else mm <= planned_mm + 1e-3)]
    return f"[{', '.join(kept)}]"


def without_heights(value, planned_mm, lower):
    low, high = value.strip().split(" to ")
    low = low if low.endswith("mm") else f"{low} in"
    return f"{planned_mm} mm to {high}" if lower else f"{low} to {planned_mm} mm"


def without(text, kind, camera, focals):
    """The scene's text without a kind of what it allows."""
    allow = allow_of(text)
    if kind in ("shorter", "longer"):
        allow["lens"] = without_lenses(allow["lens"], camera["focal_mm"], kind == "shorter", focals)
    elif kind in ("lower", "higher"):
        allow["height"] = without_heights(allow["height"], camera["height_mm"], kind == "lower")
    elif kind == "spare":
        allow["spare"] = "0 %"
    elif re.search(r"margin: [^,}\n]+", text):
        return re.sub(r"margin: [^,}\n]+", "margin: 0 in", text)
    elif re.search(r"^ground: \{", text, re.M):
        return re.sub(r"^ground: \{", "ground: {margin: 0 in, ", text, flags=re.M)
    else:
        return text + "ground: {margin: 0 in}\n"
    return write_allow(text, allow)


def without_all(text, kinds, camera, focals):
    for kind in kinds:
        text = without(text, kind, camera, focals)
    return text


def compile_book(groundrow, specs, where):
    subprocess.run([groundrow, specs, "-o", where, "-q", "--json", "--only", "reports"], timeout=300,
                   capture_output=True)  # a scene that has faults without an allowance is not written
    return {path.stem: json.loads(path.read_text()) for path in where.glob("*.json")}


def planned(report):
    return next(camera for camera in report["cameras"] if camera["planned"])


def new_sheets(report):
    return {block["name"]: block["facts"]["new"]["count"] for block in report["blocks"]
            if block["kind"] == "cut" and "new" in block["facts"]}


def ground(report):
    points = {point["point"]: point["set"] for point in report["points"] if point["thing"] == "ground"}
    front, rear = points["front left"][1], points["rear left"][1]
    widths = [points[f"{end} right"][0] - points[f"{end} left"][0] for end in ("front", "rear")]
    return front, rear, lambda back: widths[0] + (widths[1] - widths[0]) * (back - front) / (rear - front)


def sizes_more(more, less):
    front, rear, wide = ground(less)
    nearer, farther, wider = ground(more)
    yield "ground wide_at_rear_mm", wider(rear) - wide(rear)
    yield "ground wide_at_front_mm", wider(front) - wide(front)
    yield "ground deep_mm", farther - nearer - rear + front
    for key in facts_of(more, "covering"):
        thing, _, size = key.rpartition(" ")
        if thing.startswith("ground"):
            continue
        blocks = [facts_of(report, "flat", thing) or facts_of(report, thing) for report in (more, less)]
        if all(blocks):
            yield f"{thing} {size}_mm", blocks[0][size]["mm"] - blocks[1][size]["mm"]


def check(where, told, more, less, at_least):
    told = {} if told == "nothing" else told
    new, new_less = new_sheets(more), new_sheets(less)
    for stock in new.keys() | new_less.keys():
        wanted = max(new.get(stock, 0) - new_less.get(stock, 0), at_least.get(stock, 0))
        if told.get(f"new {stock}", 0) != wanted:
            yield f"{where}: {told.get(f'new {stock}', 0)} more of {stock} told, {wanted} found"
    heavier = facts_of(more, "weight")["all"]["kg"] - facts_of(less, "weight")["all"]["kg"]
    if abs(told.get("weight_kg", 0) - (heavier if abs(heavier) >= LEAST_KG else 0)) > HAIR:
        yield f"{where}: {told.get('weight_kg', 0)} kg told, {heavier} found"
    for key, mm in [] if where.endswith(" margin") else sizes_more(more, less):  # which tells its size itself
        if abs(told.get(key, 0) - (mm if mm > LEAST_MM - HAIR else 0)) > HAIR:
            yield f"{where}: {key} {told.get(key, 0)} told, {mm} found"


def main():
    groundrow, specs = sys.argv[1], pathlib.Path(sys.argv[2])
    faults, compared, scenes = [], 0, {}
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        shutil.copytree(specs, work / "specs")
        book = (work / "specs/book.yaml").read_text()
        focals = {name.strip(): float(mm) for name, mm in FOCALS.findall(book)}
        reports = compile_book(groundrow, work / "specs", work / "with")
        for path in sorted((work / "specs").glob("[0-9]*.yaml")):
            text, report = path.read_text(), reports[path.stem]
            told = facts_of(report, "cost of allowances")
            if re.search(r"^shots:", text, re.M) or not told:
                continue
            kinds = [kind for kind in told if kind != "all"]
            scenes[path.stem] = kinds
            for kind in kinds:
                (work / f"specs/{path.stem}-{kind}.yaml").write_text(without(text, kind, planned(report), focals))
            (work / f"specs/{path.stem}-all.yaml").write_text(without_all(text, kinds, planned(report), focals))
        others = compile_book(groundrow, work / "specs", work / "without")
        for scene, kinds in scenes.items():
            told, at_least = facts_of(reports[scene], "cost of allowances"), {}
            for kind in [*kinds, "all"]:
                more, less = reports[scene], others.get(f"{scene}-{kind}")
                if not less or any(abs(planned(more)[key] - planned(less)[key]) > 1e-3 for key in ("focal_mm", "distance_mm", "height_mm")):
                    continue  # another camera is planned where nothing holds it
                found = list(check(f"{scene}, {kind}", told[kind], more, less, at_least if kind == "all" else {}))
                faults += found
                compared += 1
                for key, count in told[kind].items() if isinstance(told[kind], dict) else ():
                    if key.startswith("new "):
                        at_least[key[4:]] = max(at_least.get(key[4:], 0), count)
    if compared < ENOUGH:
        faults.append(f"only {compared} allowances compared")
    print("\n".join(faults) or f"{compared} allowances cost what their specs say without them")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
