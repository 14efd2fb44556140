import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from railwright.computing.gap_model import prior_moments, prior_of
from railwright.computing.slip_gains import information_gain
from railwright.computing.slips import (
    diagnose,
    innovation,
    innovations,
    power_of_count_test,
)
from section_kit import SIXTEENTH, book, section, survey

# A section of 20 heads, 13.9 mm apart, heads 9.5 mm wide, read to 1/16 in: span 10 3/4 in, run 3 13/16 in.
SPAN, RUN, INCH = 10.75 * 25.4, (3 + 13 / 16) * 25.4, 25.4
SHEET = survey(step_mm=SIXTEENTH)


def name_of(dampers=20, span=SPAN, run=RUN, sheet=SHEET, shop=None, **more):
    report = diagnose(section(dampers=dampers, span_mm=span, run_mm=run, **more), sheet, shop or book())
    return report.name if report else None


def test_readings_that_agree_say_nothing():
    assert name_of() is None


@pytest.mark.parametrize(
    ("readings", "name"),
    [
        ({"run": RUN + 9 / 16 * INCH}, "run_over_eight_spaces"),
        ({"run": RUN - 9 / 16 * INCH}, "run_over_six_spaces"),
        ({"run": RUN + INCH}, "run_inch_misread"),
        ({"run": RUN - INCH}, "run_inch_misread"),
        ({"dampers": 19}, "count_one_low"),
        ({"dampers": 21}, "count_one_high"),
        ({"run": RUN / INCH}, "run_in_inches_for_mm"),
        ({"run": 97 * INCH}, "run_in_mm_for_inches"),
        ({"run": 9.7 * INCH}, "run_in_cm_for_inches"),
        ({"span": SPAN / 10}, "span_in_cm_for_mm"),
        ({"span": 273 * INCH}, "span_in_mm_for_inches"),
        ({"span": 273 * INCH, "run": 97 * INCH}, "readings_in_mm_for_inches"),
    ],
)
def test_slips_are_named(readings, name):
    assert name_of(**readings) == name


def test_a_short_section_tells_apart_what_a_long_one_cannot():
    fine = survey(unit="mm", step_mm=1.0)
    ten = {"dampers": 10, "run": 97.0, "run_end_mm": 98.0, "sheet": fine}
    assert name_of(span=135.0 - 9.5, **ten) == "span_between_centres"
    assert name_of(span=135.0 - 19.0, **ten) == "span_between_inner_edges"
    assert name_of(span=135.0, **(ten | {"run": 97.0 + 9.5})) == "run_from_wrong_edge"


def test_the_second_run_has_slips_of_its_own():
    assert name_of(run_end_mm=RUN) is None
    report = diagnose(section(dampers=20, span_mm=SPAN, run_mm=RUN, run_end_mm=RUN + 9 / 16 * INCH), SHEET, book())
    assert (report.name, report.field) == ("run_end_over_eight_spaces", "s2_run_end")
    assert report.words.startswith("The second run looks like eight spaces")


def test_words_name_the_slip_and_what_would_fit_in_the_sheets_own_unit():
    report = diagnose(section(dampers=20, span_mm=SPAN, run_mm=RUN + 9 / 16 * INCH), SHEET, book())
    assert report.field == "s2_run"
    assert report.corrected == "3 13/16 in"
    assert report.words == (
        "The run looks like eight spaces; seven would read 3 13/16 in. A run half an inch misread would look the same."
    )
    assert report.effect.startswith("Left as it is, wires would be drawn up to")
    assert report.odds >= 10
    assert report.slip.name == "run_over_eight_spaces"


def test_millimetres_are_answered_in_millimetres():
    report = diagnose(section(dampers=20, span_mm=274.0, run_mm=111.0), survey(unit="mm", step_mm=1.0), book())
    assert report.words.startswith("The run looks like eight spaces; seven would read 97 mm.")


def test_a_wrong_count_is_told_with_the_right_one_and_what_it_does():
    report = diagnose(section(dampers=19, span_mm=SPAN, run_mm=RUN), SHEET, book())
    assert (report.field, report.corrected) == ("s2_dampers", "20")
    assert "20 heads would fit the readings, not 19" in report.words
    assert "every note above would be numbered wrongly" in report.effect


def test_a_wrong_span_changes_the_length_of_the_segment():
    report = diagnose(section(dampers=20, span_mm=SPAN / 10, run_mm=RUN), SHEET, book())
    assert "246 mm too short" in report.effect


def test_swapped_figures_are_read_from_the_answer_as_written():
    sheet = survey(unit="mm", step_mm=1.0, texts={"s2_span": "724 mm"})
    report = diagnose(section(dampers=20, span_mm=724.0, run_mm=97.0), sheet, book())
    assert (report.name, report.corrected) == ("span_figures_swapped", "274 mm")


def test_swapped_figures_of_a_count():
    report = diagnose(section(dampers=21, span_mm=9.5 + 11 * 13.9, run_mm=97.3), SHEET, book())
    assert (report.name, report.field, report.corrected) == ("count_figures_swapped", "s2_dampers", "12")


