"""A miscount in a section might pass unseen."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="note",
    catches="A section where a count one too high or too low might not show in the readings.",
    why="In a long section read to a coarse step, one head more or less hides among the roundings; in one too short "
    "for a run, only the usual pitch speaks against it.",
    do="Count the heads once more if you are at the piano again; take the reading named, if any.",
)

MESSAGE = (
    "with these readings a count one off in {dampers} heads would be noticed only about "
    "{power_percent} % of the time. {advice}"
)
