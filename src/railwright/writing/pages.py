"""The pages that people read and print: the week, the cutting list, labels, questions; and all of a run together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path, PurePosixPath
from typing import Any

from railwright.book.model import ShopBook
from railwright.shop.cutting.model import Plan, tenths
from railwright.shop.order_model import CuttingSheet
from railwright.shop.remnants import Racks, Rest, rack_labels
from railwright.survey.findings import State
from railwright.writing.advice import measure_next_words, next_step
from railwright.writing.asking import Asked, asked_by_technician, mail_text, questions_of
from railwright.writing.bar_strip import bar_strip, felt_sheet
from railwright.writing.confirming import unconfirmed_orders, unconfirmed_words
from railwright.writing.cutting_lines import (
    FELT_MARKS,
    bar_groups,
    bar_words,
    marks_words,
    rest_words,
    totals_words,
    unplaced_words,
)
from railwright.writing.felt_lines import felt_groups, felt_totals_words, sheet_words
from railwright.writing.instrument_pages import has_fit_card, write_instrument_pages
from railwright.writing.labels import labels_of
from railwright.writing.last_time import since_last_time
from railwright.writing.numbers import money
from railwright.writing.order_book import order_total
from railwright.writing.places import (
    CUTTING_BOOK,
    CUTTING_PAGE,
    LABELS_PAGE,
    ORDER_BOOK,
    STOCK_BOOK,
    WEEK_PAGE,
    Places,
    link,
    places_of,
    technician_of,
)
from railwright.writing.proof_words import known_words
from railwright.writing.saw_hand import HAND_WORDS
from railwright.writing.templates import write_page, write_text
from railwright.writing.week import Instrument, Week


def write_pages(week: Week, target: Path) -> tuple[str, ...]:
    """Write every page and drawing of a run; one that cannot be drawn costs itself only.

    Args:
        week: the run.
        target: the output folder; folders in it are made as needed.

    Returns:
        Sentences about pages that could not be made.

    Raises:
        OSError: something could not be written.
    """
    places = places_of(week)
    faults = tuple(
        fault for one in week.instruments for fault in write_instrument_pages(one, week.book, places, target)
    )
    write_week_pages(replace(week, notes=(*week.notes, *faults)), target)
    return faults


def write_week_pages(week: Week, target: Path) -> None:
    """Write the pages that are about more than one instrument.

    Args:
        week: the run.
        target: the output folder.

    Raises:
        OSError: something could not be written.
    """
    places = places_of(week)
    write_page(target / WEEK_PAGE, "week.html", week_values(week, places))
    write_page(target / CUTTING_PAGE, "cutting-list.html", cutting_values(week))
    write_page(target / LABELS_PAGE, "labels.html", {"labels": labels_of(week), "hand": HAND_WORDS})
    for technician, asked in asked_by_technician(week).items():
        page = target / places.questions(technician)
        write_page(page, "questions.html", question_values(technician, asked, places))
        write_text(page.with_suffix(".txt"), mail_text(technician, asked))


def week_values(week: Week, places: Places) -> dict[str, Any]:
    """Gather what the week page shows."""
    strays = [instrument for instrument in week.instruments if instrument.stray]
    by_state = [
        (state, words, [_row(i, places) for i in week.in_state(state) if not i.stray]) for state, words in _STATES
    ]
    asked = asked_by_technician(week)
    return {
        "book": week.book,
        "groups": by_state,
        "strays": [(instrument.file, instrument.findings[0].message) for instrument in strays],
        "count": len(week.instruments) - len(strays),
        "made": sum(i.made for i in week.instruments),
        "total": money(order_total(week.order), week.book.text("currency")),
        "lines_to_buy": sum(1 for line in week.order if line.packs),
        "questions": [
            (name, sum(len(one.questions) for one in some), link(places.questions(name)))
            for name, some in asked.items()
        ],
        "notes": week.notes,
        "since": since_last_time(week) if week.ledger else None,
        "order_book": link(ORDER_BOOK),
        "stock_book": link(STOCK_BOOK),
        "cutting_book": link(CUTTING_BOOK),
        "cutting_page": link(CUTTING_PAGE),
        "labels_page": link(LABELS_PAGE),
    }


_STATES: tuple[tuple[State, str], ...] = (
    ("hold", "On hold: something must be put right first"),
    ("confirm", "To confirm: fits, but a reading is in doubt"),
    ("release", "Released: may be cut and ordered"),
)


def _row(instrument: Instrument, places: Places) -> dict[str, Any]:
    """Gather one instrument's line on the week page."""
    survey = instrument.survey
    fit_card = has_fit_card(instrument)
    return {
        "order": instrument.order_no,
        "site": (survey.site if survey else None) or "",
        "technician": technician_of(instrument) if survey else "",
        "needed_by": survey.needed_by if survey else None,
        "next": next_step(instrument),
        "remarks": (survey.remarks if survey else None) or "",
        "sheet": link(places.sheet(instrument)) if survey and instrument.result else "",
        "fit_card": link(places.fit_card(instrument)) if fit_card else "",
        "patterns": link(places.patterns(instrument)) if fit_card else "",
        "returned": link(places.returned(instrument)) if survey else "",
        "drawings": list(_drawing_links(instrument, places)) if fit_card else [],
    }


