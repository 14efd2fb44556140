"""Findings: what is wrong or in doubt, where, and what to do. A finding is a value, never an exception."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["fix", "confirm", "note"]
State = Literal["hold", "confirm", "release"]

#: From the gravest to the mildest; the order in which findings are listed.
SEVERITIES: tuple[Severity, ...] = ("fix", "confirm", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to look at again.

    ``field`` is a survey field key (``s2_run``) or ``None`` for the whole workbook; ``sheet`` and ``cell`` are
    the address in the technician's workbook (empty where there is none). ``message`` says what was expected,
    what was found and what to do, in one or two plain sentences.
    """

    rule: str
    severity: Severity
    message: str
    field: str | None = None
    sheet: str | None = None
    cell: str | None = None


def state_of(findings: list[Finding]) -> State:
    """Say what may happen to an instrument next: any *fix* holds it, any *confirm* asks, a *note* never counts."""
    severities = {finding.severity for finding in findings}
    if "fix" in severities:
        return "hold"
    return "confirm" if "confirm" in severities else "release"
