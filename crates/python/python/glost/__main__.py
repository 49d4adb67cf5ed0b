"""The command: ``glost`` and ``python -m glost``."""

from __future__ import annotations

import sys

from . import _glost


def main() -> int:
    """Answers one call of the command and gives its exit code."""
    return _glost.command(["glost", *sys.argv[1:]], [sys.executable, "-m", "glost"])


if __name__ == "__main__":
    sys.exit(main())
