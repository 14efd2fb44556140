"""Turns of phrase."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers_checking import IN, in_inches, sound_survey
from railwright.checking.words import about, about_sections, called, counted, gauge_block, length, listed, quoted


def test_a_field_is_called_by_its_label_and_section():
    assert called("s3_span") == "Span over the heads (section 3)"
    assert called("serial") == "Serial number"


def test_a_sentence_without_a_field_begins_large():
    assert about(None, "found none.") == "Found none."
    assert about("serial", "found none.") == "Serial number: found none."


@pytest.mark.parametrize(
    ("numbers", "sentence"),
    [([], "It is so."), ([2], "Section 2: it is so."), ([1, 3], "Sections 1 and 3: it is so.")],
)
def test_sections_before_a_sentence(numbers, sentence):
    assert about_sections(numbers, "it is so.") == sentence


@pytest.mark.parametrize(("things", "text"), [((), ""), (("a",), "a"), (("a", "b"), "a or b"), ("abc", "a, b or c")])
def test_lists_of_words(things, text):
    assert listed(things, "or") == text


def test_lengths_are_spelled_as_they_were_written():
    assert length(sound_survey(), "s2_span", 162.0) == "162.0 mm"
    assert length(in_inches(sound_survey()), "s2_span", 6.375 * IN) == "6 3/8 in (161.9 mm)"


@pytest.mark.parametrize(("least_mm", "block"), [(5.2, "5.5 mm"), (5.5, "5.5 mm"), (5.6, "6.0 mm")])
def test_a_block_in_steps_of_half_a_millimetre(least_mm, block):
    assert gauge_block(sound_survey(), least_mm) == block


@pytest.mark.parametrize(
    ("sixteenths", "block"), [(3.9, "1/4 in (6.4 mm)"), (4.0, "1/4 in (6.4 mm)"), (4.1, "5/16 in (7.9 mm)")]
)
def test_a_block_in_steps_of_a_sixteenth_of_an_inch(sixteenths, block):
    assert gauge_block(in_inches(sound_survey()), sixteenths * IN / 16) == block


@given(st.floats(0.1, 60.0))
def test_a_block_is_never_thinner_than_asked_for(least_mm):
    thickness = float(gauge_block(sound_survey(), least_mm).split()[0])
    assert least_mm - 1e-3 <= thickness <= least_mm + 0.5


@given(st.text(max_size=200))
def test_an_answer_in_a_sentence_stays_on_one_line_and_short(text):
    line = quoted(text)
    assert len(line) <= 61
    assert len(line.splitlines()) <= 1


@pytest.mark.parametrize(("number", "text"), [(0, "0 heads"), (1, "1 head"), (2, "2 heads")])
def test_things_are_counted_in_plain_words(number, text):
    assert counted(number, "head") == text
