"""Whatever stands in the cells, the rules answer in sentences and never fail."""

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from helpers_checking import BOOK, blanked, changed, found_in_folder, renamed, sound_survey, typed
from railwright.checking.base import rules_of
from railwright.checking.run import check_batch, check_survey
from railwright.survey.fields import fields_of_section

COUNTS = st.none() | st.integers(0, 88)
LENGTHS = st.none() | st.floats(1e-3, 25_000.0)
VALUES = {
    "count": COUNTS,
    "length": LENGTHS | st.just(0.0),
    "angle": st.none() | st.floats(0.01, 179.99),
    "yes_no": st.none() | st.booleans(),
    "choice": st.sampled_from([None, "bass", "tenor", "treble"]),
    "screws": st.none() | st.lists(st.integers(0, 88), max_size=20, unique=True).map(tuple),
}
FIELDS = [field for number in (1, 2, 3, 4) for field in fields_of_section(number)]
TEXTS = st.one_of(
    st.text(max_size=30), st.from_regex(r"[0-9]{1,3}([ .,/-][0-9]{1,2}){0,3}( ?(in|mm|cm|\"))?", fullmatch=True)
)


@st.composite
def spoiled(draw):
    """Change, blank or scribble into any cells of a sound survey."""
    survey = sound_survey()
    for field in draw(st.lists(st.sampled_from(FIELDS), max_size=12, unique_by=lambda each: each.key)):
        name = field.key + {"length": "_mm", "angle": "_deg"}.get(field.kind, "")
        survey = changed(survey, **{name: draw(VALUES[field.kind])})
    for key in draw(st.lists(st.sampled_from([field.key for field in FIELDS] + ["serial", "survey_date"]), max_size=3)):
        survey = typed(survey, key, draw(TEXTS))
    once = draw(st.dictionaries(st.sampled_from(["head_width_mm", "top_reach_mm", "wire_diameter_mm"]), LENGTHS))
    survey = changed(survey, **once, unit=draw(st.sampled_from(["mm", "in", None])))
    return blanked(survey, draw(st.integers(1, 4))) if draw(st.booleans()) else survey


@settings(max_examples=60, deadline=None)
@given(spoiled())
def test_every_finding_is_a_sentence_at_a_cell(survey):
    for finding in check_survey(survey, BOOK):
        assert (finding.sheet, finding.cell) == ("Survey", "B7")
        assert re.fullmatch(r"[A-Z].*: [^A-Z].*\.", finding.message, re.DOTALL)
        outside_quotes = re.sub(r"“.*?”", "", finding.message, flags=re.DOTALL)
        assert not re.search(r"\bNone\b|\bnan\b|\{|\}|\d\.\d{4}", outside_quotes)


@settings(max_examples=20, deadline=None)
@given(spoiled(), spoiled())
def test_any_two_surveys_can_be_compared(first, second):
    second = renamed(second, "b.xlsx")
    assert set(check_batch([first, second])) <= {first.file, "b.xlsx"}


def test_a_folder_of_one_survey_has_nobody_to_compare_with():
    assert [found_in_folder(entry.name, sound_survey()) for entry in rules_of("batch")] == [[]] * len(rules_of("batch"))
