"""Labels for the pieces of a run: what to stick on each carrier and felt strip."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from railwright.shop.cut_lines import piece_label
from railwright.writing.drawings.segment_case import SegmentCase, saw_words, segment_cases
from railwright.writing.numbers import fixed, plain
from railwright.writing.week import Week


@dataclass(frozen=True, slots=True)
class PieceLabel:
    """One label; ``name`` is what the cutting list calls the piece."""

    name: str
    item: str
    size: str
    words: str
    site: str


def labels_of(week: Week) -> tuple[PieceLabel, ...]:
    """Give the labels of every piece that is cut, instrument by instrument, bass first.

    Args:
        week: the run.

    Returns:
        A carrier's label, then its felt's, for each segment.
    """
    made = [instrument for instrument in week.instruments if instrument.made]
    return tuple(
        label
        for instrument in made
        if instrument.survey and instrument.result
        for case in segment_cases(instrument.survey, instrument.result.sections, week.book)
        for label in _labels(case)
    )


def _labels(case: SegmentCase) -> Iterator[PieceLabel]:
    name = piece_label(case.order_no, case.section.section)
    site = case.survey.site or ""
    saw = "square ends" if case.carrier.saw_hand == "square" else f"both ends {saw_words(case)}"
    yield PieceLabel(name, case.carrier.item, f"{fixed(case.carrier.length_mm)} mm", saw, site)
    felt = f"{fixed(case.felt.length_mm)} x {plain(case.felt.width_mm)} mm"
    yield PieceLabel(name, case.felt.item, felt, "felt, on top", site)
