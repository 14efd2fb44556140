"""The pages and drawings of one instrument: shop sheet, fit card, segment drawings, patterns."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from markupsafe import Markup

from railwright.book.model import ShopBook
from railwright.writing.asking import field_words
from railwright.writing.confirming import is_unconfirmed
from railwright.writing.drawings.dxf import render_dxf
from railwright.writing.drawings.machine_drawing import machine_drawing
from railwright.writing.drawings.segment_case import (
    SegmentCase,
    between_words,
    datum_mm,
    datum_words,
    relief_words,
    saw_words,
    segment_cases,
)
from railwright.writing.drawings.segment_sheet import segment_sheet
from railwright.writing.drawings.svg import render
from railwright.writing.felt_ends import FELT_ENDS
from railwright.writing.fit_card import fit_card_of
from railwright.writing.fitting_words import CHOSEN_AT_FITTING, gap_words
from railwright.writing.item_names import item_names
from railwright.writing.pattern_pages import pattern_values, segment_patterns
from railwright.writing.places import Places
from railwright.writing.saw_hand import HAND_WORDS, strokes
from railwright.writing.templates import render_page, write_text
from railwright.writing.turning_words import turning_words
from railwright.writing.week import Instrument


def write_instrument_pages(instrument: Instrument, book: ShopBook, places: Places, target: Path) -> tuple[str, ...]:
    """Write every page and drawing of one instrument; one that cannot be drawn costs itself only.

    Args:
        instrument: the instrument, with all its findings.
        book: the shop book.
        places: where its files lie.
        target: the output folder; folders in it are made as needed.

    Returns:
        A sentence if the pages could not be made.

    Raises:
        OSError: something could not be written.
    """
    if instrument.survey is None or instrument.result is None:
        return ()
    try:
        _write_instrument(instrument, book, places, target)
    except OSError:
        raise
    except Exception as fault:  # told, with its kind, for whoever mends it; the rest of the week is still written
        return (f"{instrument.file}: its pages could not be made ({type(fault).__name__}: {fault}).",)
    return ()


def _write_instrument(instrument: Instrument, book: ShopBook, places: Places, target: Path) -> None:
    """Write the drawings and the shop sheet of one instrument; unless it is held, patterns and fit card too."""
    assert instrument.survey is not None and instrument.result is not None
    in_doubt = instrument.state == "confirm"
    cases = segment_cases(instrument.survey, instrument.result.sections, book, instrument.for_shop, in_doubt)
    drawings = []
    for case in cases:
        path = Path(places.drawing(instrument, case.section.section))
        drawings.append(render(segment_sheet(case, to_scale=False), path.stem))
        write_text(target / path, render(segment_sheet(case), path.stem))
        if instrument.for_shop:  # a machine does not read the warning that other drawings carry
            (target / path).with_suffix(".dxf").write_bytes(render_dxf(machine_drawing(case)))
    sheet = render_page("sheet.html", sheet_values(instrument, book, cases, drawings))
    write_text(target / places.sheet(instrument), sheet)
    if has_fit_card(instrument):
        _write_patterns(instrument, cases, places, target)
        values = fit_card_values(instrument, book, cases)
        write_text(target / places.fit_card(instrument), render_page("fit-card.html", values))


def fit_card_values(instrument: Instrument, book: ShopBook, cases: tuple[SegmentCase, ...]) -> dict[str, Any]:
    """Gather what the fit card of one instrument shows."""
    assert instrument.survey is not None
    return {
        "instrument": instrument,
        "book": book,
        "card": fit_card_of(instrument, cases, book),
        "unconfirmed": is_unconfirmed(instrument),
        "at_fitting": CHOSEN_AT_FITTING,
        "gaps": gap_words(instrument.survey),
    }


def has_fit_card(instrument: Instrument) -> bool:
    """Tell whether an instrument gets patterns and a fit card: it is not held, and has a segment."""
    sections = instrument.result.sections if instrument.result else ()
    return instrument.state != "hold" and any(section.carrier and section.felt for section in sections)


def _write_patterns(instrument: Instrument, cases: tuple[SegmentCase, ...], places: Places, target: Path) -> None:
    """Write full-scale patterns: one long drawing a segment, and one page with the tiles of all."""
    patterns = segment_patterns(cases)
    for pattern in patterns:
        write_text(target / places.pattern(instrument, pattern.number), pattern.whole)
    page = render_page("pattern.html", pattern_values(instrument, patterns))
    write_text(target / places.patterns(instrument), page)


def sheet_values(
    instrument: Instrument, book: ShopBook, cases: tuple[SegmentCase, ...], drawings: list[str]
) -> dict[str, Any]:
    """Gather what the shop sheet of one instrument shows; the drawings are our own, already escaped SVG."""
    names = item_names(book)
    return {
        "instrument": instrument,
        "survey": instrument.survey,
        "result": instrument.result,
        "book": book,
        "unconfirmed": is_unconfirmed(instrument),
        "hand": HAND_WORDS,
        "felt_ends": FELT_ENDS,
        "at_fitting": CHOSEN_AT_FITTING,
        "gaps": gap_words(instrument.survey) if instrument.survey else "",
        "segments": [_segment(case) for case in cases],
        "unsized": [s for s in instrument.result.sections if s.carrier is None] if instrument.result else [],
        "drawings": [Markup(drawing) for drawing in drawings],
        "parts": [(part, names.get(part.item, "")) for part in instrument.parts],
        "defaults": [(field_words(default.field), default) for default in instrument.defaults],
        "turns": turning_words(instrument.result.sections) if instrument.result else (),
        "findings": instrument.findings,
        "field_words": field_words,
    }


def _segment(case: SegmentCase) -> dict[str, Any]:
    """Gather one segment's lines of the shop sheet."""
    datum = datum_mm(case)
    return {
        "section": case.section,
        "carrier": case.carrier,
        "felt": case.felt,
        "saw": saw_words(case),
        "strokes": strokes(case.carrier.saw_hand),
        "from": datum_words(case),
        "stations": [(s, s.x_mm - datum, between_words(case.section, s)) for s in case.section.stations],
        "reliefs": [(relief, relief.x_mm - datum, relief_words(relief)) for relief in case.section.reliefs],
    }
