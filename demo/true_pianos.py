"""An invented week of grand pianos, with the true geometry that a survey can only see through its readings.

Everything stated here is invented: makers, models, serial numbers, people, places, orders. Lengths are millimetres,
angles degrees. The pitches of a section follow a stated law: one mean pitch, a slow drift of 2 % over some eight
gaps, and a scatter of 0.25 mm a gap, drawn once from a seed that is the order number and the section. Nothing here
uses the product's own code, so that what it finds can be held against it.

A bound of 95 % holds for 95 % of wires, not for 95 % of the wires of every piano: the wires of a section stray
together, and about one piano in three has more than one wire in twenty outside. In the sample week no piano has: those
of ``DRAWN_AGAIN`` had at the first draw, and are the next one that has not. Whether the bounds hold as often as they
claim is measured on first draws alone.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate
from statistics import NormalDist
from typing import Literal

DRIFT = 0.02
DRIFT_LENGTH_GAPS = 8.0
SCATTER_MM = 0.25
_WAVES = 64
#: Whose wires and readings are not the first draw, and which they are.
DRAWN_AGAIN = {"K-4201": 2, "K-4210": 2, "K-4212": 3, "K-4216": 2, "K-4231": 6}
_NORMAL = NormalDist()


@dataclass(frozen=True, kw_only=True)
class TrueSection:
    """One section. Pairs are (low end, high end); the high end is at the section's last string."""

    register: str
    dampers: int
    pitch_mm: float
    theta_deg: float
    rest_mm: tuple[float, float]
    swing_mm: tuple[float, float]
    undamped: int = 0
    undamped_pitch_mm: float = 13.2
    strut: bool = False
    hole_mm: tuple[float, float] = (0.0, 0.0)
    screws: tuple[int, ...] = ()
    singles: int = 0
    doubles: int = 0
    room_mm: tuple[float, float] = (12.0, 12.0)
    gap_next_mm: float = 38.0
    gauged: bool = True

    @property
    def notes(self) -> int:
        return self.dampers + self.undamped


@dataclass(frozen=True, kw_only=True)
class TruePiano:
    """One instrument and the visit to it; ``step`` is the finest mark that the technician reads."""

    order_no: str
    folder: str
    site: str
    technician: str
    survey_date: str
    needed_by: str
    maker: str
    model: str
    serial: str
    unit: Literal["in", "mm"]
    step: str
    sections: tuple[TrueSection, ...]
    head_width_mm: float = 9.5
    wire_diameter_mm: float = 2.9
    ledge_front_mm: float = 30.0
    ledge_rear_mm: float = 29.0
    cable_run_mm: float = 1450.0
    remarks: str = ""
    draw: int = 1

    @property
    def luck(self) -> str:
        """What all chance of this piano hangs on: its wires, and the errors of its readings."""
        return self.order_no if self.draw == 1 else f"{self.order_no}, draw {self.draw}"

    @property
    def file(self) -> str:
        return f"{self.folder}/{self.order_no}.xlsx"

    def wires_mm(self, number: int) -> list[float]:
        """List the wires of section ``number`` from the outer edge of its first head, to 0.01 mm."""
        section = self.sections[number - 1]
        if not section.dampers:
            return []
        gaps = _gaps(f"{self.luck}/{number}", section.pitch_mm, section.dampers - 1)
        return [round(self.head_width_mm / 2 + x, 2) for x in accumulate(gaps, initial=0.0)]

    def span_mm(self, number: int) -> float:
        """Outer edge of the first head to outer edge of the last; without dampers first string to last string."""
        section = self.sections[number - 1]
        if not section.dampers:
            return (section.undamped - 1) * section.undamped_pitch_mm
        return self.wires_mm(number)[-1] + self.head_width_mm / 2

    def last_string_mm(self, number: int) -> float:
        """Outer edge of the first head to the section's last string, damped or not."""
        section = self.sections[number - 1]
        if not section.dampers:
            return self.span_mm(number)
        return self.wires_mm(number)[-1] + section.undamped * section.undamped_pitch_mm

    @property
    def top(self) -> int:
        """Number of the top damped section."""
        return max(number for number, section in enumerate(self.sections, start=1) if section.dampers)


def free_mm(section: TrueSection) -> tuple[float, float]:
    """Height above the guide rail that the hardest blow leaves free, at the low and the high end."""
    (low, high), (swing_low, swing_high) = section.rest_mm, section.swing_mm
    return low - swing_low, high - swing_high


def _gaps(seed: str, pitch_mm: float, gaps: int) -> list[float]:
    """Draw the gaps of one section: mean, slow drift, scatter."""
    draw = random.Random(seed)
    drift = _slow_drift(draw)
    return [pitch_mm * (1 + DRIFT * drift(gap)) + SCATTER_MM * normal(draw) for gap in range(gaps)]


