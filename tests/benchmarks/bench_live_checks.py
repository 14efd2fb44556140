"""Let LibreOffice work out the live checks of many randomly filled surveys and compare each with the tool's own value.

Run from the repository root::

    PYTHONPATH=src:tests python tests/benchmarks/bench_live_checks.py --workbooks 200

Every workbook has six sections; half are in inches, half in millimetres. Printed for each country's decimal signs: how
many cells were compared, and every one that shows another figure or word, or differs by more than 1e-6 before rounding.
"""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from live_checks import filled_blanks, recalculated, shown_and_expected


def differs(shown, own):
    """Tell whether a shown value is not the tool's own: numbers to hundredths, one more than millimetres show."""
    if isinstance(own, float) and isinstance(shown, int | float):
        return abs(shown - own) > 1e-6 or f"{shown:.2f}" != f"{own:.2f}"
    return shown != own


def main():
    """Compare and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--workbooks", type=int, default=34)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--locales", nargs="*", default=["en-US", "de-DE"])
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        paths = filled_blanks(Path(folder), options.workbooks, options.seed)
        for locale in options.locales:
            rows = [row for path in recalculated(paths, Path(folder), locale) for row in shown_and_expected(path)]
            wrong = [row for row in rows if differs(*row[1:])]
            print(f"{locale}: {len(rows)} cells compared, {len(wrong)} differ")
            for what, shown, own in wrong:
                print(f"  {what}: shown {shown!r}, own {own!r}")


if __name__ == "__main__":
    main()
