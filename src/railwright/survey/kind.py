"""What is kept of a survey so that later pianos of its maker and model can be held against it, and what that tells.

Two surveys are of one kind where maker and model are the same but for capitals and blanks. How a section of a kind is
built is a *design*; a kind may have several, as makers change a model from some serial number on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from railwright.survey.records import Register, Survey


@dataclass(frozen=True, slots=True)
class EarlierSection:
    """One section's readings of an earlier survey, mm, with the steps that they were read to; 0 where not known."""

    register: Register | None
    dampers: int | None
    span_mm: float | None = None
    run_mm: float | None = None
    run_end_mm: float | None = None
    span_step_mm: float = 0.0
    run_step_mm: float = 0.0
    run_end_step_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class EarlierSurvey:
    """What is kept of one instrument: who it is, its head width (mm), its sections from the bass."""

    order_no: str | None
    serial: str | None
    head_width_mm: float | None
    head_width_step_mm: float
    sections: tuple[EarlierSection, ...]


#: Gives the earlier surveys of a survey's kind, the newest first: current ones only, and none of its own order.
Earlier = Callable[[Survey], Sequence[EarlierSurvey]]


def plain(text: str | None) -> str:
    """Reduce an answer to what makes it the same answer: capitals and blanks do not count."""
    return "".join((text or "").casefold().split())


def kind_of(maker: str | None, model: str | None) -> str | None:
    """Name the kind of a piano by maker and model; ``None`` where no model is given."""
    return f"{plain(maker)}|{plain(model)}" if plain(model) else None
