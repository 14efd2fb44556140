"""The whole job on a large folder, against loading and saving the same workbooks with a spreadsheet library.

Run: ``python tests/benchmarks/bench_process.py [--files 1000] [--jobs 2] [--rounds 1] [--keep FOLDER]``. The surveys
are those of the sample week, measured again with other luck, each with a photo of its own; three of four are of the
pianos without planted faults. In one run are timed, in turn:

- openpyxl, load and save, one file after the other;
- unpacking and packing every member of every file: the floor of any way of copying with changes;
- reading, checking and flagging alone, over worker processes;
- ``railwright process``, from the command line to the finished folder, on half of the files and on all of them.

The ways are gone through in turn, round by round. Printed are medians, their ratios with the targets, processor time,
and the peak of memory of all processes of a run together (resident pages, those that processes share counted once each
time). ``--keep`` makes the files once for many runs. What is written is removed at the end only (about 0.6 MB a survey
and round): a file system may be several times slower at making files for a minute after it has removed thousands.
"""

from __future__ import annotations

import argparse
import io
import os
import random
import resource
import statistics
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests"), str(ROOT / "demo")]

from memory_of_runs import run_watched  # noqa: E402

TARGET_PROCESS, TARGET_FLAGGING, TARGET_TIME, TARGET_MEMORY = 0.5, 0.2, 2.1, 1.1


def photo(seed: int) -> io.BytesIO:
    """Draw noise that no packing makes smaller, about 190 kB."""
    from PIL import Image

    pixels = random.Random(seed).randbytes(470 * 470 * 3)
    out = io.BytesIO()
    Image.frombytes("RGB", (470, 470), pixels).save(out, "JPEG", quality=88)
    out.seek(0)
    return out


