from datetime import date, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from little_surveys import Cell
from railwright.reading.numbers import parse_angle, parse_count
from railwright.reading.parsed import Conventions
from railwright.reading.values import parse_answer, parse_step, parse_unit, step_in_mm
from railwright.reading.words import parse_choice, parse_date, parse_screws, parse_text, parse_yes_no
from railwright.survey.fields import REGISTERS, STEPS, all_fields

SHEET = Conventions("in", Fraction("3.175"))


def outcome(parsed):
    return parsed.problem or parsed.value


class TestCounts:
    @pytest.mark.parametrize(
        "answer, count", [(28, 28), (28.0, 28), ("28", 28), (" 28 ", 28), ("28,0", 28), (0, 0), (88, 88)]
    )
    def test_whole_numbers(self, answer, count):
        assert outcome(parse_count(Cell(answer), SHEET)) == count

    @pytest.mark.parametrize(
        "answer, problem",
        [
            (28.5, "not_a_whole_number"),
            ("27 1/2", "not_a_whole_number"),
            (-1, "not_a_whole_number"),
            ("-1", "not_a_whole_number"),
            (89, "impossible_count"),
            ("277", "impossible_count"),
            ("twenty", "text_in_number_cell"),
            ("28 (27?)", "text_in_number_cell"),
            ("28 29", "text_in_number_cell"),
            (True, "text_in_number_cell"),
            (date(2026, 3, 8), "date_in_number_cell"),
            ("3-Aug", "date_in_number_cell"),
            (46089, "date_in_number_cell"),
            (float("inf"), "error_in_cell"),
        ],
    )
    def test_anything_else(self, answer, problem):
        assert parse_count(Cell(answer), SHEET).problem == problem


class TestAngles:
    @pytest.mark.parametrize(
        "answer", [78.5, "78.5", "78,5", "78.5°", "78,5 deg", "78 1/2°", "78° 30'", "78°30′", "78.5 degrees"]
    )
    def test_spellings_of_one_angle(self, answer):
        assert outcome(parse_angle(Cell(answer), SHEET)) == Fraction("78.5")

    @pytest.mark.parametrize(
        "answer, problem",
        [
            (0, "impossible_angle"),
            (0.5, None),
            (179.5, None),
            (180, "impossible_angle"),
            (-78, "impossible_angle"),
            ("-78°", "impossible_angle"),
            ("78°70'", "text_in_number_cell"),
            ("78 or 79", "text_in_number_cell"),
            ("78/79", "text_in_number_cell"),
            ("steep", "text_in_number_cell"),
            (date(2026, 7, 8), "date_in_number_cell"),
        ],
    )
    def test_limits_and_words(self, answer, problem):
        assert parse_angle(Cell(answer), SHEET).problem == problem


class TestYesNoAndChoices:
    @pytest.mark.parametrize("answer", ["yes", "Yes", " YES ", "y", "Y.", True, "TRUE"])
    def test_yes(self, answer):
        assert outcome(parse_yes_no(Cell(answer))) is True

    @pytest.mark.parametrize("answer", ["no", "No", "n", "NO\u00a0", False, "false"])
    def test_no_is_an_answer_and_not_a_blank(self, answer):
        assert parse_yes_no(Cell(answer)).value is False

    @pytest.mark.parametrize("answer", ["maybe", "yes?", "x", "yes no", 1, 0, "ja", date(2026, 3, 8)])
    def test_neither(self, answer):
        assert outcome(parse_yes_no(Cell(answer))) == "unknown_choice"

    def test_a_blank(self):
        assert outcome(parse_yes_no(Cell())) is None

    @pytest.mark.parametrize("answer", ["bass", " Bass", "BASS ", "Bass."])
    def test_a_choice_in_any_capitals(self, answer):
        assert outcome(parse_choice(Cell(answer), REGISTERS)) == "bass"

    @pytest.mark.parametrize("answer", ["basso", "b", 1, "bass tenor", True])
    def test_not_among_the_choices(self, answer):
        assert outcome(parse_choice(Cell(answer), REGISTERS)) == "unknown_choice"


