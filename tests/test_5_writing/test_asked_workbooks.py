"""The workbooks sent to a technician: only the cells to read again are marked, and they come back as surveys."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from railwright.book.default_catalogue import default_shop_book
from railwright.one_file import examine
from railwright.writing.asking import questions_of
from railwright.writing.instrument_set import remove_for_instrument, write_for_instrument
from railwright.writing.patching.marks import FILLS
from railwright.writing.places import places_of
from railwright.writing.week import Instrument, Week
from week_of_samples import SAMPLES

BOOK = default_shop_book()
#: One with questions and a note, one with questions only, one with neither.
WITH_NOTE, QUESTIONS_ONLY, QUIET = "quarley/K-4217.xlsx", "vennick/K-4236.xlsx", "vennick/K-4101.xlsx"


def examined(file: str) -> Instrument:
    return examine(SAMPLES / file, file, BOOK)


def written(instrument: Instrument, out: Path) -> Path:
    places = places_of(Week(BOOK, (instrument,)))
    assert write_for_instrument(instrument, BOOK, places, SAMPLES, out) == ()
    return out / places.asked(instrument)


def marked(path: Path) -> set[str]:
    fills = {f"00{fill}" for fill in FILLS.values()} | {f"FF{fill}" for fill in FILLS.values()}
    page = openpyxl.load_workbook(path)["Survey"]
    return {cell.coordinate for row in page.iter_rows() for cell in row if cell.fill.fgColor.rgb in fills}


def asked_cells(instrument: Instrument) -> set[str]:
    return {place.rpartition(" ")[2] for question in questions_of(instrument) if (place := question.place)}


@pytest.mark.parametrize("file", [WITH_NOTE, QUESTIONS_ONLY])
def test_exactly_the_cells_asked_for_are_marked(file: str, tmp_path: Path) -> None:
    instrument = examined(file)
    assert marked(written(instrument, tmp_path)) == asked_cells(instrument) != set()


def test_a_note_is_marked_for_the_office_only(tmp_path: Path) -> None:
    instrument = examined(WITH_NOTE)
    (note,) = [finding for finding in instrument.findings if finding.severity == "note"]
    sent = written(instrument, tmp_path)
    returned = tmp_path / "returned" / WITH_NOTE
    assert note.cell in marked(returned) and note.cell not in marked(sent)
    rows = [[cell.value for cell in row] for row in openpyxl.load_workbook(sent)["Findings"].iter_rows(min_row=4)]
    assert [row[4] for row in rows] == [question.why for question in questions_of(instrument)]


def test_nothing_asked_no_workbook(tmp_path: Path) -> None:
    assert not written(examined(QUIET), tmp_path).exists()


def test_it_comes_back_filled_in_and_settles_the_question(tmp_path: Path) -> None:
    """The notch of 3 mm was reckoned from the usual offset; the wire is then read to stand 2 mm out of line."""
    sent = written(examined(QUESTIONS_ONLY), tmp_path)
    book = openpyxl.load_workbook(sent)
    (cell,) = asked_cells(examined(QUESTIONS_ONLY))
    book["Survey"][cell] = 2
    book.save(sent)
    again = examine(sent, QUESTIONS_ONLY, BOOK)
    assert (examined(QUESTIONS_ONLY).state, again.state) == ("confirm", "release")


def test_it_is_removed_with_everything_else_of_an_instrument_given_up(tmp_path: Path) -> None:
    instrument = examined(QUESTIONS_ONLY)
    sent = written(instrument, tmp_path)
    assert sent.exists()
    remove_for_instrument(instrument, places_of(Week(BOOK, (instrument,))), tmp_path)
    assert not [path for path in tmp_path.rglob("*") if path.is_file()]


def test_no_technician_has_a_folder_with_the_name_of_a_page() -> None:
    """Whatever technicians call themselves: here one like the page, one like the folder of another."""
    one = examined(QUIET)
    assert one.survey
    names = ("Lee", "Lee.html", "Lee-workbooks", "Lee-workbooks.txt", "../Lee")
    crew = [replace(one, file=f"{n}.xlsx", survey=replace(one.survey, technician=t)) for n, t in enumerate(names)]
    places = places_of(Week(BOOK, tuple(crew)))
    pages = [places.questions(name) for name in names]
    files = {name.casefold() for page in pages for name in (page, re.sub("html$", "txt", page))}
    folders = {places.asked_folder(name).casefold() for name in names}
    assert (len(files), len(folders), files & folders) == (10, 5, set())
    assert all(re.fullmatch(r"questions/[^/]+", name) for name in files | folders)
