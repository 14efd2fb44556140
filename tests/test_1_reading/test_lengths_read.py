from datetime import date, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from little_surveys import Cell
from railwright.reading import lengths, spelling
from railwright.reading.lengths import parse_length
from railwright.reading.parsed import Conventions

EIGHTHS = Conventions("in", Fraction("3.175"))
SIXTEENTHS = Conventions("in", Fraction("1.5875"))
MILLIMETRES = Conventions("mm", Fraction(1))
NO_UNIT = Conventions()
UNITS_AND_STEPS = [("in", Fraction("3.175")), ("in", None), ("mm", Fraction(1)), ("mm", Fraction(1, 2)), (None, None)]


def read(answer, sheet=EIGHTHS, zero=False):
    return parse_length(answer if isinstance(answer, Cell) else Cell(answer), sheet, zero)


TWELVE_AND_AN_EIGHTH = [
    *("12 1/8", "12-1/8", '12-1/8"', "12 ⅛", "12⅛", "12.125", "12,125", "12 1/8 in", "12 1/8in.", "12 1/8 inches"),
    *("12\u00a01/8", "12\u20091/8", "12\u202f1⁄8", "12 1∕8", "12 ¹⁄₈", "12¹⁄₈", "12‑1/8", "12–1/8", "12 + 1/8"),
    *(
        "12 1/8″",
        "12 1/8''",
        "12 1/8”",
        "12 1/8′′",
        "12 1/8 ’’",
        "１２ 1/8",
        "  12   1/8 ",
        "12 1 / 8",
        "012 1/8",
        "+12 1/8",
    ),
    *("1' 0 1/8\"", "1 ft 0 1/8 in", "1′ 0⅛″", "\ufeff12 1/8", "12 2/16", "30.7975 cm", "307.975mm", "0,307975 m"),
    *("12 and 1/8", "12 & 1/8 in", "1 ft 0 and 1/8 in"),
]


@pytest.mark.parametrize("spelled", TWELVE_AND_AN_EIGHTH)
def test_every_common_spelling_of_the_same_length(spelled):
    # 12 1/8 in = 12.125 x 25.4 mm (NIST Handbook 44, Appendix C: the inch is 25.4 mm exactly).
    assert read(spelled).value == Fraction("307.975")


@pytest.mark.parametrize(
    "sign, eighths", [("⅛", 1), ("¼", 2), ("⅜", 3), ("½", 4), ("⅝", 5), ("¾", 6), ("⅞", 7), ("⅟8", 1)]
)
def test_fraction_characters(sign, eighths):
    assert read(sign).value == read("3" + sign).value - 3 * Fraction("25.4") == eighths * Fraction("3.175")


@pytest.mark.parametrize(
    "spelled, mm", [("308", 308), ("308 mm", 308), ("30,8 cm", 308), ("308.5", Fraction("308.5")), ("12 in", "304.8")]
)
def test_lengths_of_a_millimetre_sheet(spelled, mm):
    assert read(spelled, MILLIMETRES).value == Fraction(mm)


@pytest.mark.parametrize("number, mm", [(12.125, "307.975"), (12, "304.8"), (0.1, "2.54"), (1e-3, "0.0254")])
def test_numbers_in_cells_are_taken_as_the_decimal_that_is_seen(number, mm):
    assert read(number).value == Fraction(mm)


def test_a_blank_is_neither_an_answer_nor_a_problem():
    for blank in (Cell(), Cell("  \u00a0"), Cell("", "blank")):
        assert (read(blank).value, read(blank).problem) == (None, None)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "twelve",
            "12?",
            "~12",
            "12 1/8 or so",
            "ca. 12",
            "span 12",
            "12 1/8 1/16",
            "1/8/2",
            "12-13",
            "12 and 13",
            "and 1/8",
            "12 - 1/8",
            "-",
        ),
        *("1e3", "inf", "nan", "0x10", "12 kg", "12 pt", "12 mil", '12" 1/8', "1' 13\"", "٣", "x" * 5000, "9" * 5000),
    ],
)
def test_words_and_half_numbers_are_refused(text):
    assert read(text).problem == "text_in_number_cell"
    assert read(text).value is None


