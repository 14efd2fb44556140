from little_surveys import SECTION, little_survey
from railwright.book.default_catalogue import default_shop_book
from railwright.one_file import examine

#: One section that is the whole keyboard of its piano: quick to compute.
WHOLE = SECTION | {"notes": 20}


def found(path, rule):
    return [each for each in examine(path, path.name, default_shop_book()).findings if each.rule == rule]


def test_optional_answers_without_a_cell_are_told_together_and_hold_nothing_up(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", WHOLE | {"singles": 8}, names={"s1_singles": "#REF!"})
    (told,) = found(path, "optional_cell_lost")
    assert told.severity == "note"
    assert "Damper head width" in told.message
    assert not found(path, "answer_cell_lost")


def test_a_needed_answer_is_not_among_them(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", WHOLE, names={"s1_span": "#REF!"})
    (told,) = found(path, "optional_cell_lost")
    assert "Span over the heads" not in told.message
    assert [each.field for each in found(path, "answer_cell_lost")] == ["s1_span"]


def test_a_gap_at_rest_is_needed_where_the_clear_gauge_is_lost_too(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", WHOLE, names={"s1_gauge_low": None})
    assert [each.field for each in found(path, "answer_cell_lost")] == ["s1_gauge_low"]


def test_names_of_sections_that_are_not_in_use_do_not_matter(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", WHOLE, {"register": None}, names={})
    assert all("(section 2)" not in each.message for each in found(path, "optional_cell_lost"))