def test_what_no_slip_explains_stays_unclear_and_names_one_reading():
    report = diagnose(section(dampers=20, span_mm=SPAN + 8.5, run_mm=RUN), SHEET, book())
    assert report.name == "unclear"
    assert report.field in {"s2_dampers", "s2_span", "s2_run"}
    assert report.corrected == ""
    assert report.words == (
        "By count and run the span should be about 10 3/4 in, give or take 3/16 in, but 11 1/16 in is written. "
        "No single slip explains it clearly (most likely no slip at all or a count one too low). "
        "Count the heads again: that settles most."
    )


def test_without_a_run_it_is_the_usual_pitch_that_a_short_section_departs_from():
    """Five gaps of 13.9 mm and a head of 9.5 mm make 79 mm, known to 2 x 4.8 mm."""
    report = diagnose(section(dampers=6, span_mm=105.0), survey(unit="mm", step_mm=1.0), book())
    expected = "By count and usual pitch the span should be about 79 mm, give or take 10 mm, but 105 mm is written."
    assert report.words.startswith(expected)


def test_absurd_readings_are_no_proof_of_an_absurd_slip():
    report = diagnose(section(dampers=20, span_mm=SPAN, run_mm=400.0), SHEET, book())
    assert report.name == "unclear"


def test_what_nothing_else_looks_like_stands_alone():
    report = diagnose(section(dampers=20, span_mm=SPAN, run_mm=RUN / INCH), SHEET, book())
    assert report.words == "The run looks written in inches where millimetres were due; it would read 3 13/16 in."


def test_two_slips_at_once_are_named_together():
    report = diagnose(section(dampers=20, span_mm=SPAN + 13.9, run_mm=RUN - 13.9), SHEET, book())
    assert report.name == "count_one_low+run_over_six_spaces"
    assert report.words == (
        "Two slips together would explain it. The count looks wrong: 21 heads would fit the readings, not 20. "
        "The run looks like six spaces; seven would read 3 13/16 in."
    )


def test_the_limit_is_slip_k():
    off = section(dampers=20, span_mm=SPAN + 9.0, run_mm=RUN)
    z = abs(innovation(off, SHEET, book()))
    assert diagnose(off, SHEET, book(slip_k=z + 1e-9)) is None
    assert diagnose(off, SHEET, book(slip_k=z - 1e-9)) is not None


def test_a_second_run_has_a_limit_of_its_own():
    """Two tests of one section together raise no more false alarms than one alone."""
    off = section(dampers=20, span_mm=SPAN, run_mm=RUN, run_end_mm=RUN + 7.5)
    span_test, second_test = innovations(off, SHEET, book())
    assert (span_test.limit, second_test.limit) == (2.6, 3.7)
    z = abs(second_test.z)
    assert diagnose(off, SHEET, book(slip_k=9.0, slip_k_second=z + 1e-9)) is None
    assert diagnose(off, SHEET, book(slip_k=9.0, slip_k_second=z - 1e-9)) is not None


def test_a_name_needs_the_odds():
    off = section(dampers=19, span_mm=SPAN, run_mm=RUN)
    odds = diagnose(off, SHEET, book()).odds
    assert diagnose(off, SHEET, book(odds=odds * 0.999)).name == "count_one_low"
    assert diagnose(off, SHEET, book(odds=odds * 1.001)).name == "unclear"


def test_a_slip_of_weight_nought_is_never_named():
    off = section(dampers=19, span_mm=SPAN, run_mm=RUN)
    assert diagnose(off, SHEET, book(slip_count_one=0.0)).name != "count_one_low"


@pytest.mark.parametrize("key", ["slip_none", "slip_run_spaces", "slip_second", "slip_digits"])
def test_any_weight_may_be_nought(key):
    off = section(dampers=20, span_mm=SPAN, run_mm=RUN + 9 / 16 * INCH)
    report = diagnose(off, SHEET, book(**{key: 0.0}))
    assert 1.0 <= report.odds <= 1e6
    assert all(0.0 <= share <= 1.0 for _, share in report.ranking)


def test_probabilities_of_the_ranking():
    ranking = diagnose(section(dampers=19, span_mm=SPAN, run_mm=RUN), SHEET, book()).ranking
    shares = [share for _, share in ranking]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) <= 1.0 + 1e-12
    assert len({name for name, _ in ranking}) == len(ranking)


@pytest.mark.parametrize(
    "readings", [{"span_mm": SPAN}, {"dampers": 20}, {"dampers": 1, "span_mm": 9.5}, {"dampers": 0, "span_mm": 90.0}]
)
def test_nothing_to_test(readings):
    assert innovations(section(**readings), SHEET, book()) == ()
    assert innovation(section(**readings), SHEET, book()) is None
    assert diagnose(section(**readings), SHEET, book()) is None
    assert power_of_count_test(section(**readings), SHEET, book()) is None


