import pickle
from datetime import date, datetime

import openpyxl
import pytest

from little_surveys import IDENTITY, SECTION, little_survey, little_workbook
from railwright.reading.survey import NotASurvey, read_survey

TENOR = SECTION | {"register": "tenor", "span": "12 1/8"}


def read(path, *sections, **more):
    return read_survey(little_survey(path / "a.xlsx", *sections, **more), "week 7/a.xlsx")


def test_a_survey_becomes_a_record(tmp_path):
    survey, troubles = read(tmp_path, {k: SECTION.get(k) for k in ALL_KEYS}, **BLANKS | {"head_width": "3/8"})
    assert troubles == []
    assert (survey.file, survey.order_no, survey.serial, survey.unit) == ("week 7/a.xlsx", "T-1", "12345", "in")
    assert (survey.survey_date, survey.needed_by) == (date(2031, 3, 4), date(2031, 4, 1))
    assert (survey.step_mm, survey.head_width_mm, survey.cable_run_mm) == (3.175, 9.525, None)
    (section,) = survey.sections
    assert (section.number, section.register, section.dampers) == (1, "bass", 20)
    # 11 1/8, 3 7/8 and 5/8 in at 25.4 mm (NIST Handbook 44, Appendix C)
    assert (section.span_mm, section.run_mm, section.gauge_low_mm) == (282.575, 98.425, 15.875)
    assert (section.angle_1_deg, section.angle_2_deg, section.strut, section.screws) == (78.0, None, False, ())


def test_every_answer_keeps_its_cell_and_its_text(tmp_path):
    survey, _ = read(tmp_path, SECTION)
    answer = survey.answers["s1_span"]
    assert (answer.sheet, answer.cell, answer.text, answer.value) == ("Readings", "B13", "11 1/8", 282.575)
    assert survey.answers["reading_step"].value == "1/8"
    assert isinstance(answer.value, float)


