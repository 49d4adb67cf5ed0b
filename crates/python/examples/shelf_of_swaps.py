"""A feldspar is gone: what to weigh instead, glaze by glaze, and what the checks say.

    python shelf_of_swaps.py [STUDIO] [MATERIAL]
"""

from __future__ import annotations

import sys
import warnings

import glost


def best(studio: glost.Studio, glaze: str, gone: str) -> str:
    """One line: the nearest recipe without a material."""
    swap = studio.swap({"glaze": glaze, "out": [gone]})
    first = swap["proposals"][0]
    recipe = ", ".join(f"{name} {share:.1f}" for name, share in first["weighed"]["parts"].items())
    new = [finding["message"] for finding in first["findings"] if finding.get("new")]
    return f"{glaze}: {recipe}; {first['reads']} ({first['distance']:.2f}){'; new: ' + '; '.join(new) if new else ''}"


def main() -> int:
    """Prints a line for each glaze that holds the material."""
    warnings.simplefilter("ignore", glost.Aside)
    studio = glost.Studio(sys.argv[1] if len(sys.argv) > 1 else None)
    gone = sys.argv[2] if len(sys.argv) > 2 else "feldspar A"
    holding = studio.ask("glazes", {"holds": gone})
    for glaze in holding["glazes"]:
        try:
            print(best(studio, glaze["glaze"], gone))
        except glost.Error as error:
            print(f"{glaze['glaze']}: {error.message} ({error.help})", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
