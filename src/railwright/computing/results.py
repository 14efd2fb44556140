"""What computing hands on. Lengths mm, forces N, angles degrees; x runs along the damper line of one section.

x = 0 is the outer, bass-side edge of the section's first damper head (the first string where a section has no
dampers). A value that cannot be had is ``None``, and a conflict says why.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from dataclasses import field as _field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from railwright.survey.findings import State
from railwright.survey.pickling import quickly_pickled
from railwright.survey.records import Register

Side = Literal["rear", "front"]
SawHand = Literal["left", "right", "square"]
Array = NDArray[np.float64]


def spelled(value_mm: float) -> str:
    """Write a length as the sentences do, in mm to a tenth."""
    return f"{value_mm:.1f} mm"


@dataclass(frozen=True, slots=True)
class Conflict:
    """Something that computing came upon and that a result rule puts into words.

    ``rule`` is the name of the rule in the catalogue, ``field`` the full key of the reading that it hangs on, and
    ``facts`` the numbers and words that the rule's sentence needs.
    """

    rule: str
    section: int | None = None
    field: str | None = None
    facts: Mapping[str, float | int | str] = _field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class DefaultUsed:
    """A blank that the shop book filled: the field, the shop-book key or words, the value and its unit."""

    field: str
    source: str
    value: float | int | str
    unit: str


@dataclass(frozen=True, slots=True)
class Spacing:
    """Posterior positions of the wires of one section of n dampers.

    ``x_mm`` has shape (n,), ``cov_mm2`` shape (n, n); ``pitch_mm`` is the posterior mean pitch with standard
    uncertainty ``u_pitch_mm``; ``head_width_mm`` the head width used, with ``u_head_width_mm``.
    """

    x_mm: Array
    cov_mm2: Array
    pitch_mm: float
    u_pitch_mm: float
    head_width_mm: float
    u_head_width_mm: float

    @property
    def u_mm(self) -> Array:
        """Standard uncertainty of every wire's position, shape (n,)."""
        return np.sqrt(np.maximum(np.diag(self.cov_mm2), 0.0))

    @property
    def u95_mm(self) -> Array:
        """Half-width of the 95 % band of every wire's position, 1.96 u, shape (n,)."""
        return 1.959963984540054 * self.u_mm


@dataclass(frozen=True, slots=True)
class Slip:
    """What best explains readings that disagree. ``name`` is ``unclear`` where nothing explains them well enough."""

    name: str
    odds: float


@dataclass(frozen=True, slots=True)
class KindVerdict:
    """How a section compares with earlier pianos of its maker and model.

    ``probability`` is that of the verdict; ``surveys`` counts the earlier pianos whose designs are known, ``dampers``
    lists how many dampers those have in this section, the commonest first.
    """

    verdict: Literal["as its kind", "new design", "slip"]
    probability: float
    surveys: int
    dampers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Station:
    """One lifting foot. ``gap`` counts from 1 at the bass; 0 where it stands beyond the last wire."""

    gap: int
    x_mm: float
    shim_mm: float
    reaction_n: float | None = None


@dataclass(frozen=True, slots=True)
class Relief:
    """A hollow over a screw head or a notch for a wire, cut into the carrier from its edge at the wires.

    ``width_mm`` is what screw or wire need were they just where expected; ``slot_mm`` is how long along the rail to
    cut, ``reach_mm`` how far into the carrier. ``depth_mm`` is a hollow's from the underside; a notch goes right
    through, and its depth is its reach.
    """

    kind: Literal["screw", "wire"]
    x_mm: float
    width_mm: float
    depth_mm: float
    u_x_mm: float
    reach_mm: float = 0.0
    slot_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class CarrierCut:
    """The bar of one segment. ``edge_mm`` is each long edge E, ``length_mm`` the long-point length L.

    ``start_mm`` and ``end_mm`` are where the segment's centre line begins and ends on the section's x axis.
    """

    item: str
    edge_mm: float
    length_mm: float
    saw_angle_deg: float
    saw_hand: SawHand
    start_mm: float
    end_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class FeltCut:
    """The facing strip of one segment."""

    item: str
    length_mm: float
    width_mm: float
    thickness_mm: float


@quickly_pickled
@dataclass(frozen=True, slots=True)
class NoteLoad:
    """One note's strings over the segment: where they cross its centre line, how many, how hard they press.

    ``press_mm`` is how far they press the felt in, below 0 where it hangs clear of them; ``None`` where that was not
    worked out.
    """

    note: int
    x_mm: float
    strings: int
    force_n: float
    press_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Turn:
    """The least change of one reading at which a section's outcome turns.

    ``field`` is the full field key, ``change_mm`` what must be added to the reading, ``before`` and ``after`` the
    outcomes on either side.
    """

    field: str
    change_mm: float
    before: State
    after: State


@dataclass(frozen=True, slots=True)
class SectionResult:
    """Everything that is known of one section and its segment.

    ``stack_low_mm`` and ``stack_high_mm`` are the lowered stack at either end, where it is higher: at the outer string
    or at the segment's end. ``stack_mm`` is the one of them that stands where it is tightest, ``free_mm`` and
    ``guard_mm`` belong to that place. ``contact_rounds`` is how often it was looked which strings the felt reaches,
    ``contact_settled`` whether the last look changed nothing.
    """

    section: int
    register: Register | None
    first_note: int | None
    last_note: int | None
    dampers: int | None = None
    spacing: Spacing | None = None
    slip: Slip | None = None
    theta_deg: float | None = None
    u_theta_deg: float | None = None
    span_mm: float | None = None
    side: Side | None = None
    offset_mm: float | None = None
    carrier: CarrierCut | None = None
    felt: FeltCut | None = None
    foot: str | None = None
    foot_height_mm: float | None = None
    stations: tuple[Station, ...] = ()
    reliefs: tuple[Relief, ...] = ()
    loads: tuple[NoteLoad, ...] = ()
    screws_x_mm: tuple[float, ...] = ()
    stack_mm: float | None = None
    stack_low_mm: float | None = None
    stack_high_mm: float | None = None
    free_mm: float | None = None
    guard_mm: float | None = None
    crank: str | None = None
    lift_mm: float | None = None
    deflection_mm: float | None = None
    press_min_mm: float | None = None
    press_max_mm: float | None = None
    press_force_n: float | None = None
    contact_rounds: int | None = None
    contact_settled: bool | None = None
    cost: float | None = None
    conflicts: tuple[Conflict, ...] = ()
    defaults: tuple[DefaultUsed, ...] = ()
    searched_strings: int = 0
    turning: tuple[Turn, ...] = ()
    kind: KindVerdict | None = None


@quickly_pickled
@dataclass(frozen=True, slots=True)
class Part:
    """One line of an instrument's part list."""

    item: str
    quantity: float
    unit: str


@dataclass(frozen=True, slots=True)
class InstrumentResult:
    """One instrument computed: its sections, the lever that couples them, and what stands in the way."""

    sections: tuple[SectionResult, ...]
    lever_force_n: float | None = None
    conflicts: tuple[Conflict, ...] = ()
    defaults: tuple[DefaultUsed, ...] = ()

    def all_conflicts(self) -> tuple[Conflict, ...]:
        """List the conflicts of the instrument and of every section, bass first."""
        return self.conflicts + tuple(c for section in self.sections for c in section.conflicts)
