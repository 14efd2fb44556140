"""Runs that are killed at random moments, and what must be true after each.

Run: ``PYTHONPATH=src:tests python tests/killed_runs.py [--runs 100] [--seed 1]``. Two folders of surveys are processed
in turn to one output. Half of the runs are killed anywhere between start and end, the others within some milliseconds
around the moment at which the new output takes the place of the earlier one.
Every time the output must be whole: that of the one folder or that of the other, file by file.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from little_surveys import SECTION, little_survey
from railwright.writing.output_folder import LISTING, was_changed

SOURCES = Path(__file__).resolve().parents[1] / "src"
#: One section that is the whole keyboard of its piano: quick to compute.
WHOLE = SECTION | {"notes": 20}


@dataclass
class Told:
    """How runs ended: ``out`` counts which output stood after each, ``left`` what lay beside it."""

    out: Counter[str] = field(default_factory=Counter)
    left: Counter[str] = field(default_factory=Counter)
    finished: int = 0


def digest(folder: Path) -> str:
    """Give one fingerprint of all files; the listing holds moments, so it is left out."""
    total = hashlib.sha256()
    for path in sorted(path for path in folder.rglob("*") if path.is_file() and path.name != LISTING):
        total.update(path.relative_to(folder).as_posix().encode() + b"\0" + path.read_bytes())
    return total.hexdigest()


def start(folder: Path, out: Path) -> subprocess.Popen[str]:
    """Start one run."""
    environment = {**os.environ, "PYTHONPATH": str(SOURCES)}
    arguments = [sys.executable, "-m", "railwright", "process", str(folder), "-o", str(out)]
    return subprocess.Popen(
        arguments, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, encoding="utf-8"
    )


def two_weeks(place: Path) -> list[Path]:
    """Write two small folders of surveys."""
    weeks = [place / "one", place / "two"]
    for week in weeks:
        week.mkdir()
        for number in range(3):
            little_survey(
                week / f"{number}.xlsx", WHOLE, order_no=f"{week.name}-{number}", serial=f"{week.name} {number}"
            )
    return weeks


def wait_for_the_swap(run: subprocess.Popen[str], desk: Path) -> None:
    """Wait until a run has written its listing, the last thing before the new output takes its place."""
    while run.poll() is None and not any(desk.glob(f".out.building-*/{LISTING}")):
        time.sleep(0.0005)


def kill_runs(place: Path, runs: int, seed: int = 1) -> Told:
    """Kill so many runs, check after each, and let a last one finish.

    Raises:
        AssertionError: an output was not whole, or the last run did not put everything right.
    """
    dice, told = random.Random(seed), Told()
    weeks, desk = two_weeks(place), place / "desk"
    desk.mkdir()
    out = desk / "out"
    whole: dict[str, str] = {}
    seconds = 0.0
    for week in (*weeks, weeks[0]):
        begun = time.perf_counter()
        assert start(week, out).wait() == 0
        seconds, whole[digest(out)] = time.perf_counter() - begun, week.name
    surveys = [digest(week) for week in weeks]
    stands = "one"
    for number in range(runs):
        run = start(weeks[stands == "one"], out)  # always the other week, so that it shows which output stands
        if number % 2:
            wait_for_the_swap(run, desk)
            time.sleep(dice.uniform(0, 0.03))
        else:
            time.sleep(seconds * dice.uniform(0, 1.05))
        told.finished += run.poll() is not None
        run.kill()
        run.communicate()
        before, stands = stands, whole.get(digest(out), "neither")
        told.out["earlier" if stands == before else "new" if stands in whole.values() else "neither"] += 1
        told.left.update({path.name.rsplit("-", 1)[0] for path in desk.iterdir()} - {"out"})
        assert told.out["neither"] == 0, f"run {number} left an output that is not whole"
        assert not was_changed(out)
    # Workers of a killed run outlive it for a moment and may put a file back beside the output; the next run clears it.
    for _ in range(3):
        last = start(weeks[0], out)
        sentences = last.communicate()[1]
        assert last.returncode == 0, sentences
        assert whole[digest(out)] == "one"
        if [path.name for path in desk.iterdir()] == ["out"]:
            break
    assert [path.name for path in desk.iterdir()] == ["out"]
    assert [digest(week) for week in weeks] == surveys
    return told


def main() -> None:
    """Kill many runs and print what was seen."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--runs", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        told = kill_runs(Path(place), options.runs, options.seed)
    print(f"{options.runs} runs killed, {told.finished} had just ended by themselves; every output was whole.")
    print(f"Found in the output: {dict(told.out)}; beside it: {dict(told.left)}.")


if __name__ == "__main__":
    main()
