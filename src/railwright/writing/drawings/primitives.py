"""The drawing model: lines, outlines, circles, words and dimensions on layers, gathered in views on a sheet.

A view's geometry is in real millimetres, x to the right and y up; heights of letters, and nothing else, are in
millimetres on paper. A sheet places each view at a scale.

The primitives are named tuples, since those are quick to make and an instrument's drawings have a thousand of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from railwright.writing.drawings.layers import Layer

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


class Line(NamedTuple):
    """A straight line."""

    start: Point
    end: Point
    layer: Layer


class Polyline(NamedTuple):
    """A run of straight lines; closed ones are filled as their layer says."""

    points: tuple[Point, ...]
    layer: Layer
    closed: bool = False


class Circle(NamedTuple):
    """A circle."""

    centre: Point
    radius: float
    layer: Layer


class Text(NamedTuple):
    """Words that begin, are centred, or end at a place, on the middle of their height; turned anticlockwise."""

    at: Point
    text: str
    layer: Layer
    height_mm: float = 2.2
    anchor: Anchor = "start"
    turn_deg: float = 0.0
    bold: bool = False


class Length(NamedTuple):
    """A length along x: from ``x1`` to ``x2`` on features at ``y_feature``, with its line at ``y_line``."""

    x1: float
    x2: float
    y_feature: float
    y_line: float
    layer: Layer
    note: str = ""

    @property
    def value_mm(self) -> float:
        """The real length."""
        return abs(self.x2 - self.x1)

    @property
    def upward(self) -> bool:
        """Whether the line lies above the features; its words stand on the far side, clear of other dimensions."""
        return self.y_line >= self.y_feature


class Ordinate(NamedTuple):
    """A running dimension along x: the distance of ``x`` from ``datum``, written upright at ``x_text``."""

    x: float
    datum: float
    y_feature: float
    y_text: float
    x_text: float
    layer: Layer
    upward: bool

    @property
    def value_mm(self) -> float:
        """The real distance from the datum."""
        return self.x - self.datum


Primitive = Line | Polyline | Circle | Text | Length | Ordinate


@dataclass(frozen=True, slots=True)
class View:
    """A picture of something real: its title and its primitives."""

    title: str
    primitives: tuple[Primitive, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """A view on paper: ``scale`` paper mm to a real mm; ``origin`` is where the view's (0, 0) lies, from below left.

    Each is equal to itself only, so that what is made of one can be kept for the next sheet that shows it.
    """

    view: View
    scale: float
    origin: Point


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper in mm, its views, and a title and description for readers who cannot see it."""

    width_mm: float
    height_mm: float
    title: str
    description: str
    views: tuple[Placed, ...]


def rectangle(x1: float, y1: float, x2: float, y2: float, layer: Layer) -> Polyline:
    """Give a closed rectangle between two corners."""
    return Polyline(((x1, y1), (x2, y1), (x2, y2), (x1, y2)), layer, closed=True)