@pytest.mark.parametrize("value", [True, False])
def test_a_truth_value_is_no_length(value):
    assert read(value).problem == "text_in_number_cell"


@pytest.mark.parametrize(
    "cell, problem",
    [
        (Cell(None, "error", "#REF!"), "error_in_cell"),
        (Cell(float("inf")), "error_in_cell"),
        (Cell(float("nan")), "error_in_cell"),
        (Cell(None, "formula_without_result"), "formula_without_result"),
    ],
)
def test_cells_that_hold_no_answer(cell, problem):
    assert read(cell).problem == problem


@pytest.mark.parametrize("fraction", ["1/3", "1/10", "12 3/5", "1/0", "1/128", "0/0"])
def test_fractions_that_no_rule_has(fraction):
    assert read(fraction).problem == "impossible_fraction"
    assert "on no rule" in read(fraction).hint


@pytest.mark.parametrize(
    "improper, proper", [("9/8", "1 1/8"), ("12 9/8", "13 1/8"), ("8/8", "write 1."), ("8/3", "no rule")]
)
def test_improper_fractions_are_asked_about(improper, proper):
    assert read(improper).problem == "impossible_fraction"
    assert proper in read(improper).hint


def test_zero_eighths_are_no_fault():
    assert read("12 0/8").value == Fraction("304.8")


def test_an_inch_fraction_on_a_millimetre_sheet_is_asked_about():
    assert read("12 1/8", MILLIMETRES).problem == "fraction_in_mm_sheet"
    assert read("12 1/8 in", MILLIMETRES).problem is None
    assert read("12 1/2 mm", MILLIMETRES).value == Fraction("12.5")


@pytest.mark.parametrize("nothing", [0, "0", "0 mm", "0/8"])
def test_nothing_counts_only_where_nothing_can_be(nothing):
    assert read(nothing).problem == "length_not_above_zero"
    assert read(nothing, zero=True).value == 0


@pytest.mark.parametrize("below", [-1, "-1/8", "−3", "- 308 mm", -0.001])
def test_nothing_is_below_zero(below):
    assert read(below, zero=True).problem == "length_not_above_zero"


def test_feet_are_taken_where_they_make_sense():
    assert read("1.5 ft").value == Fraction("457.2")
    assert read("1' 2\"").value == Fraction("355.6")
    assert read("6 ft").value == Fraction("1828.8")
    # One mark instead of two: nobody measures twelve feet at a damper line.
    assert read("12'").problem == "impossible_length"
    assert "12 in" in read("12'").hint


def test_a_comma_is_a_decimal_comma_unless_it_may_part_thousands():
    assert read("12,125").value == Fraction("307.975")
    assert read("1,25", MILLIMETRES).value == Fraction("1.25")
    assert read("3,175", MILLIMETRES).value == Fraction("3.175")  # 3 175 mm would be longer than the piano
    assert read("1,234", MILLIMETRES).problem == read("1.234 mm").problem == "ambiguous_number"
    assert "1.234 mm or 1234 mm" in read("1,234", MILLIMETRES).hint


@pytest.mark.parametrize("text", ["1,234.5", "1.234,5", "1 234", "1\u202f234 mm"])
def test_thousands_signs_are_asked_about(text):
    assert read(text, MILLIMETRES).problem == "ambiguous_number"


