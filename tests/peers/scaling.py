#!/usr/bin/env python3
"""Times exact best subset on growing shelves.

usage: python scaling.py

Draws shelves of 30 to 240 materials from those of problems.json, asks for the best recipe
of at most 3 to 6 of them (six targets each, fixed seed), and prints median and longest time
of the example `solve_problems`.
"""
import json
import pathlib
import random
import statistics
import subprocess
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
DRAWS = 6


def main():
    file = json.loads((HERE / "problems.json").read_text())
    draw = random.Random(7)
    shelf = [m for p in file["problems"] for m in p["materials"]]
    targets = [p for p in file["problems"] if p["kind"] == "substitution"]
    file["problems"] = []
    for count in (30, 60, 120, 240):
        for k in (3, 4, 5, 6):
            for number in range(DRAWS):
                target = draw.choice(targets)
                file["problems"].append(
                    dict(
                        id=f"{count} {k} {number}",
                        kind="best_subset",
                        k=k,
                        n_free=0,
                        materials=draw.sample(shelf, count),
                        target=target["target"],
                        tol=target["tol"],
                    )
                )
    with tempfile.NamedTemporaryFile("w", suffix=".json") as problems:
        json.dump(file, problems)
        problems.flush()
        command = "cargo run --release -q -p glost-core --example solve_problems --".split()
        out = subprocess.run(
            command + [problems.name], cwd=HERE.parent.parent, check=True, capture_output=True, text=True
        ).stdout
    times = {}
    for answer in map(json.loads, out.splitlines()):
        count, k, _ = answer["id"].split()
        times.setdefault(int(count), {}).setdefault(int(k), []).append(answer["micros"] / 1000)
    print("| materials | at most 3 | 4 | 5 | 6 |\n|---|---|---|---|---|")
    for count, by_k in times.items():
        cells = (f"{statistics.median(t):.2f} / {max(t):.2f}" for t in by_k.values())
        print(f"| {count} | " + " | ".join(cells) + " |")


if __name__ == "__main__":
    main()
