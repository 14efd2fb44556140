"""Which formats show dates, and which day a number stands for."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.styles.numbers import BUILTIN_FORMATS
from openpyxl.styles.numbers import is_date_format as openpyxl_says
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, from_excel

from railwright.reading.formats import BUILT_IN_FORMATS, from_serial, is_date_format


@pytest.mark.parametrize(
    "code",
    [
        "yyyy-mm-dd",
        "m/d/yy h:mm",
        "d-mmm",
        "[h]:mm:ss",
        "[$-409]mmmm d, yyyy;@",
        'd". "mmmm',
        "mm:ss",
        "DD/MM/YYYY",
        "[Red]d/m",
    ],
)
def test_formats_of_dates(code):
    assert is_date_format(code)


@pytest.mark.parametrize(
    "code",
    ["General", "@", "0.00", "# ?/?", "#,##0", '0.0" days"', "0\\d", "[Red]0.0", "0.00E+00", '"mm"', "0.0_d",
     "[$-409]0", "0*y", "#,##0 [$USD]", "General;[Red]-General", ""],
)  # fmt: skip
def test_formats_of_numbers(code):
    assert not is_date_format(code)


def test_built_in_formats_agree_with_openpyxl():
    """openpyxl lists the built-in formats of ECMA-376-1, 18.8.30 as well; its list is the reference here."""
    shared = BUILT_IN_FORMATS.keys() & BUILTIN_FORMATS.keys()
    assert len(shared) > 25
    assert [n for n in shared if is_date_format(BUILT_IN_FORMATS[n]) != openpyxl_says(BUILTIN_FORMATS[n])] == []


@pytest.mark.parametrize(
    ("serial", "day"),
    [(1, date(1900, 1, 1)), (59, date(1900, 2, 28)), (61, date(1900, 3, 1)), (2_958_465, date(9999, 12, 31))],
)
def test_days_of_the_1900_system(serial, day):
    """ECMA-376-1, 18.17.4.1: serial 1 is 1 January 1900, and the last is 31 December 9999."""
    assert from_serial(serial, system_1904=False) == day


@pytest.mark.parametrize(("serial", "day"), [(0, date(1904, 1, 1)), (2_957_003, date(9999, 12, 31))])
def test_days_of_the_1904_system(serial, day):
    """ECMA-376-1, 18.17.4.1: the two systems are 1,462 days apart."""
    assert from_serial(serial, system_1904=True) == day


@pytest.mark.parametrize("serial", [60, -1, 2_958_466, 1e300])
def test_numbers_that_are_no_day(serial):
    """Day 60 of the 1900 system is 29 February 1900, which never was."""
    assert from_serial(serial, system_1904=False) is None


def test_the_end_of_the_1904_system_is_no_accident():
    assert from_serial(2_957_004, system_1904=True) is None


@given(st.integers(61, 2_900_000), st.integers(0, 86_399), st.booleans())
def test_moments_agree_with_openpyxl(day, second, system_1904):
    serial = day + second / 86_400
    ours = from_serial(serial, system_1904)
    theirs = from_excel(serial, CALENDAR_MAC_1904 if system_1904 else CALENDAR_WINDOWS_1900)
    assert isinstance(theirs, datetime)
    if not isinstance(ours, datetime):
        assert isinstance(ours, date)
        ours = datetime(ours.year, ours.month, ours.day)
    assert abs((ours - theirs).total_seconds()) <= 1
