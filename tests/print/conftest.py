"""Lets the tests of paper share their invented vehicle and their ruler."""

import sys
from pathlib import Path

for room in ("sheets", "print"):
    folder = str(Path(__file__).parents[1] / room)
    if folder not in sys.path:
        sys.path.append(folder)