def test_without_a_run_the_usual_pitch_predicts_the_span():
    short = section(dampers=6, span_mm=9.5 + 5 * 13.9)
    assert innovation(short, SHEET, book()) == pytest.approx(0.0, abs=1e-9)
    mean, covariance = prior_moments(prior_of(SHEET, book()), 6)
    sd = math.sqrt(covariance.sum() + SIXTEENTH**2 / 12 + 0.16)
    off = section(dampers=6, span_mm=float(mean.sum()) + 3 * sd)
    assert innovation(off, SHEET, book()) == pytest.approx(3.0)


def test_one_test_a_section_and_one_more_for_a_second_run():
    one = innovations(section(dampers=20, span_mm=SPAN, run_mm=RUN), SHEET, book())
    two = innovations(section(dampers=20, span_mm=SPAN, run_mm=RUN, run_end_mm=RUN), SHEET, book())
    alone = innovations(section(dampers=20, span_mm=SPAN, run_end_mm=RUN), SHEET, book())
    assert [test.field for test in one] == ["s2_span"]
    assert [test.field for test in two] == ["s2_span", "s2_run_end"]
    assert [test.field for test in alone] == ["s2_span"]


def test_z_has_unit_spread_when_nothing_is_wrong():
    rng, z = np.random.default_rng(3), []
    mean, covariance = prior_moments(prior_of(SHEET, book()), 20)
    for truth in rng.multivariate_normal(mean, covariance, 1500):
        span, run = truth.sum() + rng.normal(0, 0.609), truth[6:13].sum() + rng.normal(0, 0.609)
        z.append(innovation(section(dampers=20, span_mm=span, run_mm=run), SHEET, book()))
    assert np.mean(z) == pytest.approx(0.0, abs=0.1)
    assert np.std(z) == pytest.approx(1.0, abs=0.06)


def test_power_agrees_with_simulation():
    """A count one off in 28 heads is seen about half the time with one run read to 1/8 in."""
    coarse = survey()
    told = power_of_count_test(section(dampers=28, span_mm=384.0, run_mm=97.0), coarse, book())
    assert told == pytest.approx(0.5, abs=0.05)
    rng, seen = np.random.default_rng(11), []
    for heads in (27, 29):
        mean, covariance = prior_moments(prior_of(coarse, book()), heads)
        start = (heads - 8) // 2
        for truth in rng.multivariate_normal(mean, covariance, 800):
            span, run = truth.sum() + rng.normal(), truth[start : start + 7].sum() + rng.normal()
            seen.append(abs(innovation(section(dampers=28, span_mm=span, run_mm=run), coarse, book())) > 2.6)
    assert told == pytest.approx(np.mean(seen), abs=0.04)


def test_power_grows_with_care_and_falls_with_length():
    def power(heads, step_mm, **more):
        return power_of_count_test(
            section(dampers=heads, span_mm=1.0, run_mm=1.0, **more), survey(step_mm=step_mm), book()
        )

    assert power(12, 3.175) > 0.99
    assert power(12, 3.175) > power(22, 3.175) > power(34, 3.175)
    assert power(28, 1.5875) > power(28, 3.175)
    assert power(28, 1.5875, run_end_mm=1.0) > power(28, 1.5875)


# Mutual information of a fair coin and a reading: nothing when the reading is the same either way, one bit (log 2 nats)
# when it settles the coin; in between it is 0.3369 nats for unit normals two standard deviations apart, by scipy's
# adaptive quadrature in the next test.
@pytest.mark.parametrize(("apart", "gain"), [(0.0, 0.0), (40.0, math.log(2.0))])
def test_information_at_its_ends(apart, gain):
    fresh = np.array([[0.0, 1.0], [apart, 1.0]])
    assert information_gain(np.array([0.5, 0.5]), fresh) == pytest.approx(gain, abs=1e-9)


def test_information_against_adaptive_quadrature():
    from scipy import integrate, stats

    def density(x):
        return 0.3 * stats.norm.pdf(x, 0, 1) + 0.7 * stats.norm.pdf(x, 2, 1.5)

    def term(share, mean, sd):
        inner = stats.norm(mean, sd)
        return share * integrate.quad(lambda x: inner.pdf(x) * np.log(inner.pdf(x) / density(x)), -12, 14)[0]

    expected = term(0.3, 0, 1) + term(0.7, 2, 1.5)
    found = information_gain(np.array([0.3, 0.7]), np.array([[0.0, 1.0], [2.0, 1.5]]))
    assert found == pytest.approx(expected, abs=2e-3)


numbers = st.one_of(st.none(), st.floats(0.1, 1e5))


@settings(max_examples=60, deadline=None)
@given(st.integers(2, 40), st.floats(0.1, 1e5), numbers, numbers, st.sampled_from(["in", "mm", None]))
def test_any_readings_get_an_answer(heads, span, run, run_end, unit):
    odd = section(dampers=heads, span_mm=span, run_mm=run, run_end_mm=run_end)
    report = diagnose(odd, survey(unit=unit), book())
    if report is not None:
        assert report.words and report.field.startswith("s2_") and report.odds >= 1.0
