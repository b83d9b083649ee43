#!/usr/bin/python3
"""What ls promises: every header compiles alone, and nothing includes against the way through.

    tests/structure.py COMPILER
"""

import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
INCLUDE = re.compile(r'^\s*#\s*include\s+"([^"]+)"', re.M)
# What a room may include besides itself. `compiler` may include everything.
ROOMS = {
    "base": set(),
    "optics": {"base"},
    "plan": {"base", "optics"},
    "model": {"base", "optics", "plan"},
    "see": {"base", "optics", "plan", "model"},
    "photo": {"base", "optics", "plan"},
    "shop": {"base", "optics", "plan"},
    "report": {"base", "optics", "plan", "shop"},
    "picture": {"base", "optics", "plan", "shop", "report", "model", "see"},
}
# Rooms that put a scene's facts on something may read them.
ROOMS["model"].add("report")
SCREEN_LINES = 60


def headers_alone(compiler):
    """Two compiles each: gcc and clang alike have their own idea of what comes along unasked."""
    command = [compiler, "-std=c17", "-D_POSIX_C_SOURCE=200809L", "-Wall", "-Wextra", "-Wpedantic", "-Werror",
               "-fsyntax-only", "-Iruntime", "-Icompiler", "-x", "c", "-"]
    for header in sorted([*ROOT.glob("runtime/*/*.h"), *ROOT.glob("compiler/*.h")]):
        path = header.relative_to(ROOT)
        # Twice, so that a guard that guards nothing shows.
        text = f'#include "{path}"\n#include "{path}"\n'
        done = subprocess.run(command, input=text, text=True, cwd=ROOT, capture_output=True)
        if done.returncode != 0:
            yield f"{path} does not compile alone:\n{done.stderr}"


def directions():
    for path in sorted(ROOT.glob("runtime/*/*.[ch]")):
        room = path.parent.name
        if room not in ROOMS:
            yield f"runtime/{room}: a room that tests/structure.py does not know"
            continue
        for include in INCLUDE.findall(path.read_text()):
            where = include.split("/")[0] if "/" in include else None
            if where is None:
                yield f"{path.relative_to(ROOT)} includes {include}: with its room, `{room}/{include}`"
            elif where != room and where not in ROOMS[room]:
                yield f"{path.relative_to(ROOT)} includes {include}: {room} may not know {where}"


def one_way_through():
    text = (ROOT / "compiler/compile.c").read_text()
    lines = text.count("\n")
    if lines > SCREEN_LINES:
        yield f"compiler/compile.c has {lines} lines: it fits on a screen ({SCREEN_LINES})"
    stages = [name for name in INCLUDE.findall(text) if "_to_" in name]
    if len(stages) < 8:
        yield f"compiler/compile.c calls {len(stages)} stages only"
    for name in stages:
        for path in sorted(ROOT.glob("compiler/*.c")):
            if path.name not in ("compile.c", pathlib.Path(name).stem + ".c") and callers(path, pathlib.Path(name).stem):
                yield f"{path.relative_to(ROOT)} calls {pathlib.Path(name).stem}, which compile.c does"


def told_in_order():
    """DEVELOPERS.md tells the stages in the order in which compile.c calls them."""
    code = (ROOT / "compiler/compile.c").read_text()
    text = (ROOT / "DEVELOPERS.md").read_text()
    at = 0
    for stage in dict.fromkeys(re.findall(r"\b(\w+_to_\w+)\(", code)):
        found = text.find(f"`{stage}`", at)
        if found < 0:
            yield f"DEVELOPERS.md does not tell {stage}, or not in the order of compiler/compile.c"
        at = max(at, found)


# What is called elsewhere too, and why: the book's own file is a tree like any scene's; a dump prints the data.
ELSEWHERE = {("book.c", "text_to_tree"), ("run.c", "facts_to_json")}


def callers(path, stage):
    return (path.name, stage) not in ELSEWHERE and re.search(rf"\b{stage}\(", path.read_text())


def main():
    faults = [*headers_alone(sys.argv[1]), *directions(), *one_way_through(), *told_in_order()]
    print("\n".join(faults) or "every header compiles alone, and every include goes down the way")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
