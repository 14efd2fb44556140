"""Reading and flagging many surveys against loading and saving them with a spreadsheet library.

Run: ``python tests/benchmarks/bench_flagged_copies.py [--files 200] [--jobs 2]``. Every file is a blank survey with
readings and a photo of its own. Printed are milliseconds a file and the share of openpyxl's load and save, beside the
floor of unpacking and packing every member, which any way of writing a copy has to pay unless it copies packed bytes.
"""

from __future__ import annotations

import argparse
import io
import random
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

import openpyxl
from openpyxl.drawing.image import Image

from railwright.reading.workbook import read_workbook
from railwright.writing.patching.flag_copy import flag_workbook
from railwright.writing.patching.flags import FindingRow, FindingsSheet, Flag


def photo(seed: int) -> io.BytesIO:
    """Draw noise that no packing makes smaller, about 190 kB."""
    from PIL import Image as Drawing

    pixels = random.Random(seed).randbytes(470 * 470 * 3)
    out = io.BytesIO()
    Drawing.frombytes("RGB", (470, 470), pixels).save(out, "JPEG", quality=88)
    out.seek(0)
    return out


def make_surveys(folder: Path, count: int) -> list[Path]:
    """Write surveys that openpyxl made from a blank one."""
    from click.testing import CliRunner

    from railwright.cli import main

    blank = folder / "blank.xlsx"
    CliRunner().invoke(main, ["blank", "-o", str(blank)], catch_exceptions=False)
    paths = []
    for number in range(count):
        book = openpyxl.load_workbook(blank)
        _fill(book, number)
        paths.append(folder / f"survey-{number:04d}.xlsx")
        book.save(paths[-1])
    return paths


def _fill(book: openpyxl.Workbook, number: int) -> None:
    for name, target in book.defined_names.items():
        if name.startswith("s1_") or name == "order_no":
            sheet, cell = next(iter(target.destinations))
            book[sheet][cell.replace("$", "").partition(":")[0]] = f"{number} 1/8"
    book.worksheets[1].add_image(Image(photo(number)), "B5")


def ours(folder: Path, path: Path) -> int:
    """Read every answer and write a flagged copy; give the number of answers."""
    book = read_workbook(path)
    targets = [target for target in book.names.values() if not target.problem]
    answers = [book.cell(target.sheet, target.cell) for target in targets]
    flags = [Flag(target.sheet, target.cell, "confirm", "the run looks like eight spaces") for target in targets[:8]]
    rows = [FindingRow(flag.severity, flag.sheet, flag.cell, "Run", flag.note) for flag in flags]
    flag_workbook(book, folder / path.name, flags, FindingsSheet("Eight findings", rows))
    return len(answers)


def library(folder: Path, path: Path) -> None:
    """Load and save one workbook."""
    openpyxl.load_workbook(path).save(folder / path.name)


def floor(folder: Path, path: Path) -> None:
    """Unpack and pack every member."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(folder / path.name, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))


def timed(label: str, run: Callable[[], Iterable[object]], count: int, unit: float | None) -> float:
    """Time one way and print milliseconds a file, the share of ``unit``, and processor time.

    Args:
        label: What is timed.
        run: Works through all the files.
        count: How many they are.
        unit: Milliseconds a file that the share is taken of; ``None`` for no share.

    Returns:
        Milliseconds a file. Processor time, of this process alone, is what counts on a machine that others use too.
    """
    start, work = time.perf_counter(), time.process_time()
    list(run())
    spent = (time.perf_counter() - start) / count * 1000
    worked = (time.process_time() - work) / count * 1000
    share = "" if unit is None else f"{spent / unit:8.3f} x"
    print(f"{label:38}{spent:8.2f} ms a file{share:12}   (processor {worked:6.2f} ms)")
    return spent


def main() -> None:
    """Make the files and time every way over all of them."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--files", type=int, default=200)
    parser.add_argument("--jobs", type=int, default=2)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        paths = make_surveys(folder, options.files)
        out = folder / "out"
        out.mkdir()
        print(f"{len(paths)} surveys of {paths[0].stat().st_size / 1000:.0f} kB")
        unit = timed("openpyxl, load and save", lambda: map(partial(library, out), paths), len(paths), None)
        timed("unpack and pack every member", lambda: map(partial(floor, out), paths), len(paths), unit)
        timed("read and flag, one process", lambda: map(partial(ours, out), paths), len(paths), unit)
        with ProcessPoolExecutor(options.jobs) as pool:
            list(pool.map(abs, range(options.jobs)))
            many = lambda: pool.map(partial(ours, out), paths, chunksize=8)  # noqa: E731
            timed(f"read and flag, {options.jobs} processes", many, len(paths), unit)


if __name__ == "__main__":
    main()
