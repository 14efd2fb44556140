"""One sentence an instrument: what to do next, and who does it."""

from __future__ import annotations

from railwright.survey.findings import Finding
from railwright.writing.week import Instrument


def next_step(instrument: Instrument) -> str:
    """Say what happens next with an instrument, in words for the office.

    Args:
        instrument: one file of the run.

    Returns:
        One sentence, without the technician's name.
    """
    if instrument.survey is None:
        return f"{instrument.file}: {instrument.findings[0].message}"
    if words := _in_ledger(instrument):
        return words
    if instrument.state == "release":
        return _cut_and_order(instrument)
    asked = [finding for finding in instrument.findings if finding.severity != "note"]
    first = asked[0]
    more = f" (and {len(asked) - 1} more)" if len(asked) > 1 else ""
    verb = "Put right" if instrument.state == "hold" else "Ask to confirm"
    made = f" {_ordered_words(instrument)}" if instrument.for_shop else ""
    return f"{verb}: {place(first)}{first.message}{more}{_then(instrument)}{made}"


def _in_ledger(instrument: Instrument) -> str:
    """Say why an instrument is not made that the ledger knows better; empty where it does not."""
    standing = instrument.standing
    if standing is None:
        return ""
    if standing.cancelled:
        return "The order is cancelled: nothing to make."
    if standing.news == "outdated":
        return (
            f"Outdated: {standing.earlier_file}, entered on {standing.recorded}, has later readings of it, and counts. "
            "Take this file out of the folder."
        )
    if standing.news == "twin" and instrument.state != "hold":
        return f"Not entered: {standing.earlier_file} is of the same instrument. Take one of them out of the folder."
    return ""


def _cut_and_order(instrument: Instrument) -> str:
    """Say what is to be made of a released instrument."""
    if instrument.made:
        return "Cut and order." if instrument.added is None else "Cut and order what its new readings need beside."
    standing = instrument.standing
    if standing is not None and standing.ordered:
        return f"{_ordered_words(instrument)} Nothing more to do."
    if standing is not None and standing.changed_kit:
        return "Ordered before; its new readings need no other parts."
    return "Nothing to make."


def _ordered_words(instrument: Instrument) -> str:
    standing = instrument.standing
    if instrument.made or standing is None:
        return "Cut and ordered as it stands."
    return f"Ordered on {standing.ordered} (run {standing.ordered_run})."


def _then(instrument: Instrument) -> str:
    """Say what to measure next, where a reading is known to settle something; begins with a space."""
    words = measure_next_words(instrument)
    return f" Measure next: {words}" if words else ""


def measure_next_words(instrument: Instrument) -> str:
    """Say which reading settles most, where it is written, and how much it settles.

    Args:
        instrument: one file of the run.

    Returns:
        For example ``Clear gauge, low end, section 3: try. Cell Survey!D31; it settles the doubt.``; empty
        where nothing is to confirm or no reading would settle it.
    """
    if not instrument.measure_next:
        return ""
    first = instrument.measure_next[0]
    cell = f"Cell {first.sheet}!{first.cell}; it" if first.cell else "It"
    doubts = sum(finding.severity == "confirm" for finding in instrument.findings)
    return f"{first.words} {cell} {_share_words(first.settles, doubts)}."


def _share_words(settles: float, doubts: int) -> str:
    """Put an expected number of settled doubts into words."""
    if doubts == 1:
        return "settles the doubt" if settles > 0.95 else f"settles the doubt about {settles * 100:.0f} times in 100"
    number = f"{settles:.1f}".removesuffix(".0")
    return f"settles about {number} of {doubts} doubts, and no other reading more"


def place(finding: Finding) -> str:
    """Name a finding's cell, such as ``Survey!D14: ``; empty where it has none."""
    return f"{finding.sheet}!{finding.cell}: " if finding.cell else ""
