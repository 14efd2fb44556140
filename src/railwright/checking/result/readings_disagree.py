"""Count, span and seven-space run of a section contradict each other."""

from __future__ import annotations

from collections.abc import Mapping

from railwright.checking.base import Facts, Rule
from railwright.survey.records import Survey

RULE = Rule(
    severity="confirm",
    catches="A count, a span and a seven-space run that cannot all be right, whatever rounding explains.",
    why="One of them is a slip: the segment would come out the wrong length or its stations would meet the wires.",
    do="Look at this reading again; the note of the cell says what it looks like.",
)

MESSAGE = "the readings do not fit together. {words} {then}"


def words(facts: Facts, survey: Survey) -> Mapping[str, str]:
    """Say what to do: look at the reading that has the slip, or at the one that settles most."""
    slip = str(facts["slip"])
    if slip == "unclear":
        return {"then": "Correct or confirm what you find."}
    if "+" in slip:
        return {"then": "Look at both again, and correct or confirm them."}
    return {"then": f"{'Count' if slip.startswith('count_') else 'Measure it'} again, and correct or confirm it."}
