"""The layers of a segment drawing: what is on each, and how it looks on paper."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer: its name, what it holds, line width on paper in mm, colour, dashes in mm, and filling."""

    name: str
    holds: str
    width_mm: float
    colour: str
    dashes: tuple[float, ...] = ()
    fill: str = "none"


CARRIER = Layer("carrier", "outline of the bar to be sawn", 0.5, "#1f2a30")
FELT = Layer("felt", "facing strip", 0.25, "#6b4f1d", fill="#f3e6c4")
STATION = Layer("station", "feet, with the way they slide", 0.35, "#0b5c7a", fill="#cfe6ef")
SLOT = Layer("slot", "how far a foot slides at fitting", 0.18, "#0b5c7a", (1.0, 0.8))
MIDDLE = Layer("station-line", "middle lines of the feet", 0.18, "#0b5c7a")
HOLLOW = Layer("hollow", "hollows on the underside, over guide-rail screws", 0.35, "#9c2f1f", (1.6, 0.8), "#f6d9d2")
NOTCH = Layer("notch", "notches for wires, right through", 0.35, "#9c2f1f", (1.6, 0.8), "#f6d9d2")
SCREW = Layer("screw", "guide-rail screws", 0.35, "#9c2f1f")
WIRE = Layer("wire", "damper wires at their most likely places", 0.25, "#1f2a30", fill="#1f2a30")
BAND = Layer("band", "room that each wire takes with 95 % probability", 0.15, "#7f8f98", fill="#dfe5e8")
STRING = Layer("string", "direction of the strings", 0.1, "#9aa7ae")
LEVEL = Layer("level", "guide rail, strings at rest and free height", 0.25, "#44525a", (2.0, 0.8))
DIMENSION = Layer("dimension", "dimensions in mm", 0.18, "#1f2a30")
WORDS = Layer("words", "names and notes", 0.18, "#1f2a30")
QUIET = Layer("quiet", "secondary notes", 0.18, "#4f5d65")
WARNING = Layer("warning", "that a segment must not be made", 0.4, "#8c1d0f")
FRAME = Layer("frame", "borders and tables", 0.25, "#1f2a30")

LAYERS = (
    BAND, STRING, LEVEL, FELT, CARRIER, SLOT, STATION, MIDDLE, HOLLOW, NOTCH, SCREW, WIRE, DIMENSION, FRAME, QUIET,
    WORDS, WARNING,
)  # fmt: skip
