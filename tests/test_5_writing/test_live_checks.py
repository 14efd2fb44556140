import openpyxl
import pytest

from live_checks import filled_blanks, office_is_there, recalculated, sections_off_by_pitch_alone, shown_and_expected
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.compute import PITCH_DOUBT
from railwright.writing.blank_survey import write_blank
from railwright.writing.blank_workings import WORKINGS, section_formulas

#: With it the first workbook has a section whose readings agree on a spacing that no piano has.
SEED = 6


@pytest.mark.skipif(not office_is_there(), reason="LibreOffice is not installed")
@pytest.mark.parametrize("locale, workbooks", [("en-US", 2), ("de-DE", 1)])
def test_the_sheet_works_out_what_the_tool_works_out(tmp_path, locale, workbooks):
    # The independent authority is LibreOffice: it evaluates the formulas, with decimal points and with commas.
    compared, off_by_pitch = 0, 0
    for path in recalculated(filled_blanks(tmp_path, workbooks, seed=SEED), tmp_path, locale):
        off_by_pitch += len(sections_off_by_pitch_alone(path))
        for what, shown, own in shown_and_expected(path):
            compared += own is not None
            assert shown == (pytest.approx(own, abs=1e-6) if isinstance(own, float) else own), what
    assert compared > 12 * workbooks
    assert off_by_pitch > 0


def test_the_workings_are_hidden_and_hold_no_value_that_the_shop_book_does_not(tmp_path):
    write_blank(tmp_path / "a.xlsx", "in", 2)
    page = openpyxl.load_workbook(tmp_path / "a.xlsx")[WORKINGS]
    constants = {page.cell(row, 1).value: page.cell(row, 2).value for row in range(1, 11)}
    book = default_shop_book()
    assert page.sheet_state == "hidden"
    assert constants == {
        "pitch": book.value("pitch"),
        "usual_head": book.value("default_head_width"),
        "usual_head_u": book.value("default_head_width_u"),
        "u_set": book.value("u_set"),
        "slip_k": book.value("slip_k"),
        "slip_k_second": book.value("slip_k_second"),
        "angle_spread": book.value("angle_spread"),
        "pitch_low": book.value("pitch_low"),
        "pitch_high": book.value("pitch_high"),
        "pitch_doubt": PITCH_DOUBT,
    }


def test_formulas_stay_within_what_office_programs_take():
    # ECMA-376 leaves it to the program; common limits are 8,192 signs and 64 levels of functions (from memory).
    for name, formula in section_formulas(6).items():
        assert len(formula) < 2_000, name
        assert _deepest(formula) < 40, name


def _deepest(formula):
    depth = deepest = 0
    quoted = False
    for sign in formula:
        quoted ^= sign == '"'
        depth += 0 if quoted else (sign == "(") - (sign == ")")
        deepest = max(deepest, depth)
    return deepest