def test_cells_may_be_moved_anywhere(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", SECTION)
    book = openpyxl.load_workbook(path)
    book["Readings"].title = "Moved 'about'"
    sheet = book["Moved 'about'"]
    sheet["H99"] = sheet["B13"].value
    sheet["B13"] = None
    for name in book.defined_names.values():
        name.attr_text = name.attr_text.replace("Readings!", "'Moved ''about'''!").replace("$B$13", "$H$99")
    book.save(path)
    survey, _ = read_survey(path, "a.xlsx")
    assert survey.sections[0].span_mm == 282.575
    assert survey.answers["s1_span"].cell == "H99"


def test_problems_are_values_in_the_answers(tmp_path):
    survey, _ = read(tmp_path, SECTION | {"span": datetime(2026, 3, 8), "dampers": "many", "strut": "perhaps"})
    problems = {key: answer.problem for key, answer in survey.answers.items() if answer.problem}
    assert problems == {
        "s1_span": "date_in_length_cell",
        "s1_dampers": "text_in_number_cell",
        "s1_strut": "unknown_choice",
    }
    assert (survey.sections[0].span_mm, survey.sections[0].dampers) == (None, None)
    assert "3/8 or 8/3" in survey.answers["s1_span"].hint


def test_a_finer_written_reading_overrides_the_step(tmp_path):
    survey, _ = read(tmp_path, SECTION | {"run": "3 28/32"})
    assert survey.steps_mm == {"s1_run": 0.79375}
    assert survey.step_of("s1_run") == 0.79375
    assert survey.step_of("s1_span") == 3.175


def test_blank_sections_at_the_treble_end_are_left_out(tmp_path):
    blank = dict.fromkeys(SECTION)
    survey, _ = read(tmp_path, SECTION, TENOR, blank, blank)
    assert [section.number for section in survey.sections] == [1, 2]


def test_a_blank_section_between_filled_ones_stays(tmp_path):
    survey, _ = read(tmp_path, SECTION, dict.fromkeys(SECTION), TENOR)
    assert [section.register for section in survey.sections] == ["bass", None, "tenor"]


def test_spaces_alone_do_not_fill_a_section(tmp_path):
    survey, _ = read(tmp_path, SECTION, dict.fromkeys(SECTION) | {"span": " \u00a0 "})
    assert len(survey.sections) == 1


def test_one_unreadable_answer_does_fill_a_section(tmp_path):
    survey, _ = read(tmp_path, SECTION, dict.fromkeys(SECTION) | {"span": "?"})
    assert len(survey.sections) == 2


def test_a_survey_with_no_section_filled_has_none(tmp_path):
    survey, _ = read(tmp_path, dict.fromkeys(SECTION))
    assert survey.sections == ()
    assert survey.answers["s1_dampers"].cell == "B12"


class TestUnits:
    def test_without_a_unit_nothing_is_guessed(self, tmp_path):
        survey, _ = read(tmp_path, SECTION | {"run": "98 mm"}, unit=None)
        assert (survey.sections[0].span_mm, survey.sections[0].run_mm) == (None, 98.0)
        assert survey.answers["s1_span"].problem == "unit_unknown"
        assert survey.step_mm == 3.175

    def test_a_step_of_the_other_unit_gives_no_step(self, tmp_path):
        survey, _ = read(tmp_path, SECTION, reading_step="1")
        assert survey.step_mm is None
        assert survey.answers["reading_step"].value == "1"

    def test_a_millimetre_sheet(self, tmp_path):
        section = SECTION | {"span": 282.5, "run": "98", "gauge_low": 16, "gauge_high": "15,9"}
        survey, _ = read(tmp_path, section, unit="mm", reading_step=0.5)
        assert (survey.step_mm, survey.sections[0].span_mm, survey.sections[0].gauge_high_mm) == (0.5, 282.5, 15.9)

    def test_a_step_that_became_a_day(self, tmp_path):
        survey, _ = read(tmp_path, SECTION, reading_step=datetime(2026, 1, 8))
        assert survey.step_mm == 3.175

    def test_days_counted_from_1904(self, tmp_path):
        path = little_survey(tmp_path / "a.xlsx", SECTION | {"span": 44627})
        book = openpyxl.load_workbook(path)
        book.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
        book.save(path)
        survey, _ = read_survey(path, "a.xlsx")
        assert "8 March 2026" in survey.answers["s1_span"].hint


class TestNames:
    def test_a_missing_name_is_told(self, tmp_path):
        survey, troubles = read(tmp_path, FULL, names={"s1_span": None}, **BLANKS)
        assert [trouble.name for trouble in troubles] == ["s1_span"]
        assert "“Span over the heads” of section 1" in troubles[0].sentence
        assert survey.sections[0].span_mm is None
        assert "s1_span" not in survey.answers

    def test_a_deleted_row_is_told(self, tmp_path):
        _, troubles = read(tmp_path, FULL, names={"s1_run": "Readings!#REF!", "site": "#REF!"}, **BLANKS)
        assert [(trouble.name, "deleted" in trouble.reason) for trouble in troubles] == [
            ("site", True),
            ("s1_run", True),
        ]

    def test_two_names_on_one_cell_are_told(self, tmp_path):
        survey, troubles = read(tmp_path, FULL, names={"s1_run": "Readings!$B$20"}, **BLANKS)
        shared = [key for key, answer in survey.answers.items() if answer.cell == "B20"]
        assert len(shared) == 1 and shared != ["s1_run"]
        assert [trouble.name for trouble in troubles] == ["s1_run"]
        assert "points at the cell of" in troubles[0].sentence

    def test_the_deleted_column_of_an_unused_section_is_no_loss(self, tmp_path):
        gone = {f"s2_{key}": "Readings!#REF!" for key in ALL_KEYS}
        _, troubles = read(tmp_path, FULL, names=gone, **BLANKS)
        assert troubles == []

    def test_names_count_in_any_capitals(self, tmp_path):
        survey, _ = read(tmp_path, FULL, names={"s1_span": None, "S1_Span": "Readings!$B$21"}, **BLANKS)
        assert survey.answers["s1_span"].cell == "B21"

    @pytest.mark.parametrize("known, is_survey", [(0, False), (4, False), (5, True)])
    def test_a_workbook_with_hardly_a_name_is_no_survey(self, tmp_path, known, is_survey):
        answers = {"price": 3} | dict(list(IDENTITY.items())[:known])
        path = little_workbook(tmp_path / "b.xlsx", answers)
        if is_survey:
            assert read_survey(path, "b.xlsx")[0].order_no == "T-1"
            return
        with pytest.raises(NotASurvey) as caught:
            read_survey(path, "b.xlsx")
        assert caught.value.reason.endswith(".") and caught.value.remedy.endswith(".")

    def test_the_refusal_travels_between_processes(self):
        again = pickle.loads(pickle.dumps(NotASurvey("It is none.", "Send another.")))
        assert (again.reason, again.remedy) == ("It is none.", "Send another.")


def _section_keys():
    from railwright.survey.fields import SECTION_FIELDS

    return [field.key for field in SECTION_FIELDS]


def _blank_identity():
    from railwright.survey.fields import INSTRUMENT_FIELDS

    return {field.key: None for field in INSTRUMENT_FIELDS if field.key not in IDENTITY}


ALL_KEYS = _section_keys()
FULL = {key: SECTION.get(key) for key in ALL_KEYS}
BLANKS = _blank_identity()