def _slow_drift(draw: random.Random) -> Callable[[float], float]:
    """Give a smooth random curve of unit variance: many cosine waves of random length and phase.

    With normal wave numbers of standard deviation 1/length the covariance is exp(-d^2 / (2 length^2)).
    """
    waves = [(normal(draw) / DRIFT_LENGTH_GAPS, 2 * math.pi * draw.random()) for _ in range(_WAVES)]
    size = math.sqrt(2 / _WAVES)
    return lambda place: size * math.fsum(math.cos(number * place + phase) for number, phase in waves)


def normal(draw: random.Random) -> float:
    """Draw from the standard normal law."""
    return _NORMAL.inv_cdf(min(max(draw.random(), 1e-12), 1 - 1e-12))


def bass(dampers: int, pitch_mm: float, theta_deg: float = 76.0, **more: object) -> TrueSection:
    """A bass section with room enough under it: 5/8 in passes on a hard blow."""
    usual = {
        "register": "bass",
        "dampers": dampers,
        "pitch_mm": pitch_mm,
        "theta_deg": theta_deg,
        "rest_mm": (21.1, 20.7),
        "swing_mm": (4.2, 3.9),
        "singles": 8,
        "doubles": max(dampers - 8, 0),
    }
    return TrueSection(**{**usual, **more})  # type: ignore[arg-type]


def tenor(dampers: int, pitch_mm: float, theta_deg: float = 84.0, **more: object) -> TrueSection:
    """A tenor section with room enough under it: 5/8 in passes on a hard blow."""
    usual = {
        "register": "tenor",
        "dampers": dampers,
        "pitch_mm": pitch_mm,
        "theta_deg": theta_deg,
        "rest_mm": (19.2, 18.8),
        "swing_mm": (2.6, 2.3),
    }
    return TrueSection(**{**usual, **more})  # type: ignore[arg-type]


def treble(dampers: int, pitch_mm: float, theta_deg: float = 91.0, **more: object) -> TrueSection:
    """A treble section with room enough under it: 3/8 in passes on a hard blow."""
    usual = {
        "register": "treble",
        "dampers": dampers,
        "pitch_mm": pitch_mm,
        "theta_deg": theta_deg,
        "rest_mm": (11.2, 10.8),
        "swing_mm": (0.6, 0.5),
        "screws": (4, 9),
    }
    return TrueSection(**{**usual, **more})  # type: ignore[arg-type]


def top(dampers: int, pitch_mm: float, undamped: int, theta_deg: float = 94.0, **more: object) -> TrueSection:
    """The top damped section: undamped notes follow its last damper."""
    return treble(dampers, pitch_mm, theta_deg, **{"undamped": undamped, "screws": (5,), "gap_next_mm": 0.0, **more})


def beyond(notes: int, **more: object) -> TrueSection:
    """A section beyond the last damper, behind one more strut."""
    return treble(0, 13.9, 96.0, **{"undamped": notes, "screws": (), "gap_next_mm": 0.0, **more})


TIGHT = {"rest_mm": (6.7, 6.6), "swing_mm": (0.5, 0.5), "gauged": False}
TRIED = {"rest_mm": (7.1, 7.0), "swing_mm": (0.5, 0.4)}

_VENNICK = {"technician": "O. Vennick", "folder": "vennick"}
_QUARLEY = {"technician": "T. Quarley", "folder": "quarley"}
_FERROWBY = {"technician": "M. Ferrowby", "folder": "ferrowby"}


def _piano(order_no: str, by: dict[str, str], **more: object) -> TruePiano:
    return TruePiano(order_no=order_no, draw=DRAWN_AGAIN.get(order_no, 1), **by, **more)  # type: ignore[arg-type]