@pytest.mark.parametrize(
    "cell, typed",
    [
        (date(2026, 3, 8), "3/8 or 8/3"),  # 3/8 in a program that puts the month first
        (date(2026, 8, 3), "3/8 or 8/3"),  # 3/8 in one that puts the day first
        (datetime(2026, 3, 8, 0, 0), "3/8 or 8/3"),
        (date(2026, 1, 8), "1/8 or 8/1"),
        (date(2016, 1, 1), "1/16 or 1 1/16"),
        (date(1932, 1, 1), "1/32 or 1 1/32"),
        (date(2008, 3, 7), "3 7/8 or 7 3/8"),
        (46089, "3/8 or 8/3"),  # 8 March 2026 in a cell with a number format
        (46089.0, "3/8 or 8/3"),
        (39514, "3 7/8 or 7 3/8"),  # 7 March 2008
        (11689, "1/32 or 1 1/32"),  # 1 January 1932
        ("46089", "3/8 or 8/3"),
        *((text, "3/8 or 8/3") for text in ("3-Aug", "8. Mrz", "8-mar", "Aug 3", "3 août", "2026-03-08", "8 mars")),
        *((text, "3/8 or 8/3") for text in ("03.08.2026", "3/8/2026", "3.8.", "8-Mar-26", "March 8, 2026")),
        ("Jan-32", "1/32 or 1 1/32"),
    ],
)
def test_a_day_where_a_length_belongs_is_explained_by_what_may_have_been_typed(cell, typed):
    for sheet in (EIGHTHS, MILLIMETRES):
        assert read(cell, sheet).problem == "date_in_length_cell"
        assert typed in read(cell, sheet).hint


def test_a_day_number_of_the_other_date_system():
    # 8 March 2026 is 46089 days after 1899-12-30 and 44627 after 1904-01-01 (ECMA-376-1, 18.17.4.1).
    assert (date(2026, 3, 8) - date(1904, 1, 1)).days == 44627
    hint = read(44627, Conventions("in", Fraction("3.175"), system_1904=True)).hint
    assert "8 March 2026" in hint and "3/8 or 8/3" in hint


@pytest.mark.parametrize(
    "number, problem",
    [
        (39_999, "impossible_length"),
        (40_000, "date_in_length_cell"),
        (55_000, "date_in_length_cell"),
        (55_001, "impossible_length"),
    ],
)
def test_the_range_of_day_numbers(number, problem):
    assert read(number, MILLIMETRES).problem == problem


def test_a_span_in_millimetres_read_as_inches_stays_a_number():
    assert read(420).value == Fraction("10668")
    assert read(984).value == Fraction("24993.6")
    assert read(985).problem == "impossible_length"


@pytest.mark.parametrize("number, typed", [(12125, "12.125"), (1125, "1.125"), (3500, "3.500")])
def test_a_decimal_sign_taken_for_thousands_is_explained(number, typed):
    assert read(number).problem == "impossible_length"
    assert f"may be {typed}," in read(number).hint


@pytest.mark.parametrize("answer", ["12", 12, "0", 0.0, "12 1/8"])
@pytest.mark.parametrize("system_1904", [False, True])
def test_an_answer_that_is_remembered_belongs_to_its_sheet_alone(answer, system_1904):
    sheets = [Conventions(*unit_and_step, system_1904) for unit_and_step in UNITS_AND_STEPS]
    asked = [(sheet, zero) for sheet in sheets for zero in (False, True)]
    first = [read(answer, sheet, zero) for sheet, zero in asked]
    lengths._from_written.cache_clear()
    lengths._from_number.cache_clear()
    assert [read(answer, sheet, zero) for sheet, zero in reversed(asked)] == first[::-1]
    assert read(40_000, Conventions("mm")).hint != read(40_000, Conventions("mm", system_1904=True)).hint


def test_long_texts_are_not_remembered():
    lengths._from_written.cache_clear()
    spelling.plain.cache_clear()
    for text in ("1" * 241, "a " * 10_000):
        assert read(text).problem == "text_in_number_cell"
    assert lengths._from_written.cache_info().currsize == spelling.plain.cache_info().currsize == 0


def test_without_a_unit_only_lengths_that_bring_their_own_are_read():
    assert read("12 1/8", NO_UNIT).problem == read(12, NO_UNIT).problem == "unit_unknown"
    assert read("12 1/8 in", NO_UNIT).value == Fraction("307.975")
    assert read("1/3", NO_UNIT).problem == "impossible_fraction"


