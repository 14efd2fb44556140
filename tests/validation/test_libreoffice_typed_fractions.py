"""What a real office program makes of typed inches, and what is read back from it.

The outside authority is LibreOffice: it recognises what is typed by the customs of a country (here through its import
of a text file, with the recognition of dates and numbers switched on, into cells of the General format). Measured with
version 7.4: 3/8 becomes 8 March in the United States and 3 August in Britain, stays text in Germany; 12 1/8 becomes a
number in all three; 12.125 becomes 12125 in Germany.
"""

import csv
import shutil
import subprocess
from fractions import Fraction

import pytest

from little_surveys import Cell
from railwright.reading.lengths import parse_length
from railwright.reading.parsed import Conventions
from railwright.reading.workbook import read_workbook

pytestmark = pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")

INCHES = Conventions("in", Fraction("3.175"))
#: Language numbers of the import filter: United States, Britain, Germany.
COUNTRIES = {"US": 1033, "Britain": 2057, "Germany": 1031}

PROPER = [f"{over}/{under}" for under in (2, 4, 8, 16, 32) for over in range(1, under, 2)]
MIXED = [
    f"{whole}{between}{part}" for whole in (1, 3, 12) for between in " -" for part in ("1/2", "3/4", "7/8", "3/16")
]
OTHERS = ["12 1/8 in", "12.125", "12,125", "1.125", "3,875", "12 mm", "30,8 cm"]
TYPED = PROPER + MIXED + OTHERS


@pytest.fixture(scope="module", params=COUNTRIES)
def cells(request, tmp_path_factory):
    """Type everything into one column of a fresh workbook, in one country."""
    folder = tmp_path_factory.mktemp("typed")
    with (folder / "typed.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, quoting=csv.QUOTE_ALL).writerows([typed] for typed in TYPED)
    options = f"--infilter=CSV:44,34,76,1,,{COUNTRIES[request.param]},false,true"
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = ["soffice", profile, "--headless", options, "--convert-to", "xlsx", "--outdir", str(folder)]
    subprocess.run([*command, str(folder / "typed.csv")], check=True, capture_output=True, timeout=120)
    workbook = read_workbook(folder / "typed.xlsx")
    sheet = workbook.sheets[0].name
    return request.param, {typed: workbook.cell(sheet, f"A{row}") for row, typed in enumerate(TYPED, start=1)}


def test_the_program_did_make_days_of_fractions(cells):
    country, found = cells
    assert (found["3/8"].kind == "date") == (country != "Germany")
    assert found["12 1/8 in"].kind == "text"


@pytest.mark.parametrize("typed", TYPED)
def test_what_was_typed_is_read_or_named_as_a_possibility(cells, typed):
    _, found = cells
    parsed = parse_length(found[typed], INCHES)
    meant = parse_length(Cell(typed), INCHES)
    assert meant.value is not None
    if parsed.value is None:
        assert typed.replace(",", ".") in parsed.hint.replace("-", " ").replace(",", ".")
    else:
        assert parsed.value == meant.value
