from little_surveys import SECTION, little_survey
from railwright.book.default_catalogue import default_shop_book
from railwright.one_file import examine

#: One section that is the whole keyboard of its piano: quick to compute.
WHOLE = SECTION | {"notes": 20}


def findings_of(path):
    found = examine(path, path.name, default_shop_book()).findings
    return [(each.field, each.severity) for each in found if each.rule == "answer_cell_lost"]


def test_a_name_whose_cell_was_deleted_and_a_name_that_is_gone(tmp_path):
    names = {"s1_span": "#REF!", "s1_run": None}
    path = little_survey(tmp_path / "a.xlsx", WHOLE, names=names)
    assert {("s1_span", "fix"), ("s1_run", "fix")} <= set(findings_of(path))


def test_names_that_stand_are_quiet(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", WHOLE)
    assert not {("s1_span", "fix"), ("s1_run", "fix")} & set(findings_of(path))
