from little_surveys import SECTION, little_survey
from railwright import one_file
from railwright.book.default_catalogue import default_shop_book

#: One section that is the whole keyboard of its piano: quick to compute.
WHOLE = SECTION | {"notes": 20}


def rules_of(path):
    found = one_file.examine(path, path.name, default_shop_book()).findings
    return [(each.rule, each.severity, each.message) for each in found]


def test_a_fault_of_the_program_costs_only_its_file_and_is_named(tmp_path, monkeypatch):
    def fault(survey, book):
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr(one_file, "compute", fault)
    ((rule, severity, message),) = rules_of(little_survey(tmp_path / "a.xlsx", WHOLE))
    assert (rule, severity) == ("failed_inside", "fix")
    assert "ZeroDivisionError: by nothing" in message


def test_a_sound_run_is_quiet(tmp_path):
    path = little_survey(tmp_path / "a.xlsx", WHOLE)
    assert "failed_inside" not in [rule for rule, _, _ in rules_of(path)]