#: Nothing wrong with these, and every optional reading taken.
CLEAN: tuple[TruePiano, ...] = (
    _piano(
        "K-4101",
        _VENNICK,
        site="Assembly hall, Ember Lane school",
        survey_date="2031-03-03",
        needed_by="2031-04-04",
        maker="Quellmark",
        model="Q 188",
        serial="Q31887",
        unit="in",
        step="1/8",
        sections=(
            bass(20, 14.3, 77.0),
            tenor(18, 13.9, 84.0),
            treble(16, 13.6, 89.0),
            top(14, 13.4, 20, 93.0),
        ),
    ),
    _piano(
        "K-4102",
        _VENNICK,
        site="House, 9 Sorrel Rise",
        survey_date="2031-03-03",
        needed_by="2031-04-11",
        maker="Thornwick & Pell",
        model="Parlour",
        serial="TP 20 614",
        unit="in",
        step="1/16",
        head_width_mm=9.7,
        sections=(
            bass(24, 14.6, 75.0, strut=True),
            tenor(22, 14.1, 85.0, screws=(3,)),
            top(20, 13.8, 22, 92.0, screws=(4, 11)),
        ),
    ),
    _piano(
        "K-4103",
        _QUARLEY,
        site="Rehearsal room, Old Ropeworks",
        survey_date="2031-03-04",
        needed_by="2031-04-04",
        maker="Ostravel",
        model="IV",
        serial="88214-C",
        unit="mm",
        step="1",
        head_width_mm=9.4,
        sections=(
            bass(10, 14.9, 72.0, doubles=0, singles=10),
            bass(12, 14.4, 76.0, singles=0, doubles=12),
            tenor(17, 13.7, 84.0),
            treble(16, 13.3, 90.0),
            top(15, 13.0, 18, 95.0),
        ),
    ),
    _piano(
        "K-4104",
        _QUARLEY,
        site="Chapel, Mill Steps",
        survey_date="2031-03-04",
        needed_by="2031-03-28",
        maker="Brackenlow",
        model="215",
        serial="B7702",
        unit="mm",
        step="0.5",
        head_width_mm=9.8,
        sections=(
            bass(20, 14.8, 73.0, hole_mm=(0.0, 2.5), strut=True),
            tenor(17, 14.2, 83.0),
            treble(17, 13.9, 89.0),
            top(14, 13.7, 6, 93.0, gap_next_mm=32.0),
            beyond(14),
        ),
    ),
    _piano(
        "K-4105",
        _FERROWBY,
        site="House, 2 Fallow Court",
        survey_date="2031-03-05",
        needed_by="2031-04-11",
        maker="Duvrenne",
        model="Salon",
        serial="DV 1190",
        unit="in",
        step="1/32",
        sections=(
            bass(21, 14.0, 78.0),
            tenor(16, 13.8, 86.0),
            treble(16, 13.5, 90.0),
            top(15, 13.3, 20, 92.0),
        ),
    ),
    _piano(
        "K-4106",
        _FERROWBY,
        site="Studio, Harrow Yard",
        survey_date="2031-03-05",
        needed_by="2031-04-18",
        maker="Quellmark",
        model="Q 240",
        serial="Q40021",
        unit="in",
        step="1/8",
        cable_run_mm=1700.0,
        sections=(
            bass(10, 15.0, 71.0, singles=10, doubles=0),
            bass(10, 14.7, 75.0, singles=0, doubles=10),
            tenor(18, 14.2, 82.0),
            treble(16, 13.9, 88.0),
            top(14, 13.8, 5, 92.0, gap_next_mm=35.0),
            beyond(15),
        ),
    ),
)

#: A treble with just a quarter of an inch at rest: tight, and decided by how finely it was read or tried.
TIGHT_PIANOS: tuple[TruePiano, ...] = (
    _piano(
        "K-4111",
        _VENNICK,
        site="House, 31 Tanner Street",
        survey_date="2031-03-06",
        needed_by="2031-04-11",
        maker="Ostravel",
        model="II",
        serial="86002-A",
        unit="in",
        step="1/8",
        sections=(
            bass(20, 14.1, 77.0),
            tenor(18, 13.8, 85.0),
            treble(16, 13.6, 90.0, **TIGHT),
            top(14, 13.3, 20, 93.0, **TIGHT),
        ),
    ),
    _piano(
        "K-4112",
        _FERROWBY,
        site="House, 4 Larch Walk",
        survey_date="2031-03-06",
        needed_by="2031-04-11",
        maker="Duvrenne",
        model="Boudoir",
        serial="DV 1304",
        unit="in",
        step="1/32",
        sections=(
            bass(20, 14.2, 76.0),
            tenor(18, 13.9, 85.0),
            treble(16, 13.7, 90.0, **TIGHT),
            top(14, 13.2, 20, 93.0, **TIGHT),
        ),
    ),
    _piano(
        "K-4113",
        _VENNICK,
        site="Music room, Weir House",
        survey_date="2031-03-06",
        needed_by="2031-04-18",
        maker="Brackenlow",
        model="160",
        serial="B8115",
        unit="in",
        step="1/8",
        sections=(
            bass(19, 13.8, 78.0),
            tenor(18, 13.5, 86.0),
            top(24, 13.2, 27, 92.0, screws=(6, 14), **TRIED),
        ),
    ),
)

_FOUR = (bass(20, 14.2, 76.0), tenor(18, 13.9, 84.0), treble(16, 13.7, 90.0), top(14, 13.4, 20, 93.0))

_MAKERS = ("Quellmark", "Ostravel", "Brackenlow", "Duvrenne", "Thornwick & Pell")