class TestUnitAndStep:
    @pytest.mark.parametrize(
        "answer, unit", [("in", "in"), ("Inches", "in"), ('"', "in"), ("″", "in"), ("in.", "in"), ("MM", "mm")]
    )
    def test_units(self, answer, unit):
        assert outcome(parse_unit(Cell(answer))) == unit

    @pytest.mark.parametrize("answer", ["cm", "ft", "inch or mm", 1])
    def test_no_unit(self, answer):
        assert outcome(parse_unit(Cell(answer))) == "unknown_choice"

    @pytest.mark.parametrize(
        "answer, step",
        [
            *((step, step) for step in STEPS),
            *[("1/8 in", "1/8"), ('1/16"', "1/16"), ("⅛", "1/8"), ("1 mm", "1"), ("0,5", "0.5"), ("0.5 mm", "0.5")],
            *[(0.125, "1/8"), (0.0625, "1/16"), (0.03125, "1/32"), (1, "1"), (0.5, "0.5")],
            *[
                (date(2026, 1, 8), "1/8"),
                (date(2026, 8, 1), "1/8"),
                (date(2026, 1, 16), "1/16"),
                (date(2016, 1, 1), "1/16"),
            ],
            *[(date(1932, 1, 1), "1/32"), (46030, "1/8"), ("8-Jan", "1/8"), ("Jan-32", "1/32")],
        ],
    )
    def test_steps(self, answer, step):
        assert outcome(parse_step(Cell(answer), SHEET)) == step

    @pytest.mark.parametrize(
        "answer", ["1/4", "1 in", "1/8 mm", "2", 0.25, "fine", date(2026, 3, 8), date(2026, 1, 1), True]
    )
    def test_no_step(self, answer):
        assert outcome(parse_step(Cell(answer), SHEET)) == "unknown_choice"

    def test_a_step_taken_back_from_a_day_says_so(self):
        assert "1/8" in parse_step(Cell(date(2026, 1, 8)), SHEET).hint
        assert parse_step(Cell("1/8"), SHEET).hint == ""

    def test_a_step_belongs_to_a_unit(self):
        assert step_in_mm("1/8", "in") == step_in_mm("1/8", None) == Fraction("3.175")
        assert step_in_mm("0.5", "mm") == Fraction(1, 2)
        assert step_in_mm("1/8", "mm") is step_in_mm("1", "in") is None


class TestDates:
    @pytest.mark.parametrize(
        "answer",
        [
            *[date(2031, 4, 9), datetime(2031, 4, 9, 8, 30), "2031-04-09", "2031-4-9", "2031/04/09", "2031.04.09"],
            *["9.4.2031", "09.04.2031", "9. 4. 2031", "9 April 2031", "9-Apr-2031", "April 9, 2031", "9. April 2031"],
        ],
    )
    def test_spellings_of_one_day(self, answer):
        assert outcome(parse_date(Cell(answer), SHEET)) == date(2031, 4, 9)

    def test_day_first_is_read_and_said(self):
        assert parse_date(Cell("9.4.2031"), SHEET).hint == "Read as day.month.year: 9 April 2031."
        assert parse_date(Cell("2031-04-09"), SHEET).hint == ""

    def test_slashes_are_read_only_where_one_order_is_possible(self):
        assert outcome(parse_date(Cell("4/9/2031"), SHEET)) == "unreadable_date"
        assert "2031-09-04 or 2031-04-09" in parse_date(Cell("4/9/2031"), SHEET).hint
        assert outcome(parse_date(Cell("4/13/2031"), SHEET)) == date(2031, 4, 13)
        assert outcome(parse_date(Cell("13/4/2031"), SHEET)) == date(2031, 4, 13)
        assert outcome(parse_date(Cell("4/4/2031"), SHEET)) == date(2031, 4, 4)

    @pytest.mark.parametrize(
        "answer",
        ["2031-02-29", "2031-13-01", "31.4.2031", "9.4.31", "soon", "9 April", "1999-12-31", "2100-01-01", 12, True],
    )
    def test_no_day(self, answer):
        assert outcome(parse_date(Cell(answer), SHEET)) == "unreadable_date"

    def test_a_day_number_is_named_but_not_taken(self):
        parsed = parse_date(Cell(46089.0), SHEET)
        assert parsed.problem == "unreadable_date"
        assert "8 March 2026" in parsed.hint


