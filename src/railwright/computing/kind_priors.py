"""What a section may be before any reading, where earlier pianos of its kind are known.

It has a known design; or, if makers changed it: as many dampers at another pitch, some more or fewer at the same
pitch, or any other layout at all, of which nothing is known but what the shop knows of every piano.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from railwright.book.model import ShopBook
from railwright.computing.gap_model import GapPrior
from railwright.survey.designs import SectionDesign


@dataclass(frozen=True, slots=True)
class Changes:
    """How likely a section is to be built unlike all earlier ones, by what is changed; and how far a pitch changes."""

    pitch: float
    count: float
    layout: float
    pitch_sd_mm: float


NO_CHANGES = Changes(0.0, 0.0, 0.0, 0.0)


def changes_of(book: ShopBook) -> Changes:
    """Read the probabilities from the shop book."""
    return Changes(*(book.value(f"kind_{name}") for name in ("new_pitch", "new_count", "new_layout", "change_sd")))


def priors_of(
    prior: GapPrior, designs: Sequence[SectionDesign], changes: Changes, heads: int
) -> list[tuple[GapPrior, float]]:
    """List what the gaps of a section of so many heads may be, with the probability of each before any reading.

    A known design is as likely as its share of the earlier surveys, and so is a change that starts from it.

    Args:
        prior: what the shop knows of every piano.
        designs: the known ones, of any count.
        changes: how likely a change is.
        heads: number of heads.

    Returns:
        Priors and probabilities, known designs first; those without any known design last.
    """
    surveys = sum(design.surveys for design in designs)
    if not surveys:
        return [(prior, 1.0)]
    shares = [(design, design.surveys / surveys) for design in designs]
    same = [(design, share) for design, share in shares if design.dampers == heads]
    unchanged = 1.0 - changes.pitch - changes.count - changes.layout
    known = [(replace(prior, design=design), unchanged * share) for design, share in same]
    if same:
        changed = [(_near(prior, each, changes.pitch_sd_mm), changes.pitch * share) for each, share in same]
    else:
        changed = [(_near(prior, each, 0.0), changes.count * share) for each, share in shares]
    return [*known, *changed, (prior, changes.layout)]


def _near(prior: GapPrior, design: SectionDesign, change_sd_mm: float) -> GapPrior:
    """Expect the pitch of a known design, less surely by so much (mm), and a drift of its own."""
    gaps, place = design.dampers - 1, design.fields.index("span")
    known = math.sqrt(design.cov_mm2[place][place]) / gaps
    sd = min(math.hypot(known, design.pitch_sd_mm, change_sd_mm), prior.pitch_sd_mm)
    return replace(prior, pitch_mm=design.sums_mm[place] / gaps, pitch_sd_mm=sd)
