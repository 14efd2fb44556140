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
    if instrument.state == "release":
        return "Cut and order." if instrument.made else "Nothing to make."
    asked = [finding for finding in instrument.findings if finding.severity != "note"]
    first = asked[0]
    more = f" (and {len(asked) - 1} more)" if len(asked) > 1 else ""
    verb = "Put right" if instrument.state == "hold" else "Ask to confirm"
    made = "" if not instrument.made else " Cut and ordered as it stands."
    return f"{verb}: {place(first)}{first.message}{more}{made}"


def place(finding: Finding) -> str:
    """Name a finding's cell, such as ``Survey!D14: ``; empty where it has none."""
    return f"{finding.sheet}!{finding.cell}: " if finding.cell else ""
