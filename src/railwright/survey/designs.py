"""How a kind of piano is built, as far as earlier surveys tell: for each section one design or several."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SectionDesign:
    """One design of one section: what its wires have in common on every piano that is built so.

    ``fields`` are the readings that earlier surveys took, some of ``span``, ``run`` and ``run_end``; ``sums_mm`` the
    design's own lengths under them, a span less its head width, with covariance ``cov_mm2`` in the same order. The
    mean pitch of a piano's section differs from the design's by ``pitch_sd_mm`` (standard deviation). ``surveys``
    counts the earlier surveys that it is drawn from. Runs lie at the treble end where ``treble`` says so.
    """

    dampers: int
    treble: bool
    surveys: int
    fields: tuple[str, ...]
    sums_mm: tuple[float, ...]
    cov_mm2: tuple[tuple[float, ...], ...]
    pitch_sd_mm: float


@dataclass(frozen=True, slots=True)
class SectionMemory:
    """The designs of one section, the commonest first, and how many earlier surveys were left out as slips."""

    designs: tuple[SectionDesign, ...]
    left_out: int = 0


@dataclass(frozen=True, slots=True)
class KindMemory:
    """What earlier surveys of a kind tell of its sections, by section number; ``surveys`` is how many there are."""

    surveys: int
    sections: Mapping[int, SectionMemory]

    def designs_of(self, number: int, treble: bool) -> tuple[SectionDesign, ...]:
        """List the known designs of a section, the commonest first; none where nothing is known of it."""
        memory = self.sections.get(number)
        return tuple(each for each in memory.designs if each.treble == treble) if memory else ()
