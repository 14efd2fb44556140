"""The hand-made week with words as long as people may write them, and one page of each kind that it is written to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import hand_made_week as week
from ledger_kit import DOUBT, HELD, entered, piano
from railwright.ledger.connection import opened
from railwright.reporting.report import report
from railwright.survey.findings import Finding
from railwright.writing.pages import write_pages
from railwright.writing.report_page import write_report_page
from railwright.writing.week import Week

KINDS = (
    "week.html",
    "cutting-list.html",
    "labels.html",
    "sheets/R-101.html",
    "sheets/R-103.html",
    "fit-cards/R-101.html",
    "patterns/R-101.html",
    "questions/Mara-Quill.html",
    "questions/an-unnamed-technician.html",
    "report.html",
)
#: Windows of a telephone, a tablet and a desk screen.
WIDTHS = (390, 820, 1280)
#: Words without a gap, as a file name or a serial number may be, and a long sentence.
LONG_WORD, LONG_WORDS = "Wide" * 18, "a very long name of a place " * 6


def wordy_week() -> Week:
    """Make the week, the third of its instruments with long words."""
    made = week.week()
    waiting = made.instruments[2]
    assert waiting.survey
    survey = replace(waiting.survey, site=LONG_WORDS, model=LONG_WORD, serial=LONG_WORD)
    finding = Finding("readings_disagree", "confirm", f"{LONG_WORDS} {LONG_WORD}.", "s2_run", LONG_WORD, "E21")
    wordy = replace(waiting, survey=survey, findings=(*waiting.findings, finding))
    return replace(made, instruments=(*made.instruments[:2], wordy, *made.instruments[3:]), notes=(LONG_WORD,))


def write_wordy_pages(folder: Path, ledger: Path) -> None:
    """Write the pages of the week, and a report from a ledger that is made for it; every one of its tables has rows."""
    assert write_pages(wordy_week(), folder) == ()
    doubt = replace(DOUBT, message=f"{LONG_WORDS} {LONG_WORD}.")
    with opened(ledger) as connection:
        entered(connection, piano(LONG_WORD, 600.0, feet=12), piano("R-2", findings=(HELD, doubt), site=LONG_WORDS))
        tables = report(connection, date(2031, 4, 2))
    assert all(table.rows for table in tables)
    write_report_page(tables, f"{LONG_WORD}.ledger", date(2031, 4, 2), folder / "report.html")