def _faulty(order_no: str, by: dict[str, str], day: str, unit: str, step: str, **more: object) -> TruePiano:
    """One more grand, of four sections unless it says otherwise, each of another model."""
    number = int(order_no[-4:])
    usual: dict[str, object] = {
        "site": f"House, {number - 4190} Quarry Bank",
        "survey_date": day,
        "needed_by": "2031-04-25",
        "maker": _MAKERS[number % 5],
        "model": f"No. {number % 97}",
        "serial": f"{number * 7 % 9973}{'ABCD'[number % 4]}",
        "unit": unit,
        "step": step,
        "sections": _FOUR,
    }
    return _piano(order_no, by, **{**usual, **more})


#: These pianos are as sound as the others; their surveys are not.
BADLY_SURVEYED: tuple[TruePiano, ...] = (
    _faulty("K-4201", _VENNICK, "2031-03-03", "in", "1/8"),
    _faulty("K-4202", _QUARLEY, "2031-03-03", "mm", "1"),
    _faulty("K-4204", _VENNICK, "2031-03-04", "in", "1/8"),
    _faulty("K-4205", _QUARLEY, "2031-03-04", "mm", "0.5"),
    _faulty("K-4206", _FERROWBY, "2031-03-05", "in", "1/32"),
    _faulty("K-4207", _VENNICK, "2031-03-05", "in", "1/8"),
    _faulty("K-4208", _QUARLEY, "2031-03-05", "mm", "1"),
    _faulty("K-4209", _FERROWBY, "2031-03-06", "in", "1/16"),
    _faulty("K-4210", _VENNICK, "2031-03-06", "in", "1/8"),
    _faulty("K-4211", _QUARLEY, "2031-03-06", "mm", "1"),
    _faulty("K-4212", _FERROWBY, "2031-03-06", "in", "1/8"),
    _faulty("K-4213", _VENNICK, "2031-03-07", "in", "1/8"),
    _faulty("K-4216", _VENNICK, "2031-03-07", "in", "1/16"),
    _faulty("K-4217", _QUARLEY, "2031-03-07", "mm", "1", head_width_mm=12.2),
    _faulty(
        "K-4218",
        _FERROWBY,
        "2031-03-07",
        "in",
        "1/8",
        sections=(bass(27, 14.1, 77.0, gauged=False), tenor(21, 13.8, 86.0), top(20, 13.5, 20, 92.0)),
    ),
    _faulty("K-4219", _VENNICK, "2031-03-07", "in", "1/16"),
    _faulty("K-4220", _QUARLEY, "2031-03-07", "mm", "1"),
    _faulty("K-4221", _FERROWBY, "2031-03-07", "in", "1/16"),
    _faulty("K-4222", _VENNICK, "2031-03-07", "in", "1/16"),
    _faulty("K-4223", _QUARLEY, "2031-03-07", "mm", "1", maker="Ostravel", model="Concert"),
)

#: These are difficult instruments, rightly surveyed.
DIFFICULT: tuple[TruePiano, ...] = (
    _faulty(
        "K-4231",
        _QUARLEY,
        "2031-03-07",
        "mm",
        "1",
        maker="Ostravel",
        model="Concert",
        sections=(_FOUR[0], tenor(17, 13.9, 84.0), _FOUR[2], top(14, 13.4, 21, 93.0)),
        remarks="one damper fewer than its sister, counted three times",
    ),
    _faulty(
        "K-4232",
        _FERROWBY,
        "2031-03-07",
        "in",
        "1/16",
        sections=(bass(20, 17.0, 76.0), *_FOUR[1:]),
    ),
    _faulty(
        "K-4233",
        _VENNICK,
        "2031-03-07",
        "in",
        "1/32",
        sections=(*_FOUR[:2], treble(16, 13.7, 90.0, rest_mm=(4.6, 4.4), gauged=False), _FOUR[3]),
    ),
    _faulty(
        "K-4234",
        _QUARLEY,
        "2031-03-07",
        "mm",
        "1",
        ledge_front_mm=4.2,
        sections=(bass(20, 14.2, 76.0, strut=True), *_FOUR[1:]),
    ),
    _faulty(
        "K-4235",
        _FERROWBY,
        "2031-03-07",
        "mm",
        "0.5",
        sections=(
            bass(20, 14.2, 76.0, strut=True, hole_mm=(0.0, 7.5)),
            tenor(2, 13.9, 84.0),
            tenor(16, 13.9, 84.0, rest_mm=(30.0, 18.8), room_mm=(12.0, 0.6)),
            treble(16, 13.7, 90.0),
            top(14, 13.4, 20, 93.0, rest_mm=(46.0, 46.0)),
        ),
    ),
    _faulty(
        "K-4236",
        _VENNICK,
        "2031-03-07",
        "mm",
        "0.5",
        ledge_front_mm=9.9,
        sections=(bass(20, 14.2, 76.0, strut=True, hole_mm=(0.0, 2.8)), *_FOUR[1:]),
    ),
)

WEEK: tuple[TruePiano, ...] = CLEAN + TIGHT_PIANOS + BADLY_SURVEYED + DIFFICULT
