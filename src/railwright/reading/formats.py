"""Number formats: which cells show a date, and which day a serial number stands for."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

from lxml import etree

BUILT_IN_FORMATS = {
    0: "General", 1: "0", 2: "0.00", 3: "#,##0", 4: "#,##0.00", 9: "0%", 10: "0.00%", 11: "0.00E+00", 12: "# ?/?",
    13: "# ??/??", 14: "mm-dd-yy", 15: "d-mmm-yy", 16: "d-mmm", 17: "mmm-yy", 18: "h:mm AM/PM", 19: "h:mm:ss AM/PM",
    20: "h:mm", 21: "h:mm:ss", 22: "m/d/yy h:mm", 37: "#,##0 ;(#,##0)", 38: "#,##0 ;[Red](#,##0)",
    39: "#,##0.00;(#,##0.00)", 40: "#,##0.00;[Red](#,##0.00)", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0",
    48: "##0.0E+0", 49: "@",
}  # fmt: skip
"""Formats that a workbook uses by number without defining them (ECMA-376-1, 18.8.30)."""

# 27-36 and 50-58 are dates in the East Asian editions, which is where files that use them come from.
_EAST_ASIAN_DATES = frozenset({*range(27, 37), *range(50, 59)})

# What is not a sign of the date code itself: quoted text, an escaped sign, a colour or locale in brackets, padding.
_NO_CODE = re.compile(r'"[^"]*"?|\\.|_.|\*.|\[(?!(?:h+|m+|s+)\])[^\]]*\]', re.IGNORECASE)
_DATE_CODE = re.compile(r"[dmyhs]|(?<![a-z])(?:e|g|b)(?![a-z+\-])", re.IGNORECASE)

LAST_SERIAL = 2_958_466
"""First serial number after 31 December 9999, the last day that exists (ECMA-376-1, 18.17.4.1)."""


def is_date_format(code: str) -> bool:
    """Tell whether a number format shows a date or a time.

    Args:
        code: The format code, such as ``yyyy-mm-dd`` or ``0.00``.

    Returns:
        True where its first section, which is for positive numbers, has a code for day, month, year, hour, minute
        or second outside quotes and brackets.
    """
    if code in ("General", "@", "0", "0.00", "# ?/?", ""):
        return False
    first = _NO_CODE.sub("", code).split(";")[0]
    return "general" not in first.lower() and _DATE_CODE.search(first) is not None


def from_serial(serial: float, system_1904: bool) -> date | datetime | time | None:
    """Turn a serial number into the day or moment that it shows.

    Args:
        serial: Days since the start of the date system, with the time as the fraction.
        system_1904: Whether the workbook counts from 1904 instead of 1900.

    Returns:
        A date for a whole number, a time for a fraction of the first day, else both; ``None`` where no such day
        exists. In the 1900 system day 60 is 29 February 1900, which never was (ECMA-376-1, 18.17.4.1).
    """
    if not 0 <= serial < LAST_SERIAL:
        return None
    day, fraction = divmod(serial, 1.0)
    if not system_1904 and day == 60:
        return None
    clock = timedelta(seconds=round(fraction * 86_400))
    if day == 0 and fraction:
        return (datetime(2000, 1, 1) + clock).time() if clock < timedelta(days=1) else None
    start = date(1904, 1, 1) if system_1904 else date(1899, 12, 31 if day < 60 else 30)
    try:
        whole = start + timedelta(days=day)
        return datetime.combine(whole, time()) + clock if fraction else whole
    except OverflowError:
        return None


class CellFormats:
    """The number format behind every style number of a workbook."""

    def __init__(self, root: etree._Element | None, ns: str) -> None:
        """Read the formats.

        Args:
            root: Root of the styles part; ``None`` where the workbook has none, and every cell is General.
            ns: Namespace in braces.
        """
        self._codes = [] if root is None else _codes_by_style(root, ns)
        self._is_date: dict[str, bool] = {}

    def code(self, style: int) -> str:
        """Give the format code of a style number; General for one that is not defined."""
        return self._codes[style] if 0 <= style < len(self._codes) else "General"

    def shows_date(self, code: str) -> bool:
        """Tell whether a code shows a date, remembering the answer."""
        if code not in self._is_date:
            self._is_date[code] = is_date_format(code)
        return self._is_date[code]


def _codes_by_style(root: etree._Element, ns: str) -> list[str]:
    custom = {
        element.get("numFmtId", ""): element.get("formatCode", "")
        for element in root.iterfind(f"{ns}numFmts/{ns}numFmt")
    }
    return [_code(xf.get("numFmtId", "0"), custom) for xf in root.iterfind(f"{ns}cellXfs/{ns}xf")]


def _code(number: str, custom: dict[str, str]) -> str:
    if number in custom:
        return custom[number]
    identity = int(number) if number.isdecimal() and len(number) < 6 else 0
    return "yyyy/mm/dd" if identity in _EAST_ASIAN_DATES else BUILT_IN_FORMATS.get(identity, "General")
