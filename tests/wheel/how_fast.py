"""A hundred thousand glazes by the module and by the command, and unity formulas one by one."""

import csv
import resource
import subprocess
import time
import warnings

import glost

MANY = 100_000

warnings.simplefilter("ignore", glost.Aside)


def spent(who):
    """Processor time so far, s."""
    used = resource.getrusage(who)
    return used.ru_utime + used.ru_stime


spans = {"potash feldspar": (15, 50), "silica": (5, 35), "whiting": (5, 25), "kaolin": (5, 25)}
rows = [
    {"glaze": f"g{n}", **{name: low + (n * step % 100) * (high - low) / 100 for step, (name, (low, high)) in enumerate(spans.items(), 7)}}
    for n in range(MANY)
]
with open("many.csv", "w", newline="") as file:
    writer = csv.DictWriter(file, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
rule = {"script": "limits/cone-6"}
before = spent(resource.RUSAGE_CHILDREN)
subprocess.run(["glost", "check", "--over", "many.csv", "--script", "limits/cone-6", "--format", "json"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
terminal = spent(resource.RUSAGE_CHILDREN) - before
studio = glost.Studio()
before = spent(resource.RUSAGE_SELF)
findings = studio.screen("many.csv", rule)
module = spent(resource.RUSAGE_SELF) - before
print(f"figure: {MANY} unity formulas held against limits: command {terminal:.2f} s, module {module:.2f} s of processor time ({module / terminal:.2f} times), {len(findings)} findings")

few = rows[:5_000]
before = spent(resource.RUSAGE_SELF)
for row in few:
    studio.unity({"glaze": {"parts": {name: row[name] for name in spans}}})
each = (spent(resource.RUSAGE_SELF) - before) / len(few)
print(f"figure: one unity formula with bands and expansions, asked by itself: {each * 1e6:.0f} us")
