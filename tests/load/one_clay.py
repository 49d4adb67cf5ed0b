"""What asking takes where all notes are on one clay from one firing, and what a plan of many
tiles takes: processor time, and memory at its most.

    python one_clay.py GLOST [NOTES]

An example studio gets so many notes (8,000 unless said) of its own glazes, four looks at each
batch, all pooled; tables of 60 and 200 tiles of three ends are drawn from a curved surface.
Everything is invented, and the same each time. Of three runs the least time is told.
"""

import json
import os
import random
import subprocess
import sys
import tempfile

from measure import run

CLAY = "buff stoneware"
#: Each glaze with how often its pieces craze.
GLAZES = {"Lamplight clear": 0.5, "Highfell clear": 0.1, "Millpond copper green": 0.3, "Driftstone satin matt": 0.05}
AGES = [1, 30, 180, 330]
TILES = [60, 200]


def notes(count, chance):
    """Lines of a notebook: looks at batches of one firing, what crazed stays so."""
    lines = []
    for number in range(-(-count // len(AGES))):
        glaze = chance.choice(list(GLAZES))
        pieces, crazed = chance.randint(4, 8), 0
        for age in AGES[: count - len(lines)]:
            crazed = min(pieces, crazed + sum(chance.random() < GLAZES[glaze] / 4 for _ in range(pieces)))
            note = {"on": "2026-11-20", "glaze": glaze, "version": "v1", "clay": CLAY, "firing": "glost", "cone": "6"}
            note |= {"batch": str(number), "age_days": age, "looked": "loupe", "pieces": pieces, "crazed": crazed, "shivered": 0}
            lines.append(json.dumps(note))
    return "\n".join(lines) + "\n"


def tiles(count, chance):
    """A table of so many tiles of three ends: a grade and a count, by their shares."""
    rows = ["clear,iron,rutile,gloss,crazed"]
    for _ in range(count):
        cuts = sorted(chance.randint(0, 20) / 20 for _ in range(2))
        clear, iron, rutile = cuts[0], cuts[1] - cuts[0], 1 - cuts[1]
        gloss = 1 + 3 * clear + 6 * clear * iron + iron + chance.gauss(0, 0.3)
        crazed = sum(chance.random() < 0.7 * clear for _ in range(5))
        rows.append(f"{clear:.2f},{iron:.2f},{rutile:.2f},{min(max(gloss, 0), 5):.1f},{crazed}/5")
    return "\n".join(rows) + "\n"


def main():
    """A line a call."""
    glost = os.path.abspath(sys.argv[1])
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 8_000
    os.environ["GLOST_TODAY"] = "2026-11-25"
    chance = random.Random(20261125)
    with tempfile.TemporaryDirectory() as away:
        studio = os.path.join(away, "studio")
        subprocess.run([glost, "init", studio, "--example"], check=True, stdout=subprocess.DEVNULL)
        with open(os.path.join(studio, "notes.jsonl"), "w", encoding="utf-8") as book:
            book.write(notes(count, chance))
        calls = [["fit", "Lamplight clear", "--firing", "glost"], ["adjust", "Lamplight clear", f"fit: {CLAY}"]]
        for many in TILES:
            table = f"tiles{many}.csv"
            with open(os.path.join(studio, table), "w", encoding="utf-8") as file:
                file.write(tiles(many, chance))
            shares = ["results", "--data", table, "--shares", "clear,iron,rutile", "--value"]
            calls += [[*shares, "gloss"], [*shares, "crazed"]]
        for call in calls:
            runs = [run(glost, studio, call) for _ in range(3)]
            seconds, megabytes, code = min(runs)
            told = "" if code < 2 else f" exit {code}"
            print(f"{seconds:7.3f} s {megabytes:6.0f} MB{told}  {' '.join(call)}", flush=True)


if __name__ == "__main__":
    main()
