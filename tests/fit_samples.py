"""Invented instruments for the fit tests: a section in one line, read as a careful technician reads it."""

from __future__ import annotations

from collections.abc import Sequence

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook
from railwright.computing.fit import fit_instrument
from railwright.computing.notes_of_sections import notes_of, top_damped
from railwright.computing.results import InstrumentResult
from railwright.computing.segment import Segment, segment_of
from railwright.computing.spacing import posterior
from railwright.survey.records import SectionSurvey, Survey

INCH = 25.4
EIGHTH = INCH / 8
NOTES = {"reach_reckoned", "choice_not_proven"}


def rounded(value_mm: float, step_mm: float) -> float:
    """As read to the nearest step."""
    return round(value_mm / step_mm) * step_mm


def section(
    number: int,
    register: str,
    dampers: int,
    *,
    angle: float = 80.0,
    gauge: float | tuple[float, float] | None = None,
    rest: float | tuple[float, float] | None = None,
    pitch: float = 13.9,
    step: float = EIGHTH,
    **more: object,
) -> SectionSurvey:
    """One section; gauge and rest gap in inches, one value or low and high."""
    low_high = {}
    for name, value in (("gauge", gauge), ("rest", rest)):
        low, high = value if isinstance(value, tuple) else (value, value)
        low_high[f"{name}_low_mm"] = None if low is None else low * INCH
        low_high[f"{name}_high_mm"] = None if high is None else high * INCH
    given: dict[str, object] = {
        "span_mm": rounded(pitch * (dampers - 1) + 9.5, step),
        "run_mm": rounded(7 * pitch, step) if dampers >= 8 else None,
        "angle_1_deg": angle,
        "angle_2_deg": angle,
        "strut": False,
        "screws": (),
    }
    return SectionSurvey(number=number, register=register, dampers=dampers, **{**given, **low_high, **more})  # type: ignore[arg-type]


def survey(*sections: SectionSurvey, step: float = EIGHTH, **more: object) -> Survey:
    return Survey(file="week/a.xlsx", order_no="R-1001", unit="in", step_mm=step, sections=sections, **more)  # type: ignore[arg-type]


def bass(**more: object) -> SectionSurvey:
    return section(1, "bass", 26, **{"angle": 75.0, "gauge": 5 / 8, "rest": 7 / 8, **more})  # type: ignore[arg-type]


def tenor(number: int = 2, **more: object) -> SectionSurvey:
    return section(number, "tenor", 20, **{"gauge": 5 / 8, "rest": 3 / 4, **more})  # type: ignore[arg-type]


def treble(number: int = 3, dampers: int = 20, **more: object) -> SectionSurvey:
    return section(number, "treble", dampers, **{"angle": 95.0, "gauge": 3 / 8, "rest": 1 / 2, **more})  # type: ignore[arg-type]


def fitted(of: Survey, book: ShopBook | None = None) -> InstrumentResult:
    book = book or default_shop_book()
    spacings = {part.number: posterior(part, of, book) for part in of.sections}
    return fit_instrument(of, spacings, notes_of(of), {}, book)[0]


def segments(of: Survey, book: ShopBook) -> list[Segment | None]:
    top = top_damped(of.sections)
    return [
        segment_of(part, note, posterior(part, of, book), place == top, of, book)
        for place, (part, note) in enumerate(zip(of.sections, notes_of(of), strict=True))
    ]


def in_the_way(result: InstrumentResult) -> list[str]:
    """Rules of all conflicts that are more than a note."""
    return [conflict.rule for conflict in result.all_conflicts() if conflict.rule not in NOTES]


def with_rules(book: ShopBook, **values: float | str) -> ShopBook:
    return ShopBook(book.name, {**book.rules, **values}, book.carriers, book.felts, book.hardware, book.stock)


def numbers(values: Sequence[float], digits: int = 6) -> list[float]:
    return [round(value, digits) for value in values]