def _drawing_links(instrument: Instrument, places: Places) -> Iterator[tuple[int, str, str]]:
    """Give each segment's number with the links to its drawing and, where it is made, its DXF."""
    for section in instrument.result.sections if instrument.result else ():
        if section.carrier and section.felt:
            number = section.section
            drawing = places.drawing(instrument, number)
            machine = link(str(PurePosixPath(drawing).with_suffix(".dxf"))) if instrument.for_shop else ""
            yield number, link(drawing), machine


def question_values(technician: str, asked: tuple[Asked, ...], places: Places) -> dict[str, Any]:
    """Gather what a question sheet shows."""
    return {
        "technician": technician,
        "asked": [(one, _workbook(one.instrument, places), measure_next_words(one.instrument)) for one in asked],
        "folder": places.asked_folder(technician) if any(one.instrument.survey for one in asked) else "",
        "mail": mail_text(technician, asked),
        "count": sum(len(questions_of(one.instrument)) for one in asked),
    }


def _workbook(instrument: Instrument, places: Places) -> str:
    return link(places.asked(instrument), True) if instrument.survey else ""


def cutting_values(week: Week) -> dict[str, Any]:
    """Gather what the cutting page shows."""
    racks, unconfirmed = rack_labels(week.cutting, week.book), unconfirmed_orders(week)
    return {
        "book": week.book,
        "unconfirmed": unconfirmed_words(week),
        "materials": [_material(sheet, week.book, racks, unconfirmed) for sheet in week.cutting],
    }


def _material(sheet: CuttingSheet, book: ShopBook, racks: Racks, unconfirmed: frozenset[str]) -> dict[str, Any]:
    """Gather what is shown of one material; its groups, each with a picture, are made as they are shown."""
    plan = sheet.plan

    def rest(length_mm: float, width_mm: float = 0.0) -> str:
        return rest_words(Rest(sheet.item, tenths(length_mm), tenths(width_mm)), racks)

    shared = {
        "sheet": sheet,
        "rest": rest,
        "proof": known_words(sheet, book),
        "unplaced": [unplaced_words(piece) for piece in plan.unplaced],
    }
    if isinstance(plan, Plan):
        bars = ((group, bar_words(group.stock), bar_strip(group)) for group in bar_groups(plan, unconfirmed))
        return {**shared, "totals": totals_words(plan), "marks": marks_words(plan), "groups": bars}
    groups = ((group, sheet_words(group.sheet), felt_sheet(group)) for group in felt_groups(plan, unconfirmed))
    return {**shared, "totals": felt_totals_words(plan), "marks": FELT_MARKS, "groups": groups}
