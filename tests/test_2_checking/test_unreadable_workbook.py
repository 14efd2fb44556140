from little_surveys import SECTION, little_survey
from railwright.book.default_catalogue import default_shop_book
from railwright.one_file import examine

#: One section that is the whole keyboard of its piano: quick to compute.
WHOLE = SECTION | {"notes": 20}


def rules_of(path):
    return [(each.rule, each.severity) for each in examine(path, path.name, default_shop_book()).findings]


def test_a_file_that_is_no_workbook(tmp_path):
    path = tmp_path / "a.xlsx"
    path.write_bytes(b"not a workbook")
    assert rules_of(path) == [("unreadable_workbook", "fix")]


def test_a_file_that_is_gone(tmp_path):
    assert rules_of(tmp_path / "gone.xlsx") == [("unreadable_workbook", "fix")]


def test_a_workbook_is_quiet(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", WHOLE)
    assert "unreadable_workbook" not in [rule for rule, _ in rules_of(path)]
