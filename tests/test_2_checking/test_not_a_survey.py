from little_surveys import SECTION, little_survey, little_workbook
from railwright.book.default_catalogue import default_shop_book
from railwright.one_file import examine

#: One section that is the whole keyboard of its piano: quick to compute.
WHOLE = SECTION | {"notes": 20}


def rules_of(path):
    return [(each.rule, each.severity) for each in examine(path, path.name, default_shop_book()).findings]


def test_a_workbook_without_a_surveys_names(tmp_path):
    path = little_workbook(tmp_path / "a.xlsx", {"total": 12, "notes": "an invoice"})
    assert rules_of(path) == [("not_a_survey", "fix")]


def test_a_survey_is_quiet(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", WHOLE)
    assert "not_a_survey" not in [rule for rule, _ in rules_of(path)]
