"""Every length that a card of the notes is lettered with stands in the scene's report, too.

usage: cards.py FOLDER...
"""
import json
import pathlib
import re
import struct
import sys

# 3'-5 7/8"   11 in   6 1/2 in   3/8 in   355.6 mm
LENGTH = re.compile(r"""\d+'-\d+(?: \d+/\d+)?"|(?:\d+ )?\d+/\d+ in|\d+ in|\d+(?:\.\d+)? mm""")


def cards_of(path):
    data = path.read_bytes()
    (text,) = struct.unpack_from("<I", data, 12)
    for node in json.loads(data[20 : 20 + text])["nodes"]:
        if "text" in node.get("extras", {}):
            yield node["name"], node["extras"]["text"]


def main():
    faults, cards, lengths = [], 0, 0
    for folder in sys.argv[1:]:
        for path in sorted(pathlib.Path(folder).glob("*.notes.glb")):
            report = path.with_name(path.name.replace(".notes.glb", ".txt")).read_text()
            known = set(LENGTH.findall(report))
            for name, text in cards_of(path):
                cards += 1
                for length in LENGTH.findall(text):
                    lengths += 1
                    if length not in known:
                        faults.append(f"{path.name}: {name} says {length}, the report does not")
    print("\n".join(faults[:40] + [f"{cards} cards, {lengths} lengths, {len(faults)} faults"]))
    return 0 if not faults and cards > 50 and lengths > 60 else 1


if __name__ == "__main__":
    sys.exit(main())
