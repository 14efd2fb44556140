"""What is new against the ledger, for the week page."""

from __future__ import annotations

from collections import Counter
from typing import Any

from railwright.checking.words import called
from railwright.writing.week import Instrument, Week

#: A survey that was measured anew differs everywhere; so many cells show that.
_MOST_CHANGES = 12


def since_last_time(week: Week) -> dict[str, Any]:
    """Gather what the week page says of the surveys and the shelf since last time.

    Args:
        week: a run with a ledger.

    Returns:
        How many surveys are new, unchanged and so on; those that supersede an earlier one, cell by cell; files that do
        not count; and the notes of the ledger.
    """
    assert week.ledger is not None
    known = [one for one in week.instruments if one.standing]
    news = Counter(one.standing.news for one in known if one.standing)
    return {
        "run": week.ledger.run,
        "new": news["new"],
        "unchanged": news["unchanged"],
        "superseding": [_superseding(one) for one in known if one.standing and one.standing.news == "superseding"],
        "outdated": [(one.file, one.standing) for one in known if one.standing and one.standing.news == "outdated"],
        "twins": [(one.file, one.standing) for one in known if one.standing and one.standing.news == "twin"],
        "notes": week.ledger.notes,
    }


def _superseding(instrument: Instrument) -> dict[str, Any]:
    standing = instrument.standing
    assert standing is not None
    return {
        "order": instrument.order_no,
        "earlier": standing.earlier_file,
        "recorded": standing.recorded,
        "changes": [
            (called(change.field), f"{change.sheet}!{change.cell}", change.old or "blank", change.new or "blank")
            for change in standing.changes[:_MOST_CHANGES]
        ],
        "more": max(len(standing.changes) - _MOST_CHANGES, 0),
    }
