import io
import zipfile

import pytest

from railwright.writing.number_warnings import without_number_warnings


def package(sheet):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as target:
        target.writestr(zipfile.ZipInfo("other.xml", (1980, 1, 1, 0, 0, 0)), b"<other/>")
        target.writestr(zipfile.ZipInfo("sheet.xml", (1980, 1, 1, 0, 0, 0)), sheet)
    return buffer.getvalue()


def test_one_statement_is_added_and_nothing_else_changes():
    changed = zipfile.ZipFile(
        io.BytesIO(without_number_warnings(package(b"<worksheet><sheetData/></worksheet>"), "sheet.xml", "B4:C9"))
    )
    assert changed.read("other.xml") == b"<other/>"
    assert changed.read("sheet.xml") == (
        b'<worksheet><sheetData/><ignoredErrors><ignoredError sqref="B4:C9" twoDigitTextYear="1"'
        b' numberStoredAsText="1"/></ignoredErrors></worksheet>'
    )
    assert {member.date_time for member in changed.infolist()} == {(1980, 1, 1, 0, 0, 0)}


@pytest.mark.parametrize(
    "sheet", [b"<worksheet/>", b'<worksheet><drawing r:id="rId1"/></worksheet>', b"<worksheet></worksheet>x"]
)
def test_a_sheet_that_ends_otherwise_is_refused(sheet):
    with pytest.raises(ValueError, match="does not end"):
        without_number_warnings(package(sheet), "sheet.xml", "B4:C9")
