"""Two surveys carry the same maker and serial number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from railwright.checking.base import Hit, Rule
from railwright.checking.groups import files_of, plain, same
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A serial number of one maker that stands on more than one workbook of the folder.",
    why="One of them was copied from the other, or a piano was surveyed twice.",
    do="Compare the serial number with the piano or its photo.",
)


def check(surveys: Sequence[Survey]) -> Iterator[Hit]:
    """Yield a hit for every survey whose maker and serial number another one has."""
    for survey, others in same(surveys, _instrument):
        yield Hit(
            "serial",
            f"expected a number of its own, found {survey.serial} also in {files_of(others)}. "
            "Compare both with the pianos or their photos.",
            survey.file,
        )


def _instrument(survey: Survey) -> tuple[str, str] | None:
    return (plain(survey.maker), plain(survey.serial)) if survey.serial else None
