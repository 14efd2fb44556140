"""What the ledger says of one survey of a run, and of the run as a whole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

#: ``twin``: a second file of one instrument in the same run; ``outdated``: superseded by readings that came earlier.
News = Literal["new", "unchanged", "superseding", "outdated", "twin"]


@dataclass(frozen=True, slots=True)
class Change:
    """One cell that differs from the survey before: the texts as a person sees them, empty where nothing stood."""

    field: str
    sheet: str
    cell: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Standing:
    """One survey against the ledger.

    ``changes`` and ``earlier_file`` are those of a superseding survey; of an outdated one ``earlier_file`` is the file
    that counts instead. ``recorded`` is the day on which the other survey, or this one, was first recorded.
    ``ordered`` is the day on which the parts of these very readings were ordered, in the run of number
    ``ordered_run``; ``changed_kit`` says that parts were ordered for earlier readings, or not all of them could be
    had. ``cancelled`` says that the order is cancelled.
    """

    news: News
    instrument_id: int | None = None
    survey_id: int | None = None
    changes: tuple[Change, ...] = ()
    earlier_file: str = ""
    recorded: str = ""
    ordered: str = ""
    ordered_run: int = 0
    changed_kit: bool = False
    cancelled: bool = False

    @property
    def may_be_made(self) -> bool:
        """Whether its parts may go into the plans of this run."""
        return self.news not in ("outdated", "twin") and not self.cancelled and not self.ordered


@dataclass(frozen=True, slots=True)
class WeekNews:
    """The run against the ledger: its number there, and sentences about the shelf and what is on the way.

    The number is 0 for a run that brought nothing new.
    """

    run: int
    notes: tuple[str, ...] = ()