def make_survey(number: int, folder: Path) -> None:
    """Measure one of the week's pianos again, type the readings into a blank survey and put a photo beside them."""
    from openpyxl import load_workbook
    from openpyxl.drawing.image import Image

    from make_samples import fill_blank, filled_cells
    from true_pianos import CLEAN, WEEK

    path = folder / f"batch-{number // 100:02d}" / f"survey-{number:04d}.xlsx"
    if path.exists():
        return
    others = [piano for piano in WEEK if piano not in CLEAN]
    piano = CLEAN[number % len(CLEAN)] if number % 4 else others[number // 4 % len(others)]
    cells, planted = filled_cells(piano, f"benchmark {number}")
    for key in ("order_no", "serial"):
        if cells.get(key):
            cells[key] = f"{cells[key]}-{number}"
    path.parent.mkdir(exist_ok=True)
    fill_blank(path, piano, cells, planted)
    book = load_workbook(path)
    book.worksheets[1].add_image(Image(photo(number)), "B30")
    unfinished = path.with_suffix(".part")
    book.save(unfinished)
    unfinished.rename(path)


def make_surveys(folder: Path, count: int, jobs: int) -> list[Path]:
    """Make so many surveys; those that are there already stay."""
    folder.mkdir(parents=True, exist_ok=True)
    with ProcessPoolExecutor(jobs) as pool:
        list(pool.map(partial(make_survey, folder=folder), range(count), chunksize=10))
    return sorted(folder.rglob("*.xlsx"))[:count]


def library(paths: list[Path], out: Path) -> None:
    """Load and save every workbook."""
    import openpyxl

    for path in paths:
        openpyxl.load_workbook(path).save(out / path.name)


def floor(paths: list[Path], out: Path) -> None:
    """Unpack and pack every member of every workbook."""
    for path in paths:
        with zipfile.ZipFile(path) as old, zipfile.ZipFile(out / path.name, "w", zipfile.ZIP_DEFLATED) as new:
            for name in old.namelist():
                new.writestr(name, old.read(name))


def flag_one(path: Path, out: Path) -> int:
    """Read and check one survey and write its flagged copy."""
    from railwright.book.default_catalogue import default_shop_book
    from railwright.checking.run import check_survey, lost_cells
    from railwright.reading.survey import read_survey
    from railwright.writing.returned import write_returned
    from railwright.writing.week import Instrument

    survey, lost = read_survey(path, path.name)
    findings = (*lost_cells(survey, lost), *check_survey(survey, default_shop_book()))
    write_returned(Instrument(path.name, survey, findings), path, out / path.name)
    return len(findings)


def flagging(paths: list[Path], out: Path, pool: Executor) -> None:
    """Read, check and flag over a pool, every one of them: a look at some of the results would end the rest."""
    found = list(pool.map(partial(flag_one, out=out), paths, chunksize=8))
    assert len(found) == len(paths) == len(list(out.iterdir()))


def whole(folder: Path, jobs: int, out: Path) -> float:
    """Run the command; give the peak of memory of all its processes in MiB."""
    run, peak_mib = run_watched("process", folder, "-o", out / "out", "--jobs", jobs)
    assert run.returncode == 0, f"railwright process ended with status {run.returncode}: {run.stderr}"
    return peak_mib


def processor_s() -> float:
    """Read the processor time of this process and of those that ended under it."""
    own, others = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return own.ru_utime + own.ru_stime + others.ru_utime + others.ru_stime


class Timed(NamedTuple):
    """Wall time and processor time of a run, s, and what it gave back."""

    wall: float
    work: float
    value: float


def timed(ways: dict[str, Callable[[Path], float | None]], rounds: int, outputs: Path) -> dict[str, Timed]:
    """Go through all ways in turn, round by round, each into a fresh folder; give the medians of each."""
    every: dict[str, list[Timed]] = {name: [] for name in ways}
    for _ in range(rounds):
        for name, run in ways.items():
            out = Path(tempfile.mkdtemp(dir=outputs))
            start, work = time.perf_counter(), processor_s()
            value = run(out) or 0.0
            every[name].append(Timed(time.perf_counter() - start, processor_s() - work, value))
    return {name: Timed(*map(statistics.median, zip(*runs, strict=True))) for name, runs in every.items()}


def line(label: str, count: int, run: Timed, unit: float, end: str = "") -> None:
    """Print one line of the table; ``unit`` is what the library takes for a file."""
    wall, work = (seconds / count for seconds in run[:2])
    print(f"{label:32}{wall * 1000:8.1f} ms a file{work * 1000:9.1f} ms processor{wall / unit:8.3f} x  {end}")


def verdict(value: float, target: float) -> str:
    """Say whether a target is met."""
    return f"target {target} x: {'met' if value <= target else 'MISSED'}"


def linked(paths: list[Path], folder: Path) -> Path:
    """Link files into a folder of their own; ``--keep`` may hold more of them."""
    for path in paths:
        place = folder / path.parent.name / path.name
        place.parent.mkdir(parents=True, exist_ok=True)
        os.link(path, place)
    return folder


def main() -> None:
    """Make the files and time every way over all of them."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--files", type=int, default=1000, help="the smaller run; the larger one has twice as many")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--rounds", type=int, default=1)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--once", action="store_true", help="leave the larger run out")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        place = options.keep or Path(scratch) / "surveys"
        count = options.files * (1 if options.once else 2)
        everything = make_surveys(place, count, options.jobs)
        outputs = Path(scratch) / "outputs"
        outputs.mkdir()
        report(everything, place, outputs, options)


def report(everything: list[Path], place: Path, outputs: Path, options: argparse.Namespace) -> None:
    """Time and print."""
    count, jobs, paths = options.files, options.jobs, everything[: options.files]
    size = statistics.mean(path.stat().st_size for path in paths) / 1000
    print(
        f"{count} surveys of {size:.0f} kB, {jobs} workers, median of {options.rounds}, load {os.getloadavg()[0]:.1f}"
    )
    with tempfile.TemporaryDirectory(dir=place.parent) as some:
        ways: dict[str, Callable[[Path], float | None]] = {
            "openpyxl, load and save": partial(library, paths),
            "unpack and pack every member": partial(floor, paths),
            "read, check and flag": partial(_flagging, paths, jobs),
            "process": partial(whole, linked(paths, Path(some) / "once"), jobs),
        }
        if not options.once:
            ways["process, twice the files"] = partial(whole, linked(everything, Path(some) / "twice"), jobs)
        found = timed(ways, options.rounds, outputs)
    unit = found["openpyxl, load and save"].wall / count
    targets = {"read, check and flag": TARGET_FLAGGING, "process": TARGET_PROCESS}
    for name, run in found.items():
        files = len(everything) if name == "process, twice the files" else count
        line(name, files, run, unit, verdict(run.wall / files / unit, targets[name]) if name in targets else "")
    small = found["process"]
    times = small.wall / found["unpack and pack every member"].wall
    print(f"process is {times:.1f} times the floor; memory at most {small.value:.0f} MiB")
    if options.once:
        return
    large = found["process, twice the files"]
    longer, more = large.wall / small.wall, large.value / small.value
    print(f"twice the files: {longer:.2f} x the time, {verdict(longer, TARGET_TIME)}")
    print(f"twice the files: {more:.2f} x the memory ({large.value:.0f} MiB), {verdict(more, TARGET_MEMORY)}")


def _flagging(paths: list[Path], jobs: int, out: Path) -> None:
    with ProcessPoolExecutor(jobs, get_context("spawn")) as pool:
        flagging(paths, out, pool)


if __name__ == "__main__":
    main()
