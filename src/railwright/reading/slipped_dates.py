"""Dates that were readings: office programs turn a typed ``3/8`` into a day of the calendar.

What they make of it, measured with one office program and common practice for the others: ``3/8`` becomes 8 March or
3 August of the current year; ``1/32`` the first of January 1932, since there is no 32nd day; ``3-7/8`` the
7th of March 2008. In a cell with a plain number format only the day's serial number is left.
"""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

#: Serial numbers of the years 2009 to 2050: no length, angle or count on a piano comes near them.
FIRST_SERIAL, LAST_SERIAL = 40_000, 55_000
_OLDEST_SERIAL = 10_959  # 1 January 1930, the earliest day that a year of two figures is taken for
_DAYS_FROM_1900_TO_1904 = 1_462

_DENOMINATORS = (2, 4, 8, 16, 32)

# The first letters of the months in the languages of common office programs (common practice, no source).
_MONTH_STEMS: tuple[tuple[str, ...], ...] = (
    ("jan", "jän", "janv", "ene", "gen"),
    ("feb", "fév", "fev"),
    ("mar", "mär", "mrz", "mrt", "maa"),
    ("apr", "avr", "abr"),
    ("may", "mai", "mei", "mag"),
    ("jun", "juin", "giu"),
    ("jul", "juil", "lug"),
    ("aug", "aoû", "aou", "ago"),
    ("sep", "set"),
    ("oct", "okt", "ott", "out"),
    ("nov",),
    ("dec", "dez", "déc", "dic"),
)  # fmt: skip

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

_YEAR_FIRST = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?:[t ][0-9:.]+)?")
_YEAR_LAST = re.compile(r"([0-9]{1,2})([-/.]) ?([0-9]{1,2})[-/.] ?([0-9]{4}|[0-9]{2})?")
_DAY_MONTH = re.compile(r"([0-9]{1,2})[.]?[- ]?([^\W\d_]{3,12})[.]?(?:[-, ]+([0-9]{4}|[0-9]{2}))?")
_MONTH_DAY = re.compile(r"([^\W\d_]{3,12})[.]?[- ]([0-9]{1,4})(?:[-, ]+([0-9]{4}|[0-9]{2}))?")


def month_number(word: str) -> int | None:
    """Number a month by its name or short form, in any of several languages; 1 is January."""
    found = [
        (len(stem), number)
        for number, stems in enumerate(_MONTH_STEMS, start=1)
        for stem in stems
        if word.startswith(stem)
    ]
    return max(found)[1] if found else None


def day_of_serial(serial: float, system_1904: bool) -> date:
    """Turn a serial number of the years after 1904 into its day."""
    days = int(serial) + (_DAYS_FROM_1900_TO_1904 if system_1904 else 0)
    return date(1899, 12, 30) + timedelta(days=days)


def slipped_day(number: float, system_1904: bool = False) -> date | None:
    """Recognise a bare number that is the serial number of a day.

    Args:
        number: The number in the cell.
        system_1904: Whether the workbook counts its days from 1904 instead of 1900.

    Returns:
        The day, where the number is whole and either lies between 40,000 and 55,000 or is a day that programs make of a
        fraction (1 January 1932, 7 March 2008); ``None`` for any other number.
    """
    first = _OLDEST_SERIAL - (_DAYS_FROM_1900_TO_1904 if system_1904 else 0)
    if number != number or not first <= number <= LAST_SERIAL or number % 1:
        return None
    day = day_of_serial(number, system_1904)
    return day if number >= FIRST_SERIAL or _from_a_year(day) else None


def slipped_text(text: str) -> date | None:
    """Recognise a day that was written or stored as text.

    Args:
        text: The answer in plain signs and lower case.

    Returns:
        The day as the text is most commonly meant, this century where no year is given (the leap year 2000, so that
        every day exists); ``None`` where the text is no date.
    """
    if match := _YEAR_FIRST.fullmatch(text):
        return _day(match[1], match[2], match[3])
    if (match := _YEAR_LAST.fullmatch(text)) and (match[4] or match[2] == "."):
        return _day(match[4], match[3], match[1]) or _day(match[4], match[1], match[3])
    if match := _DAY_MONTH.fullmatch(text):
        return _named(match[3], match[2], match[1])
    if match := _MONTH_DAY.fullmatch(text):
        return _named(match[3], match[1], match[2])
    return None


def _named(year: str | None, month: str, day: str) -> date | None:
    """Make a day of a month's name; a number too large for a day is the year, as in ``Jan-32``."""
    number = month_number(month)
    if number is None:
        return None
    return _day(year, str(number), day) or (_day(day, str(number), "1") if year is None else None)


def _day(year: str | None, month: str, day: str) -> date | None:
    number = int(year or 2000)
    if number < 100:
        number += 2000 if number < 30 else 1900
    try:
        return date(number, int(month), int(day))
    except ValueError:
        return None


def fractions_behind(day: date | datetime) -> tuple[str, ...]:
    """List what may have been typed when a program made this day of it.

    Args:
        day: The day in the cell.

    Returns:
        Readings such as ``3/8`` and ``8/3``, fractions of an inch first; where the year is one that programs make of a
        denominator, the readings that explain it, such as ``3 7/8`` and ``7 3/8``.
    """
    if explained := _from_a_year(day):
        return tuple(explained)
    either = {f"{day.month}/{day.day}", f"{day.day}/{day.month}"}
    return tuple(sorted(either, key=lambda text: (not _is_inch_fraction(text), text)))


def _from_a_year(day: date) -> list[str]:
    """List the readings whose denominator became the year: ``1/32`` and ``3-7/8``."""
    denominator = day.year % 100
    if not (1930 <= day.year < 2030 and denominator in _DENOMINATORS):
        return []
    spaced = {f"{day.month} {day.day}/{denominator}", f"{day.day} {day.month}/{denominator}"}
    mixed = sorted(text for text in spaced if _is_inch_fraction(text.split()[1]))
    alone = [f"{day.month}/{denominator}"] if day.day == 1 and _is_inch_fraction(f"{day.month}/{denominator}") else []
    return alone + mixed


def _is_inch_fraction(text: str) -> bool:
    numerator, denominator = map(int, text.split("/"))
    return numerator < denominator and denominator in _DENOMINATORS and numerator % 2 == 1


def in_words(day: date | datetime) -> str:
    """Say which day stands in the cell and what may have been typed.

    Args:
        day: The day in the cell.

    Returns:
        Words such as ``the cell holds the day 8 March 2026; 3/8 or 8/3 may have been typed``.
    """
    return f"the cell holds the day {spelled(day)}; {typed_in_words(day)}"


def typed_in_words(day: date | datetime) -> str:
    """Say only what may have been typed, for a day whose year is not in the cell."""
    return f"{' or '.join(fractions_behind(day))} may have been typed"


def spelled(day: date | datetime) -> str:
    """Write a day so that nobody takes the month for the day, for example ``8 March 2026``."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"
