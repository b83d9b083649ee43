#!/usr/bin/python3
"""What only a terminal and a signal show: colours, progress, and nothing half-written.

    tests/rim.py GROUNDROW
"""

import os
import pathlib
import pty
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time

HERE = pathlib.Path(__file__).resolve().parent
BOOK = HERE / "cases/bases/lantern/specs/book.yaml"
SCENE = """scene: Fog
pages: 8-9
drawing: {wide: 420 mm}
mark: {puppet: otter, drawn: {foot: [180 mm, 34 mm], tall: 92 mm}}
camera: {lens: 85 mm, height: 10 in}
ground: {rear: 54 in}
"""
faults = []


def expect(what, true):
    if not true:
        faults.append(what)


def make_book(folder, scenes, text=SCENE):
    specs = pathlib.Path(folder) / "specs"
    specs.mkdir()
    shutil.copy(BOOK, specs / "book.yaml")
    for number in range(scenes):
        pages = f"{2 * number + 2}-{2 * number + 3}"  # each its own
        (specs / f"{number:04}-fog.yaml").write_text(text.replace("8-9", pages))


def on_terminal(groundrow, folder, arguments, **environment):
    """What standard error shows on a terminal."""
    theirs, ours = pty.openpty()
    variables = {**{k: v for k, v in os.environ.items() if k != "NO_COLOR"}, "TERM": "xterm", **environment}
    process = subprocess.Popen([groundrow, *arguments], cwd=folder, env=variables, stdin=subprocess.DEVNULL,
                               stdout=subprocess.DEVNULL, stderr=ours)
    os.close(ours)
    shown = b""
    while True:
        try:
            part = os.read(theirs, 65536)
        except OSError:  # how a terminal ends
            break
        if not part:
            break
        shown += part
    os.close(theirs)
    process.wait()
    return shown.decode()


def colours(groundrow):
    with tempfile.TemporaryDirectory() as folder:
        make_book(folder, 1, SCENE.replace("10 in", "10 inn"))
        check = ["check", "specs"]
        expect("colours on a terminal", "\x1b[" in on_terminal(groundrow, folder, check))
        expect("none with NO_COLOR", "\x1b[" not in on_terminal(groundrow, folder, check, NO_COLOR="1"))
        expect("an empty NO_COLOR is none", "\x1b[" in on_terminal(groundrow, folder, check, NO_COLOR=""))
        expect("none on a dumb terminal", "\x1b[" not in on_terminal(groundrow, folder, check, TERM="dumb"))
        expect("none with --color=never", "\x1b[" not in on_terminal(groundrow, folder, [*check, "--color=never"]))
        piped = subprocess.run([groundrow, *check], cwd=folder, capture_output=True, text=True).stderr
        expect("none in a pipe", "\x1b[" not in piped and "inn" in piped)


def progress(groundrow):
    with tempfile.TemporaryDirectory() as folder:
        make_book(folder, 1)
        expect("no progress where it is quick", on_terminal(groundrow, folder, ["check", "specs"]) == "")
    with tempfile.TemporaryDirectory() as folder:
        make_book(folder, 800)
        shown = on_terminal(groundrow, folder, ["check", "specs", "-j1"])
        expect("progress where it takes long", re.search(r"\r\d+ of 800 scenes", shown))
        expect("progress is wiped away", shown.endswith("\r\x1b[K"))
        expect("none with -q", on_terminal(groundrow, folder, ["check", "specs", "-q"]) == "")
        piped = subprocess.run([groundrow, "check", "specs"], cwd=folder, capture_output=True, text=True).stderr
        expect("none in a pipe", piped == "")


def signals(groundrow, number):
    with tempfile.TemporaryDirectory() as folder:
        make_book(folder, 600)
        process = subprocess.Popen([groundrow, "specs", "-j2"], cwd=folder, stdout=subprocess.DEVNULL)
        output = pathlib.Path(folder) / "output"
        while process.poll() is None and not (output.exists() and any(output.glob("*.txt"))):
            time.sleep(0.001)
        process.send_signal(number)
        expect(f"dies by signal {number}", process.wait() == -number)
        left = list(output.glob(".groundrow-*"))
        expect(f"no temporary file stays after signal {number}: {left}", not left)
        expect("a report is whole or not there", all(path.read_text().endswith("\n") for path in output.glob("*.txt")))
        expect("a picture is whole or not there",
               all(path.read_bytes().endswith(b"IEND\xaeB`\x82") for path in output.glob("*.png")))
        expect("book.txt and the page are for whole runs",
               not (output / "book.txt").exists() and not (output / "index.html").exists())


def has_terminals():
    """A bare root without /dev/pts has none."""
    try:
        for end in pty.openpty():
            os.close(end)
        return True
    except OSError:
        return False


def main():
    groundrow = pathlib.Path(sys.argv[1]).resolve(strict=True)
    if has_terminals():
        colours(groundrow)
        progress(groundrow)
    else:
        print("this machine has no terminals to give: signals alone")
    for number in (signal.SIGINT, signal.SIGTERM):
        signals(groundrow, number)
    print("\n".join(f"not so: {fault}" for fault in faults) or "as wanted")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
