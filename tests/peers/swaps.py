#!/usr/bin/env python3
"""Everything out once, over the invented studio in tests/data/sallow_lane: what the first
proposal of each swap must never do (common practice, no source), and how near it lies.

usage: python swaps.py GLOST [STUDIO]    (standard library; exit 1 where more than 5 % are wrong)

Wrong is: a fluoride that nobody asked for, raw clay out of its band (from the least of the old
share and the greater of 8 % and half of it, to the greater of 25 % and the old share + 8; once
fired ware 20 to 45 %; 1.5 % of slack), less than half a per cent of a newcomer, a new *fail*.
"""
import json
import pathlib
import re
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent
FLUORIDES = ("fluorspar", "soda fluoride")
# For these nothing on a shelf can stand in.
COLOURS_ALONE = [
    ("Kiln black", "red iron oxide"),
    ("Gable blue", "cobalt carbonate"),
    ("Moss stone", "copper carbonate"),
    ("Spring pool", "copper carbonate"),
]


def amounts(text):
    pairs = (pair.rsplit(":", 1) for pair in text.strip("{} ").split(",")) if text else ()
    return {name.strip(): float(amount) for name, amount in pairs}


def glazes(studio):
    for path in sorted(studio.glob("glazes/*.yaml")):
        keys = dict(re.findall(r"^(\w+): (.*)$", path.read_text(), re.M))
        yield keys["glaze"], amounts(keys["parts"]), amounts(keys.get("additions")), keys.get("ware") == "raw"


def clay(parts, clays):
    return 100 * sum(amount for name, amount in parts.items() if name in clays) / sum(parts.values())


def wrong(parts, additions, raw_ware, best, clays):
    old, found = {**parts, **additions}, []
    for name in {**best["parts"], **best["additions"]}:
        if name not in old and name in FLUORIDES:
            found.append(f"{name} unasked")
    for name, amount in best["parts"].items():
        if name not in old and amount < 0.5:
            found.append(f"a trace of {name}: {amount:.2f}")
    was, is_now = clay(parts, clays), clay(best["parts"], clays)
    low, high = (20, 45) if raw_ware else (min(was, max(8, was / 2)), max(was + 8, 25))
    if not low - 1.55 <= is_now <= high + 1.55:
        found.append(f"raw clay from {was:.1f} to {is_now:.1f} %")
    fails = [f["message"] for f in best["findings"] if f["new"] and f["level"] == "fail"]
    return found + [f"new fail: {message}" for message in fails]


def main():
    glost = sys.argv[1]
    studio = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else HERE.parent / "data/sallow_lane"
    sheets = "".join(path.read_text() for path in studio.glob("materials/*.yaml"))
    clays = set(re.findall(r"name: ([^,]+), kind: clay", sheets))
    count = near = bad = 0
    for name, parts, additions, raw_ware in glazes(studio):
        for out in [*parts, *additions]:
            if (name, out) in COLOURS_ALONE:
                continue
            call = [glost, "--studio", str(studio), "swap", name, "--out", out, "--format", "json"]
            ran = subprocess.run(call, capture_output=True, text=True)
            proposals = json.loads(ran.stdout).get("proposals") if ran.stdout else None
            count += 1
            found = wrong(parts, additions, raw_ware, proposals[0], clays) if proposals else ["no proposal"]
            near += bool(proposals) and proposals[0]["distance"] <= 10
            bad += bool(found)
            if found:
                print(f"{name} without {out}: {'; '.join(found)}")
    print(f"{count} swaps: {bad} wrong, {near} within a distance of 10")
    sys.exit(bad * 20 > count)


if __name__ == "__main__":
    main()
