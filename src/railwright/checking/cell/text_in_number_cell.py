"""Words stand where a number belongs."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import numbers_like, on_problem
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="fix",
    catches="A reading that is not a number in any usual spelling.",
    why="The shop cannot size a part from words, and a guess would be cut.",
    do="Write the number alone, with its unit if that differs from the sheet's.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader met this problem."""
    yield from on_problem(answer, "text_in_number_cell", numbers_like(answer.field), _do(answer.text))


def _do(written: str) -> str:
    """Say what to write instead, after what stands beside the number: words, or signs such as ``>`` and ``?``."""
    if any(sign.isalpha() for sign in written):
        return "Write the number alone; words belong in the remarks."
    return "Write the number alone, with no other sign; if it is in doubt, read it again."
