"""A name that could be mistaken for another never stands alone."""

import numpy as np
import pytest

from railwright.computing.slip_words import guess
from railwright.computing.slips import diagnose
from section_kit import EIGHTH, SIXTEENTH, book, section, survey

PITCH, HEAD, INCH = 13.9, 9.5, 25.4


def report(heads=20, more_span=0.0, more_run=0.0, more_heads=0, step=SIXTEENTH, pitch=PITCH):
    def read(length):
        return round(length / step) * step

    readings = {"span_mm": read(HEAD + (heads - 1) * pitch + more_span), "run_mm": read(7 * pitch + more_run)}
    return diagnose(section(dampers=heads + more_heads, **readings), survey(step_mm=step), book())


def test_six_spaces_in_eight_heads_look_like_a_head_too_few():
    """Nine heads set closer would show the same span, and over seven spaces what wide-set ones show over six."""
    found = report(heads=8, more_run=-PITCH, step=EIGHTH, pitch=14.8)
    assert found.name == "run_over_six_spaces"
    assert "A count one too low" in found.words and "would look the same" in found.words


def test_an_inch_on_the_run_goes_before_an_inch_on_the_span():
    for heads in (8, 15):
        assert report(heads=heads, more_run=INCH).name == "run_inch_misread"


@pytest.mark.parametrize("heads", [8, 12, 20])
@pytest.mark.parametrize("step", [EIGHTH, SIXTEENTH])
def test_whoever_is_within_a_hundred_to_one_is_told(heads, step):
    named = 0
    for more_run in np.linspace(-30.0, 30.0, 41):
        found = report(heads=heads, more_run=more_run, step=step)
        if found is None or found.name == "unclear" or "+" in found.name:
            continue
        named += 1
        best = found.ranking[0][1]
        rivals = [name for name, share in found.ranking[1:] if share > best / 50 and name and "+" not in name]
        for rival in rivals[:2]:
            assert guess(rival) in found.words.lower(), (found.words, rivals)
    assert named > 5


def test_what_nothing_else_comes_near_to_stands_alone():
    found = diagnose(section(dampers=20, span_mm=273.0, run_mm=97.0 / INCH), survey(unit="mm", step_mm=1.0), book())
    assert found.name == "run_in_inches_for_mm"
    assert "look the same" not in found.words
