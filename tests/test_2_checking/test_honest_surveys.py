"""Pianos as they are, measured carefully, give a clerk nothing to look at: whatever the geometry, unit and step."""

from dataclasses import replace
from math import floor

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helpers_checking import BOOK, IN, changed, in_inches, sound_survey
from railwright.checking.run import check_survey
from railwright.survey.lengths import round_to_step

BLOCK_MM = IN / 16
STEPS = {"mm": (0.5, 1.0), "in": (IN / 8, IN / 16, IN / 32)}
#: How far a tape is off where it is set, mm.
SETTING = st.floats(-0.8, 0.8)


@st.composite
def dampers(draw):
    """Divide 60 to 75 dampers among a bass, two tenor sections and a treble."""
    lower = [draw(st.integers(16, 22)), draw(st.integers(12, 18)), draw(st.integers(12, 18))]
    return [*lower, draw(st.integers(max(8, 60 - sum(lower)), 75 - sum(lower)))]


@st.composite
def angles(draw):
    """Lean the bass strings to the treble, and turn those above little by little."""
    above = [draw(st.floats(78.0, 98.0))]
    above += [min(above[0] + draw(st.floats(0.0, 8.0)), 118.0)]
    above += [min(above[1] + draw(st.floats(0.0, 8.0)), 118.0)]
    return [draw(st.floats(62.0, 88.0)), *above]


@st.composite
def heights(draw, least_mm, most_mm, swing_mm):
    """A gap at rest, and the thickest block in steps of 1/16 in that the swinging string clears."""
    rest = draw(st.floats(least_mm, most_mm))
    free = rest - draw(st.floats(*swing_mm))
    return floor(free / BLOCK_MM) * BLOCK_MM, rest


@st.composite
def honest_surveys(draw):
    unit = draw(st.sampled_from(["mm", "in"]))
    step = draw(st.sampled_from(STEPS[unit]))
    survey = sound_survey() if unit == "mm" else in_inches(sound_survey())
    survey = replace(changed(survey, reading_step="1" if unit == "mm" else "1/8"), step_mm=step)
    head, counts, leans = draw(st.floats(9.0, 10.2)), draw(dampers()), draw(angles())
    values = {"head_width_mm": head, "wire_diameter_mm": draw(st.floats(2.5, 3.5))}
    for number, (heads, lean) in enumerate(zip(counts, leans, strict=True), start=1):
        pitch = draw(st.floats(12.2, 15.3))
        treble = number == 4
        gauge, rest = draw(heights(9.0, 14.0, (0.4, 0.8)) if treble else heights(15.0, 26.0, (2.0, 6.0)))
        span = (heads - 1) * pitch + head
        section = {
            "dampers": heads,
            "span_mm": span + draw(SETTING),
            "run_mm": 7 * pitch + draw(SETTING),
            "run_end_mm": None,
            "angle_1_deg": float(round(lean + draw(st.floats(-0.4, 0.4)))),
            "angle_2_deg": float(round(lean + draw(st.floats(-0.4, 0.4)))),
            "rest_low_mm": rest,
            "rest_high_mm": rest,
            "screws": draw(st.sampled_from([(), (5,), (4, 8)])),
            "singles": min(8, heads) if number == 1 else 0,
            "doubles": heads - 8 if number == 1 else 0,
        }
        values |= {f"s{number}_{name}": value for name, value in section.items()}
        values |= {f"s{number}_gauge_{end}_mm": gauge for end in ("low", "high")}
        if treble:
            undamped = 88 - sum(counts)
            values["top_reach_mm"] = span - head / 2 + undamped * draw(st.floats(12.6, 15.0)) + draw(SETTING)
    lengths = {name for name in values if name.endswith("_mm") and "gauge" not in name and values[name] is not None}
    return changed(survey, **{k: round_to_step(v, step) if k in lengths else v for k, v in values.items()})


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(honest_surveys())
def test_nothing_is_found_in_an_honest_survey(survey):
    assert [(finding.rule, finding.message) for finding in check_survey(survey, BOOK)] == []
