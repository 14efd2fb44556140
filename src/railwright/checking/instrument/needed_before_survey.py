"""The kit is needed before the piano was surveyed."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A needed-by day earlier than the survey day.",
    why="Purchasing and the saw work by that day.",
    do="Correct the day that is wrong.",
)


def check(survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield one hit when the needed-by day lies before the survey day."""
    if survey.needed_by and survey.survey_date and survey.needed_by < survey.survey_date:
        yield Hit(
            "needed_by",
            f"expected the day of the survey ({survey.survey_date.isoformat()}) or later, "
            f"found {survey.needed_by.isoformat()}. Correct the one that is wrong.",
        )
