"""Text, dates, choices, yes or no, and lists of screws."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, datetime

from railwright.reading.parsed import Cell, Conventions, Parsed, problem, unusable
from railwright.reading.slipped_dates import fractions_behind, slipped_day, slipped_text, spelled
from railwright.reading.spelling import plain_answer
from railwright.survey.notes import LAST_NOTE

#: A spreadsheet keeps 15 figures of a number; of a longer one it has silently made the rest zeros.
_FIGURES_KEPT = 1e15

_YES_NO = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
_NO_SCREWS = ("none", "no", "no screws", "nil")
_SCREW_LIST = re.compile(r"[0-9]{1,3}(?: ?(?:[;,&+]|and| ) ?[0-9]{1,3}){0,19} ?[;,]?")
_YEAR_FIRST = re.compile(r"([0-9]{4})([-/.])([0-9]{1,2})\2([0-9]{1,2})")
_DAY_FIRST = re.compile(r"([0-9]{1,2})\. ?([0-9]{1,2})\. ?([0-9]{4})")
_SLASHED = re.compile(r"([0-9]{1,2})[-/]([0-9]{1,2})[-/]([0-9]{4})")
_WITH_MONTH = re.compile(r".*[^\W\d_]{3,}.*[0-9]{4}")


def parse_text(cell: Cell) -> Parsed:
    """Read free text such as a name or a serial number, every sign of it except blanks at both ends.

    Args:
        cell: The cell.

    Returns:
        The text; or a problem where a program made a day of it or dropped figures of a long number.
    """
    if (outcome := unusable(cell)) is not None:
        return outcome
    if isinstance(cell.value, date):
        typed = " or ".join(fractions_behind(cell.value))
        day = spelled(cell.value)
        return problem(
            "date_in_text_cell", f"the cell holds the day {day}; {typed}, or with hyphens, may have been typed"
        )
    if cell.kind == "number" and isinstance(cell.value, float) and abs(cell.value) >= _FIGURES_KEPT:
        return problem("figures_lost", "a number of more than 15 figures lost its last ones; format the cell as text")
    text = " ".join("".join(sign for sign in cell.text if unicodedata.category(sign) != "Cc" or sign.isspace()).split())
    return Parsed(text or None)


def parse_choice(cell: Cell, choices: tuple[str, ...]) -> Parsed:
    """Read one of a few words, whatever its capitals and blanks.

    Args:
        cell: The cell.
        choices: The words to choose from, in lower case.

    Returns:
        The word, or a problem.
    """
    if (outcome := unusable(cell)) is not None:
        return outcome
    written = (plain_answer(cell.text) or "").rstrip(".")
    return Parsed(written) if written in choices else problem("unknown_choice")


def parse_yes_no(cell: Cell) -> Parsed:
    """Read yes or no; ``y``, ``n`` and truth values stand for them.

    Args:
        cell: The cell.

    Returns:
        A truth value, or a problem.
    """
    if (outcome := unusable(cell)) is not None:
        return outcome
    if isinstance(cell.value, bool):
        return Parsed(cell.value)
    written = (plain_answer(cell.text) or "").rstrip(".") if cell.kind == "text" else ""
    return Parsed(_YES_NO[written]) if written in _YES_NO else problem("unknown_choice")


def parse_date(cell: Cell, sheet: Conventions) -> Parsed:
    """Read a day: a date cell, year-month-day, day.month.year, or with the month's name.

    Args:
        cell: The cell.
        sheet: How the workbook counts its days.

    Returns:
        The day, with a hint where it was not written year first; or a problem, also where day and month can be
        taken for each other.
    """
    if (outcome := unusable(cell)) is not None:
        return outcome
    if isinstance(cell.value, date):
        return _within_reason(cell.value.date() if isinstance(cell.value, datetime) else cell.value)
    if cell.kind == "number" and isinstance(cell.value, int | float):
        day = slipped_day(float(cell.value), sheet.system_1904)
        return problem("unreadable_date", f"{cell.text[:20]} is how a program stores {spelled(day)}" if day else "")
    written = plain_answer(cell.text) if cell.kind == "text" else None
    return problem("unreadable_date") if written is None else _written_date(written)


def _written_date(written: str) -> Parsed:
    if match := _YEAR_FIRST.fullmatch(written):
        return _day(int(match[1]), int(match[3]), int(match[4]))
    if match := _DAY_FIRST.fullmatch(written):
        return _day(int(match[3]), int(match[2]), int(match[1]), "day.month.year")
    if match := _SLASHED.fullmatch(written):
        return _slashed(int(match[1]), int(match[2]), int(match[3]))
    named = slipped_text(written) if _WITH_MONTH.fullmatch(written) else None
    return problem("unreadable_date") if named is None else _within_reason(named)


def _slashed(first: int, second: int, year: int) -> Parsed:
    """Read a date whose order of day and month differs between countries, where only one order is possible."""
    if first <= 12 and second <= 12 and first != second:
        either = f"{year}-{second:02}-{first:02} or {year}-{first:02}-{second:02}"
        return problem("unreadable_date", f"it may be {either}")
    return _day(year, first, second) if second > 12 else _day(year, second, first)


def _day(year: int, month: int, day: int, order: str = "") -> Parsed:
    try:
        return _within_reason(date(year, month, day), order)
    except ValueError:
        return problem("unreadable_date", "there is no such day")


def _within_reason(day: date, order: str = "") -> Parsed:
    if not 2000 <= day.year <= 2099:
        return problem("unreadable_date", f"{spelled(day)} is not a day of this century")
    return Parsed(day, hint=f"Read as {order}: {spelled(day)}." if order else "")


def parse_screws(cell: Cell, sheet: Conventions) -> Parsed:
    """Read the number of heads above each guide-rail screw, such as ``7; 11``, or ``none``.

    0 is a screw beyond the last head, so it is not the same as none.

    Args:
        cell: The cell.
        sheet: How the workbook counts its days.

    Returns:
        The numbers in rising order, empty for none; or a problem, with both readings where a program made a day of it.
    """
    if (outcome := unusable(cell)) is not None:
        return outcome
    if isinstance(cell.value, date):
        return _screws_as_day(cell.value)
    if cell.kind == "number" and isinstance(cell.value, int | float):
        return _one_screw(float(cell.value), sheet)
    written = plain_answer(cell.text) if cell.kind == "text" else None
    if written is not None and written.rstrip(".") in _NO_SCREWS:
        return Parsed(())
    if written is None or not _SCREW_LIST.fullmatch(written):
        day = slipped_text(written or "")
        return _screws_as_day(day) if day else problem("unreadable_screws")
    return _screws([int(number) for number in re.findall(r"[0-9]+", written)])


def _one_screw(number: float, sheet: Conventions) -> Parsed:
    if (day := slipped_day(number, sheet.system_1904)) is not None:
        return _screws_as_day(day)
    if number % 1 == 0 and 0 <= number <= LAST_NOTE:
        return Parsed((int(number),))
    return problem("unreadable_screws", "" if number % 1 == 0 else "a decimal point or comma does not part two screws")


def _screws(numbers: list[int]) -> Parsed:
    if len(set(numbers)) < len(numbers):
        return problem("unreadable_screws", "the same number stands there twice")
    if max(numbers) > LAST_NOTE:
        return problem("unreadable_screws", f"{max(numbers)} heads are more than a piano has")
    return Parsed(tuple(sorted(numbers)))


def _screws_as_day(day: date) -> Parsed:
    pair = " or ".join(sorted({f"{day.month}; {day.day}", f"{day.day}; {day.month}"}))
    return problem("date_in_screws_cell", f"{pair} may have been typed")
