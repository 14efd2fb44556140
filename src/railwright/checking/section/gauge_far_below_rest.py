"""A clear gauge is far thinner than the gap at rest."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.checking.base import Hit, Rule
from railwright.checking.words import length
from railwright.survey.records import SectionSurvey, Survey

RULE = Rule(
    severity="confirm",
    catches="A clear gauge and a gap at rest further apart than a string swings.",
    why="One of the two is misread, or a thicker block would have passed: a rail is then held back that would fit.",
    do="Try the next thicker blocks, then read the gap at rest again.",
)


def check(section: SectionSurvey, survey: Survey, book: ShopBook) -> Iterator[Hit]:
    """Yield a hit for each end where the swing that the two readings leave is beyond the plausible one."""
    ends = (("low", section.gauge_low_mm, section.rest_low_mm), ("high", section.gauge_high_mm, section.rest_high_mm))
    for end, gauge, rest in ends:
        if gauge is None or rest is None:
            continue
        key, rest_key = section.key(f"gauge_{end}"), section.key(f"rest_{end}")
        most = book.value("swing_high") + book.value("gauge_step") + survey.step_of(rest_key) / 2
        if rest - gauge > most:
            yield Hit(
                key,
                f"expected within {most:.1f} mm of the gap at rest, {length(survey, rest_key, rest)}, "
                f"found {length(survey, key, gauge)}. Try the next thicker blocks, then read the gap at rest again.",
            )
