"""Serial numbers of days in spreadsheets, against numbers that others have printed."""

from datetime import date

import pytest

from railwright.reading.slipped_dates import day_of_serial, slipped_day


@pytest.mark.parametrize(
    "serial, system_1904, day",
    [
        # The program maker's documentation of its date functions, quoted at stannum.io/blog/0XLTSE.
        (39448, False, date(2008, 1, 1)),
        # The program maker's page "Date systems in Excel", second-hand copy at bestprovider4you.blogspot.com/2022/11.
        (40729, False, date(2011, 7, 5)),
        # omnisecu.com/excel/worksheet/difference-between-excel-date-systems.php, one day in both systems.
        (44535, False, date(2021, 12, 5)),
        (43073, True, date(2021, 12, 5)),
    ],
)
def test_printed_serial_numbers(serial, system_1904, day):
    assert day_of_serial(serial, system_1904) == day


@pytest.mark.parametrize("serial, system_1904", [(44535, False), (43073, True)])
def test_such_a_number_is_recognised_as_a_day(serial, system_1904):
    assert slipped_day(float(serial), system_1904) == date(2021, 12, 5)
    assert slipped_day(serial + 0.5, system_1904) is None
