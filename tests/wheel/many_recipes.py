"""Invented recipes as a table, on the shipped materials; the same number, the same table."""

import random
import sys

SPANS = {"potash feldspar": (15, 50), "silica": (5, 35), "whiting": (5, 25), "kaolin": (5, 25), "talc": (0, 12)}

draw = random.Random(20261129)
print("glaze", *SPANS, sep=",")
for number in range(1, int(sys.argv[1]) + 1):
    print(f"recipe {number}", *(f"{draw.uniform(*span):.2f}" for span in SPANS.values()), sep=",")
