"""Make the demonstration's scripts importable for the tests of the sample week."""

import sys
from pathlib import Path

DEMO = str(Path(__file__).resolve().parents[2] / "demo")
if DEMO not in sys.path:
    sys.path.insert(0, DEMO)
