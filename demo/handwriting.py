"""Type readings the way people do: every technician has a habit and now and then breaks it."""

from __future__ import annotations

import random
from datetime import date
from fractions import Fraction

from measuring import Length, Reading

#: How often a reading is typed in the technician's own way.
HABIT = 0.7
_GLYPHS = {
    Fraction(1, 8): "⅛",
    Fraction(1, 4): "¼",
    Fraction(3, 8): "⅜",
    Fraction(1, 2): "½",
    Fraction(5, 8): "⅝",
    Fraction(3, 4): "¾",
    Fraction(7, 8): "⅞",
}

Typed = str | int | float | date | None


def typed(key: str, reading: Reading, unit: str, technician: str, order_no: str) -> Typed:
    """Give what is typed into a cell for a reading.

    Args:
        key: the field.
        reading: what was read.
        unit: unit of the sheet.
        technician: whose habits; the order number varies them.
        order_no: the order.

    Returns:
        Text or a number.
    """
    if isinstance(reading, Length):
        hand = random.Random(f"{technician}/{order_no}/{key}")
        return (
            inches(reading, unit, _way(hand, technician, 5))
            if reading.unit == "in"
            else _metric(reading, unit, _way(hand, technician, 4))
        )
    if isinstance(reading, bool):
        return "yes" if reading else "no"
    return reading


def inches(length: Length, sheet_unit: str, way: int) -> str | float:
    """Spell inches; on a millimetre sheet always with their unit."""
    whole, part = divmod(length.value, 1)
    fraction = f"{part.numerator}/{part.denominator}" if part else ""
    if sheet_unit != "in":
        return _joined(whole, fraction, " ") + " in"
    match way:
        case 1:
            return _joined(whole, fraction, "-") + '"'
        case 2:
            return _joined(whole, _GLYPHS.get(part, fraction), " ")
        case 3:
            return float(length.value)
        case 4:
            return _joined(whole, fraction, " ") + " in"
    return _joined(whole, fraction, " ")


def _metric(length: Length, sheet_unit: str, way: int) -> str | int | float:
    value = float(length.value)
    plain = f"{value:g}"
    if sheet_unit != "mm":
        return f"{plain} mm"
    match way:
        case 1:
            return f"{plain} mm"
        case 2 if length.value.denominator == 1 and length.value > 100:
            return f"{value / 10:.1f} cm".replace(".", ",")
        case 3:
            return plain.replace(".", ",")
    return int(value) if length.value.denominator == 1 else value


def _joined(whole: int, fraction: str, between: str) -> str:
    if not fraction:
        return str(whole)
    return f"{whole}{between}{fraction}" if whole else fraction


def _way(hand: random.Random, technician: str, ways: int) -> int:
    if hand.random() < HABIT:
        return sum(technician.encode()) % ways
    return int(hand.random() * ways)
