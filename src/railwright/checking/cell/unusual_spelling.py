"""An answer was read, but it was not written as asked for."""

from __future__ import annotations

from collections.abc import Iterator

from railwright.checking.base import Hit, Rule
from railwright.checking.words import quoted
from railwright.survey.records import Answer, Survey

RULE = Rule(
    severity="note",
    catches="An answer in another order or form than asked for, of which only one meaning is possible.",
    why="It was used as it was understood; whoever wrote it can say whether that is right.",
    do="Look whether it was understood rightly.",
)


def check(answer: Answer, survey: Survey) -> Iterator[Hit]:
    """Yield a hit where the reader accepted an answer but has something to say of how it took it."""
    if answer.value is not None and answer.problem is None and answer.hint:
        yield Hit(answer.field.key, f"found “{quoted(answer.text)}”. {answer.hint}")
