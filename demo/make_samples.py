"""Write the sample week: measure the true pianos, type the readings into blank surveys, plant the faults.

Run it from the checkout with the test extra installed:

    python demo/make_samples.py

It writes ``samples/`` (what a clerk's folder would hold, and nothing else) and ``demo/truth.json`` (what the surveys
hide: where the wires really are, what was planted). The same files come out every time.
"""

from __future__ import annotations

import json
import shutil
import struct
import tempfile
import zipfile
import zlib
from datetime import date
from pathlib import Path
from typing import Any

from faults import Cells, Planted, spoiler_of
from handwriting import typed
from measuring import SEED, Tape, measure
from true_pianos import CLEAN, WEEK, TruePiano, free_mm

HERE = Path(__file__).resolve().parent
NOT_A_WORKBOOK = "ferrowby/K-4298.xlsx"
NOT_A_SURVEY = "quarley/mileage.xlsx"
WITH_PHOTO = "K-4103"
REMARKS = {
    "K-4101": "Stage piano; lid prop is loose, keep clear.",
    "K-4103": "Photo of the bass end on the third sheet.",
    "K-4106": "- ring twice, the bell is weak",
}


def main(samples: Path = HERE.parent / "samples", truth: Path = HERE / "truth.json") -> None:
    """Write the samples and the truth, in place of what was there."""
    if samples.exists():
        shutil.rmtree(samples)
    surveys = [write_survey(piano, samples) for piano in WEEK]
    others = write_other_files(samples)
    document = {"seed": SEED, "surveys": surveys, "other_files": others}
    truth.write_text(json.dumps(document, ensure_ascii=False, indent=1) + "\n", encoding="utf-8", newline="\n")


def write_survey(piano: TruePiano, samples: Path, seed: str = SEED) -> dict[str, Any]:
    """Write one filled survey and give its page of the truth."""
    cells, planted = filled_cells(piano, seed)
    path = samples / piano.file
    path.parent.mkdir(parents=True, exist_ok=True)
    fill_blank(path, piano, cells, planted)
    return truth_of(piano, planted)


def filled_cells(piano: TruePiano, seed: str = SEED) -> tuple[Cells, Planted]:
    """Type every reading of an instrument, then let go wrong what goes wrong with this order."""
    cells: Cells = {
        "order_no": piano.order_no,
        "site": piano.site,
        "technician": piano.technician,
        "survey_date": date.fromisoformat(piano.survey_date),
        "needed_by": date.fromisoformat(piano.needed_by),
        "maker": piano.maker,
        "model": piano.model,
        "serial": piano.serial,
        "unit": piano.unit,
        "reading_step": piano.step,
        "remarks": REMARKS.get(piano.order_no, piano.remarks or None),
    }
    for key, reading in measure(piano, seed).items():
        cells[key] = typed(key, reading, piano.unit, piano.technician, piano.order_no)
    return cells, spoiler_of(piano.order_no)(piano, cells, Tape(piano, seed))


def fill_blank(path: Path, piano: TruePiano, cells: Cells, planted: Planted) -> None:
    """Fill a blank survey through its names and save it, with the pictures that openpyxl loses."""
    from openpyxl import load_workbook

    from railwright.shop.workbook_file import save_workbook
    from railwright.writing.blank_pictures import with_pictures
    from railwright.writing.blank_survey import write_blank

    with tempfile.TemporaryDirectory() as folder:
        blank = Path(folder) / "blank.xlsx"
        write_blank(blank, piano.unit, len(piano.sections))
        workbook = load_workbook(blank)
        with zipfile.ZipFile(blank) as parts:
            pictures = {number: parts.read(f"xl/drawings/drawing{number}.xml") for number in (1, 2)}
    for key, cell in cells.items():
        sheet, address = _place(workbook, key)
        workbook[sheet][address] = cell
    for key in planted.deleted:
        sheet, address = _place(workbook, key)
        workbook[sheet][address] = None
        workbook.defined_names[key].value = f"'{sheet}'!#REF!"
    if piano.order_no == WITH_PHOTO:
        _add_photo(workbook)
    save_workbook(workbook, path)
    path.write_bytes(with_pictures(path.read_bytes(), pictures))


def write_other_files(samples: Path) -> list[dict[str, Any]]:
    """Write what else lands in a clerk's folder: a letter saved under a workbook's name, and a list of mileage."""
    from openpyxl import Workbook

    from railwright.shop.workbook_file import save_workbook

    letter = "Dear office,\r\nthe hall was locked. I go again on Monday.\r\nM. Ferrowby\r\n"
    (samples / NOT_A_WORKBOOK).write_bytes(letter.encode())
    workbook = Workbook()
    sheet = workbook.worksheets[0]
    sheet.title = "Mileage"
    for row in (
        ["Day", "From", "To", "km"],
        ["Tuesday", "Depot", "Old Ropeworks", 14],
        ["Tuesday", "", "Mill Steps", 9],
    ):
        sheet.append(row)
    save_workbook(workbook, samples / NOT_A_SURVEY)
    return [
        {"file": NOT_A_WORKBOOK, "state": "hold", "rule": "unreadable_workbook"},
        {"file": NOT_A_SURVEY, "state": "hold", "rule": "not_a_survey"},
    ]


def truth_of(piano: TruePiano, planted: Planted) -> dict[str, Any]:
    """Say what one survey hides: state, faults, and where the wires and strings really are."""
    return {
        "file": piano.file,
        "order_no": piano.order_no,
        "state": planted.state,
        "clean": piano in CLEAN,
        "faults": [{"rule": rule, "field": field} for rule, field in planted.faults],
        "follows": [{"rule": rule, "field": field} for rule, field in planted.follows],
        "sections": [_true_section(piano, number, planted) for number in range(1, len(piano.sections) + 1)],
    }


def _true_section(piano: TruePiano, number: int, planted: Planted) -> dict[str, Any]:
    section = piano.sections[number - 1]
    return {
        "section": number,
        "compare": bool(section.dampers) and number not in planted.spoiled,
        "wires_mm": piano.wires_mm(number),
        "last_string_mm": round(piano.last_string_mm(number), 2),
        "rest_mm": list(section.rest_mm),
        "free_mm": [round(free, 2) for free in free_mm(section)],
        "screw_gaps": [section.dampers - heads for heads in section.screws],
    }


def _place(workbook: Any, key: str) -> tuple[str, str]:
    (place,) = workbook.defined_names[key].destinations
    return place[0], place[1].replace("$", "")


def _add_photo(workbook: Any) -> None:
    from io import BytesIO

    from openpyxl.drawing.image import Image

    workbook["Photos and remarks"].add_image(Image(BytesIO(_picture())), "B12")


def _picture(width: int = 60, height: int = 40) -> bytes:
    """Draw a small picture of nothing but shades, as a PNG."""
    rows = b"".join(
        b"\0" + bytes((60 + 120 * x // width, 50 + 90 * y // height, 40)[c] for x in range(width) for c in range(3))
        for y in range(height)
    )
    parts = (
        (b"IHDR", struct.pack(">2I5B", width, height, 8, 2, 0, 0, 0)),
        (b"IDAT", zlib.compress(rows, 9)),
        (b"IEND", b""),
    )
    chunks = (
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in parts
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


if __name__ == "__main__":
    main()
