"""Every kind of bad file in one folder beside good surveys: the good ones must come out as if they were alone.

Run: ``PYTHONPATH=src:tests python tests/hostile_week.py [--good 20] [--jobs 2]``. It compares a run over the good
surveys with one over all, and prints the peak of memory of all processes of the latter together (Linux).
"""

from __future__ import annotations

import argparse
import json
import shutil
import tempfile
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hostile_files import KINDS
from memory_of_runs import run_watched
from railwright.writing.output_folder import LISTING
from week_of_samples import SAMPLES

MOST_MIB = 600
#: Pages about the whole run, and questions to nobody in particular, name its bad files too; results are compared apart.
ABOUT_ALL = frozenset(
    {"results.json", "week.html", "questions/an-unnamed-technician.html", "questions/an-unnamed-technician.txt"}
)


@dataclass(frozen=True)
class Compared:
    """What came of two runs.

    Attributes:
        told: The entry of each bad file in the results, by its kind.
        differing: Files of the run over good surveys alone that are missing or different in the other.
        more: Files that only the other has.
        files: How many were compared.
        peak_mib: Memory of the other.
        alone_mib: Memory of the run over good surveys alone.
    """

    told: dict[str, dict[str, Any]]
    differing: list[str]
    more: list[str]
    files: int
    peak_mib: float
    alone_mib: float


def add_bad_files(folder: Path) -> None:
    """Write a file of each kind; most call themselves workbooks."""
    folder.mkdir()
    for kind, (make, _) in KINDS.items():
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of the library, about the very thing that makes a file bad
            (folder / f"{kind}.xlsx").write_bytes(make())


def compare(good: Path, desk: Path, jobs: int) -> Compared:
    """Process good surveys alone, then with the bad files among them.

    Args:
        good: a folder of good surveys; only read.
        desk: an empty folder to work in.
        jobs: worker processes.

    Returns:
        What came of it.
    """
    mixed = desk / "mixed"
    shutil.copytree(good, mixed)
    add_bad_files(mixed / "bad")
    alone, alone_mib = _processed(good, desk / "alone", jobs)
    among, peak = _processed(mixed, desk / "among", jobs)
    results = {place: json.loads((desk / place / "results.json").read_bytes()) for place in ("alone", "among")}
    bad = {one["file"]: one for one in results["among"]["instruments"] if one["file"].startswith("bad/")}
    differing = [name for name, content in alone.items() if among.get(name) != content]
    if results["alone"] != results["among"] | {"instruments": _without(results["among"], bad)}:
        differing.append("results.json")
    told = {Path(name).stem: one for name, one in bad.items()}
    return Compared(told, differing, sorted(among.keys() - alone.keys()), len(alone), peak, alone_mib)


def _without(results: dict[str, Any], files: dict[str, Any]) -> list[Any]:
    return [one for one in results["instruments"] if one["file"] not in files]


def _processed(folder: Path, out: Path, jobs: int) -> tuple[dict[str, bytes], float]:
    run, peak = run_watched("process", folder, "-o", out, "--jobs", jobs, every_s=0.02)
    assert run.returncode == 0, run.stderr
    written = {path.relative_to(out).as_posix(): path for path in out.rglob("*") if path.is_file()}
    return {name: path.read_bytes() for name, path in written.items() if name not in {*ABOUT_ALL, LISTING}}, peak


def main() -> None:
    """Compare with so many of the sample week's surveys and print what was seen."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--good", type=int, default=20)
    parser.add_argument("--jobs", type=int, default=2)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        good = Path(name) / "good"
        good.mkdir()
        for path in sorted(SAMPLES.rglob("K-*.xlsx"))[: options.good]:
            shutil.copy(path, good)
        seen = compare(good, Path(name), options.jobs)
    for kind, one in seen.told.items():
        print(f"{kind:32}{one['state']:6}{one['findings'][0]['rule']:22}{one['findings'][0]['message']}")
    print(f"{len(seen.told)} bad files beside {options.good} surveys; {seen.files} files compared, differing:", end=" ")
    print(f"{seen.differing or 'none'}")
    print(f"Written for the bad ones only: {', '.join(seen.more)}")
    print(f"Memory at most {seen.peak_mib:.0f} MiB (target {MOST_MIB}); good surveys alone {seen.alone_mib:.0f} MiB")


if __name__ == "__main__":
    main()