class TestScrews:
    @pytest.mark.parametrize(
        "answer", ["7; 11", "7;11", "7, 11", "7,11", "7 11", "11; 7", "7 and 11", "7 & 11", "7;  11;", "7\u00a0;\n11"]
    )
    def test_two_screws(self, answer):
        assert outcome(parse_screws(Cell(answer), SHEET)) == (7, 11)

    @pytest.mark.parametrize("answer", ["none", "None", "no", "NO.", "no screws"])
    def test_none(self, answer):
        assert outcome(parse_screws(Cell(answer), SHEET)) == ()

    @pytest.mark.parametrize("answer", [0, "0", 0.0])
    def test_a_screw_beyond_the_last_head_is_not_none(self, answer):
        assert outcome(parse_screws(Cell(answer), SHEET)) == (0,)

    def test_one_screw_as_a_number_cell(self):
        assert outcome(parse_screws(Cell(7.0), SHEET)) == (7,)

    @pytest.mark.parametrize(
        "answer",
        [7.11, -1, 89, "89", "7; 7", "7/11", "7.11", "7-11", "7½", "7 1/2", "all", "7; x", "?", "-", True, "7;;11"],
    )
    def test_unreadable(self, answer):
        assert outcome(parse_screws(Cell(answer), SHEET)) == "unreadable_screws"

    @pytest.mark.parametrize("answer", [date(2026, 7, 11), date(2026, 11, 7), "11-Jul", "7-Nov", "7. Nov", 46214])
    def test_a_day_shows_both_readings(self, answer):
        parsed = parse_screws(Cell(answer), SHEET)
        assert parsed.problem == "date_in_screws_cell"
        assert "11; 7 or 7; 11" in parsed.hint

    def test_a_blank_is_not_none(self):
        assert parse_screws(Cell(), SHEET).value is None


class TestText:
    @pytest.mark.parametrize(
        "answer, text",
        [("  K 5 \n", "K 5"), ("0123", "0123"), (Cell(1042.0, text="1042"), "1042"), ("7\x00\x077", "77")],
    )
    def test_every_letter_and_figure_stays(self, answer, text):
        cell = answer if isinstance(answer, Cell) else Cell(answer)
        assert outcome(parse_text(cell)) == text

    def test_an_order_number_turned_into_a_day(self):
        parsed = parse_text(Cell(date(2026, 12, 3)))
        assert parsed.problem == "date_in_text_cell"
        assert "12/3 or 3/12" in parsed.hint

    @pytest.mark.parametrize("number, problem", [(999_999_999_999_999.0, None), (1e15, "figures_lost")])
    def test_long_numbers_lose_figures(self, number, problem):
        assert parse_text(Cell(number)).problem == problem


VALUES = st.one_of(
    st.none(),
    st.text(max_size=80),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.dates(),
    st.datetimes(),
    st.times(),
    st.text(alphabet="0123456789;,/ .-°'none", max_size=20),
)


@given(st.sampled_from(list(all_fields(1))), VALUES, st.sampled_from([SHEET, Conventions("mm"), Conventions()]))
def test_no_content_breaks_any_parser(field, value, sheet):
    parsed = parse_answer(field, Cell(value), sheet)
    assert parsed.value is None or parsed.problem is None


@given(st.sampled_from(list(all_fields(1))), st.sampled_from(["error", "formula_without_result", "blank", "strange"]))
def test_no_kind_of_cell_breaks_any_parser(field, kind):
    assert parse_answer(field, Cell(None, kind, "#REF!"), SHEET).value in (None, "#REF!")
