"""The readings look as if they were in the other unit."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.lengths import MM_PER_INCH
from railwright.survey.records import Survey

RULE = Rule(
    severity="fix",
    catches="Spans that make sense only if every reading is in the unit that the sheet does not state.",
    why="Every part would come out some twenty-five times too large or too small.",
    do="Look at the unit of the readings; if it is right, read the spans again.",
    explains=(
        *("implausible_*", "readings_disagree", "section_test_weak", "gauge_*", "reach_*", "rest_gaps_*", "misfit_*"),
        *("no_side_free", "no_station_gap", "end_without_room", "end_room_unread", "piece_longer_than_stock"),
        *("stack_*", "lift_*", "felt_out_of_range", "shims_too_high", "notch_*", "side_rests_on_default"),
    ),
)

_WORDS = {"in": "inches", "mm": "millimetres"}


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when the mean spacing is plausible in the other unit and far from plausible in the stated one."""
    spans = [(s.span_mm, s.dampers) for s in survey.sections if s.span_mm is not None and s.dampers]
    if survey.unit is None or not spans:
        return
    spacing = sum(span for span, _ in spans) / sum(dampers for _, dampers in spans)
    other = "mm" if survey.unit == "in" else "in"
    in_other = spacing / MM_PER_INCH if other == "mm" else spacing * MM_PER_INCH
    if book.value("pitch_low") <= in_other <= book.value("pitch_high"):
        yield Hit(
            "unit",
            f"found {survey.unit}, which would put the damper wires about {spacing:.3g} mm apart; "
            f"read in {_WORDS[other]} they would be {in_other:.1f} mm apart. Choose {other}, or read the spans again.",
        )
