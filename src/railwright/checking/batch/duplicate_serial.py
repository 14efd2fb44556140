"""Two surveys carry the same maker and serial number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from railwright.checking.base import Hit, Rule
from railwright.checking.groups import same
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A serial number of one maker that stands on more than one workbook of the folder.",
    why="One of them was copied from the other, or a piano was surveyed twice.",
    do="Compare the serial numbers with the pianos or their photos.",
)


def check(surveys: Sequence[Survey]) -> Iterator[Hit]:
    """Yield a hit for every survey whose maker and serial number another one has."""
    for survey, others in same(surveys, _instrument):
        files = ", ".join(other.file for other in others)
        yield Hit(
            "serial",
            f"Expected a serial number of its own, found {survey.serial} also in {files}. "
            "Compare both with the pianos or their photos.",
            survey.file,
        )


def _instrument(survey: Survey) -> tuple[str, str] | None:
    if not survey.serial:
        return None
    return (survey.maker or "").casefold().strip(), "".join(survey.serial.casefold().split())
