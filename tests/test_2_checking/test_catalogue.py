"""The catalogue is whole: every rule explains itself, is tested, and says what computing and reading hand it."""

import ast
import re
from dataclasses import replace
from pathlib import Path
from string import Formatter

import pytest

import railwright
from helpers_checking import BOOK, blanked, changed, sound_survey, typed
from railwright.checking.base import SCOPES, catalogue, rules_of
from railwright.checking.run import check_survey
from railwright.survey.fields import all_fields
from railwright.survey.findings import SEVERITIES

SOURCE = Path(railwright.__file__).parent
ENTRIES = list(catalogue().values())
NAMES = [entry.name for entry in ENTRIES]

#: Words that name a remedy or nothing at all; a rule is named after what is wrong.
NOT_NAMES = re.compile(r"^(check|fix|validate|ensure|test|verify|is|has|rule)_|_(check|rule|error|warning|finding)$")


def trees(folder):
    """Parse every module of a package."""
    for path in sorted((SOURCE / folder).rglob("*.py")):
        yield ast.parse(path.read_text(encoding="utf-8"))


def first_arguments(folder, name):
    """List the texts that may be the first argument of a function, written out or assigned to a variable before."""
    for tree in trees(folder):
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == name:
                yield from texts_of(node.args[0], tree)


def texts_of(node, tree):
    if isinstance(node, ast.Name):
        values = [each.value for each in ast.walk(tree) if isinstance(each, ast.Assign) and names(each) == [node.id]]
        assert values, f"nothing is known of {node.id}"
        return {text for value in values for text in texts_of(value, tree)}
    if isinstance(node, ast.IfExp):
        return texts_of(node.body, tree) | texts_of(node.orelse, tree)
    assert isinstance(node, ast.Constant)
    return {node.value}


def names(assignment):
    return [target.id for target in assignment.targets if isinstance(target, ast.Name)]


def test_every_scope_has_rules_and_every_name_is_used_once():
    assert [scope for scope in SCOPES if not rules_of(scope)] == []
    files = [path.stem for path in (SOURCE / "checking").glob("*/*.py") if path.stem != "__init__"]
    assert sorted(files) == sorted(NAMES)


@pytest.mark.parametrize("entry", rules_of("cell"), ids=lambda entry: entry.name)
@pytest.mark.parametrize("said", [{}, {"problem": "unit_unknown"}, {"problem": "error_in_cell"}])
def test_no_cell_rule_has_anything_to_say_of_a_cell_that_was_simply_answered(entry, said):
    # check_survey relies on it: it asks no rule about such a cell.
    survey = sound_survey()
    answers = dict(survey.answers)
    spoiled = next(iter(answers))
    answers[spoiled] = replace(answers[spoiled], value=None, **said)
    survey = replace(survey, answers=answers)
    answered = [each for each in answers.values() if each.value is not None and each.problem is None and not each.hint]
    assert {each.field.kind for each in answered} == {each.kind for each in all_fields()}
    assert [hit for each in answered for hit in entry.check(each, survey)] == []


@pytest.mark.parametrize("name", NAMES)
def test_a_name_says_what_is_wrong(name):
    assert re.fullmatch(r"[a-z]+(_[a-z0-9]+)+", name)
    assert not NOT_NAMES.search(name)


@pytest.mark.parametrize("name", NAMES)
def test_a_rule_has_a_test_module_of_its_name(name):
    assert (Path(__file__).parent / f"test_{name}.py").is_file()


def test_a_test_module_has_a_rule():
    modules = {path.stem.removeprefix("test_") for path in Path(__file__).parent.glob("test_*.py")}
    others = {"any_survey", "catalogue", "consequences", "honest_surveys", "plausible", "run", "words"}
    assert modules - set(NAMES) <= others


@pytest.mark.parametrize("entry", ENTRIES, ids=NAMES)
def test_a_rule_explains_itself_in_whole_sentences(entry):
    assert entry.rule.severity in SEVERITIES
    for text in (entry.rule.catches, entry.rule.why, entry.rule.do):
        assert re.fullmatch(r"\S.*\S", text)
        assert text.endswith(".")
        assert text[0].isupper() or text[0].isdigit()


@pytest.mark.parametrize("entry", ENTRIES, ids=NAMES)
def test_what_to_do_is_short_enough_to_stand_beside_a_cell(entry):
    assert len(entry.rule.do) <= 90


@pytest.mark.parametrize("entry", ENTRIES, ids=NAMES)
def test_a_rule_checks_or_has_a_sentence(entry):
    if entry.scope == "workbook":
        assert entry.check is None
        assert entry.message == ""
    elif entry.scope == "result":
        assert entry.check is None
        assert entry.message.endswith((".", "}"))
        assert not entry.message[0].isupper()
    else:
        assert entry.check is not None
        assert entry.message == ""


def test_every_conflict_has_a_rule_and_every_result_rule_a_conflict():
    made = {rule for folder in ("computing", "shop") for rule in first_arguments(folder, "Conflict")}
    assert made == {entry.name for entry in rules_of("result")}


def test_every_problem_of_the_reader_has_a_rule_and_the_reverse():
    problems = set(first_arguments("reading", "problem"))
    own = {"missing_reading", "unusual_spelling"}
    assert problems == {entry.name for entry in rules_of("cell")} - own


def test_every_rule_of_a_file_is_used_where_files_are_read():
    readers = [SOURCE / "one_file.py", SOURCE / "checking" / "run.py"]
    code = "".join(path.read_text(encoding="utf-8") for path in readers)
    assert [entry.name for entry in rules_of("workbook") if f'"{entry.name}"' not in code] == []


@pytest.mark.parametrize("entry", rules_of("result"), ids=lambda entry: entry.name)
def test_a_sentence_asks_for_plain_facts_only(entry):
    for _, field, _, conversion in Formatter().parse(entry.message):
        assert field is None or re.fullmatch(r"[a-z_0-9]+", field)
        assert conversion is None


def test_a_sound_survey_has_no_findings():
    assert check_survey(sound_survey(), BOOK) == []


SPOILED = {
    "blank throughout": changed(
        sound_survey(), **{f"s{n}_{key}": None for n in (1, 2, 3, 4) for key in ("span_mm", "run_mm")}
    ),
    "a section skipped": blanked(sound_survey(), 2),
    "words for numbers": typed(typed(sound_survey(), "s1_dampers", "many"), "s2_angle_1", "steep"),
    "nothing identified": changed(sound_survey(), unit=None, reading_step=None, maker=None, serial=None),
    "far off": changed(sound_survey(), s1_span_mm=9000.0, s2_dampers=1, s3_dampers=0, s4_notes=3, top_reach_mm=1.0),
}


@pytest.mark.parametrize("survey", SPOILED.values(), ids=SPOILED)
def test_every_finding_names_its_field_and_reads_as_sentences(survey):
    findings = check_survey(survey, BOOK)
    assert findings
    for finding in findings:
        assert (finding.sheet, finding.cell) == ("Survey", "B7")
        assert re.fullmatch(r"[A-Z].*: .*\.", finding.message)
        assert not re.search(r"None|nan|\{|\}|  |\.\.|\d\.\d{4}", finding.message)


def test_scopes_run_in_their_order():
    survey = changed(sound_survey(), site=None, s2_dampers=1, s4_notes=60)
    scopes = [catalogue()[finding.rule].scope for finding in check_survey(survey, BOOK)]
    assert scopes == sorted(scopes, key=SCOPES.index)
    assert set(scopes) == {"cell", "section", "instrument"}