@pytest.mark.parametrize(
    "answer, sheet, step",
    [
        ("12 1/8", EIGHTHS, None),
        ("12 1/4", EIGHTHS, None),
        ("8/32", EIGHTHS, "0.79375"),  # written in 32nds
        ("1/16", EIGHTHS, "1.5875"),
        ("12 2/16", EIGHTHS, "1.5875"),
        ("12 2/16", SIXTEENTHS, None),
        ("12.0625", EIGHTHS, "1.5875"),  # between the marks of eighths
        (12.0625, EIGHTHS, "1.5875"),
        (12.125, EIGHTHS, None),
        (12.3, EIGHTHS, None),  # on no mark at all: it shows nothing
        ("308 mm", EIGHTHS, "1"),
        ("308.5 mm", EIGHTHS, "0.5"),
        ("308,3 mm", EIGHTHS, "0.1"),
        ("30,8 cm", EIGHTHS, "1"),
        ("31 cm", EIGHTHS, "1"),
        ("0.308 m", EIGHTHS, "1"),
        (308, MILLIMETRES, None),
        (308.5, MILLIMETRES, "0.5"),
        (308.00000000001, MILLIMETRES, None),
        ("30.8 cm", MILLIMETRES, "1"),
        ("12 in", MILLIMETRES, "3.175"),
        ("12 1/32 in", MILLIMETRES, "0.79375"),
        ("3/4 in", MILLIMETRES, "3.175"),
        ("1.5 ft", MILLIMETRES, "3.175"),
    ],
)
def test_the_step_that_the_writing_shows(answer, sheet, step):
    assert read(answer, sheet).step_mm == (None if step is None else Fraction(step))


SPELLINGS = ["{w} {n}/{d}", "{w}-{n}/{d}", '{w} {n}/{d}"', "{w}\u00a0{n}⁄{d} in", "{w} {n}/{d}''", " {w}  {n} / {d} ″"]


@given(st.integers(0, 60), st.sampled_from([2, 4, 8, 16, 32, 64]), st.data())
def test_any_inch_fraction_comes_back_in_every_spelling(whole, denominator, data):
    numerator = data.draw(st.integers(1, denominator - 1))
    spelled = data.draw(st.sampled_from(SPELLINGS)).format(w=whole, n=numerator, d=denominator)
    assert read(spelled).value == (whole + Fraction(numerator, denominator)) * Fraction("25.4")


@given(st.integers(1, 20_000), st.sampled_from([" mm", "mm", " cm", "cm", " m"]), st.sampled_from(",."))
def test_any_tenth_of_a_millimetre_comes_back_in_every_metric_unit(tenths, unit, point):
    per_unit = {"mm": 10, "cm": 100, "m": 10_000}[unit.strip()]
    spelled = f"{tenths / per_unit:.4f}".replace(".", point) + unit
    assert read(spelled).value == Fraction(tenths, 10)


ANYTHING = st.one_of(
    st.text(max_size=300),
    st.text(alphabet="0123456789 /-+.,'\"⅛½⁄″′inmfcjaugrz°\u00a0", max_size=30),
    st.from_regex(r"[0-9]{1,4}[-/. ][0-9]{1,4}[-/. ]?[0-9]{0,4}( ?[a-z]{1,4})?", fullmatch=True),
)


@given(ANYTHING, st.sampled_from([EIGHTHS, MILLIMETRES, NO_UNIT]))
def test_no_text_breaks_the_reader_and_none_is_read_without_a_number(text, sheet):
    parsed = read(text, sheet, zero=True)
    assert (parsed.value is None) or (parsed.problem is None and 0 <= parsed.value <= 25_000)
    assert (parsed.value is not None) <= any(sign.isnumeric() for sign in text)


@given(st.floats(allow_nan=True, allow_infinity=True), st.sampled_from([EIGHTHS, MILLIMETRES, NO_UNIT]))
def test_no_number_breaks_the_reader(number, sheet):
    parsed = read(number, sheet)
    assert (parsed.value is None) == (parsed.problem is not None)
