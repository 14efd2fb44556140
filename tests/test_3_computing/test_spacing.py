from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kin_kit import alike, knowing
from railwright.computing.gap_model import prior_moments, prior_of
from railwright.computing.spacing import placed, posterior, run_start
from section_kit import book, section, survey


@pytest.mark.parametrize(
    ("heads", "register", "run", "second"),
    [
        (8, "tenor", 1, 1),
        (9, "tenor", 1, 2),
        (10, "bass", 2, 3),
        (20, "tenor", 7, 13),
        (20, "treble", 13, 1),
        (8, "treble", 1, 1),
        (20, None, 7, 13),
    ],
)
def test_where_runs_start(heads, register, run, second):
    assert run_start(heads, register) == run
    assert run_start(heads, register, "run_end") == second


@given(st.integers(8, 88), st.sampled_from(["bass", "tenor", "treble"]), st.sampled_from(["run", "run_end"]))
def test_a_run_lies_within_the_section(heads, register, which):
    start = run_start(heads, register, which)
    assert start >= 1 and start + 7 <= heads


def test_seven_heads_have_no_run():
    with pytest.raises(ValueError, match="8 heads"):
        run_start(7, "tenor")


def test_exact_readings_of_an_even_section_give_back_its_places():
    sheet = survey(step_mm=1e-6, head_width_mm=9.5)
    even = section(dampers=20, span_mm=9.5 + 19 * 13.7, run_mm=7 * 13.7)
    found = posterior(even, sheet, book(u_set=1e-6, pitch_sd=100.0))
    assert found.x_mm[[0, -1]] == pytest.approx([4.75, 4.75 + 19 * 13.7], abs=1e-4)
    assert found.x_mm == pytest.approx(4.75 + 13.7 * np.arange(20), abs=0.05)
    assert found.pitch_mm == pytest.approx(13.7, abs=1e-5)
    assert found.u_pitch_mm < 1e-5


def test_eight_heads_have_seven_spaces():
    found = posterior(section(dampers=8, span_mm=9.5 + 91.0), survey(step_mm=1e-6, head_width_mm=9.5), book(u_set=1e-6))
    assert found.x_mm.size == 8
    assert found.x_mm[-1] - found.x_mm[0] == pytest.approx(91.0, abs=1e-4)


def test_the_end_wires_of_a_span_are_surer_than_the_middle():
    u = posterior(section(dampers=28, span_mm=385.0, run_mm=97.0), survey(), book()).u_mm
    assert u[0] < 0.3 < u[27] < u[14]


def test_a_run_makes_the_middle_surer():
    spans = {"dampers": 20, "span_mm": 273.6}
    bare = posterior(section(**spans), survey(), book())
    with_run = posterior(section(**spans, run_mm=97.3), survey(), book())
    with_both = posterior(section(**spans, run_mm=97.3, run_end_mm=97.3), survey(), book())
    assert with_run.u_pitch_mm <= bare.u_pitch_mm
    assert with_both.u_mm.sum() < with_run.u_mm.sum() < bare.u_mm.sum()


def test_a_finer_step_makes_every_wire_surer():
    readings = {"dampers": 20, "span_mm": 273.6, "run_mm": 97.3}
    coarse, fine = (posterior(section(**readings), survey(step_mm=step), book()) for step in (3.175, 0.79375))
    assert (fine.u_mm[1:] < coarse.u_mm[1:]).all()


def test_the_head_width_counts_in_the_first_wire_and_in_the_covariance():
    sheet = survey()
    found = posterior(section(dampers=12, span_mm=162.4, run_mm=97.3), sheet, book())
    assert found.x_mm[0] == pytest.approx(found.head_width_mm / 2)
    assert found.u_mm[0] == pytest.approx(found.u_head_width_mm / 2)
    surer = posterior(section(dampers=12, span_mm=162.4, run_mm=97.3), sheet, book(default_head_width_u=0.01))
    assert surer.u_mm[0] < 0.01


def test_a_treble_run_tells_of_the_treble_end():
    long_run = {"dampers": 24, "span_mm": 9.5 + 23 * 13.9, "run_mm": 7 * 14.6}
    middle, end = (posterior(section(register=kind, **long_run), survey(), book()).x_mm for kind in ("tenor", "treble"))
    assert np.diff(end)[-3:].mean() > np.diff(middle)[-3:].mean()


@pytest.mark.parametrize(
    "readings", [{"span_mm": 200.0}, {"dampers": 12}, {"dampers": 1, "span_mm": 9.5}, {"dampers": 0, "span_mm": 90.0}]
)
def test_nothing_to_go_by(readings):
    assert posterior(section(**readings), survey(), book()) is None


def test_the_least_and_the_most_heads():
    assert posterior(section(dampers=2, span_mm=23.4), survey(), book()).x_mm.size == 2
    assert posterior(section(dampers=88, span_mm=1200.0), survey(), book()).x_mm.size == 88
    assert posterior(section(dampers=89, span_mm=1200.0), survey(), book()) is None


def test_a_run_in_a_short_section_plays_no_part():
    short = {"dampers": 7, "span_mm": 93.0}
    with_run = posterior(section(**short, run_mm=97.0), survey(), book())
    assert with_run.x_mm == pytest.approx(posterior(section(**short), survey(), book()).x_mm)


def test_the_same_section_seen_from_the_other_side_is_mirrored():
    """An odd number of gaps beside the middle run, so that the run is its own mirror image."""
    found = posterior(section(dampers=20, span_mm=275.0, run_mm=99.0), survey(), book())
    assert np.diff(found.x_mm) == pytest.approx(np.diff(found.x_mm)[::-1])


@settings(max_examples=40)
@given(st.integers(2, 40), st.floats(5.0, 2000.0), st.one_of(st.none(), st.floats(1.0, 3000.0)))
def test_any_readings_give_finite_places_and_a_proper_covariance(heads, span, run):
    found = posterior(section(dampers=heads, span_mm=span, run_mm=run), survey(), book())
    assert np.isfinite(found.x_mm).all()
    assert np.linalg.eigvalsh(found.cov_mm2).min() > -1e-9
    _, before = prior_moments(prior_of(survey(), book()), heads)
    assert found.u_head_width_mm**2 <= before[-1, -1] * (1 + 1e-9)


def test_bands_hold_as_often_as_they_say():
    """Drawn from the prior and rounded to 1/8 in, 95 of 100 wires lie within their band."""
    rng, inside = np.random.default_rng(5), []
    mean, covariance = prior_moments(prior_of(survey(), book()), 18)
    for truth in rng.multivariate_normal(mean, covariance, 300):
        length = np.array([truth.sum(), truth[5:12].sum()]) + rng.normal(0, 0.4, 2)
        span, run = np.round(length / 3.175) * 3.175
        found = posterior(section(dampers=18, span_mm=float(span), run_mm=float(run)), survey(), book())
        places = np.cumsum(np.r_[truth[-1] / 2, truth[:-1]])
        inside.append(np.abs(places - found.x_mm) <= found.u95_mm)
    assert 0.93 <= np.mean(inside) <= 0.98


TOP = section(dampers=16, register="treble", span_mm=218.0, run_mm=97.0, notes=16)


def test_a_reach_narrows_the_bands_of_the_top_section_alone():
    far = survey(TOP, top_reach_mm=213.0)
    alone, reached = posterior(TOP, survey(TOP), book()), posterior(TOP, far, book())
    assert (reached.u_mm <= alone.u_mm + 1e-12).all() and reached.u_mm[-1] < 0.95 * alone.u_mm[-1]
    below = section(number=1, register="tenor", dampers=16, span_mm=218.0, run_mm=97.0)
    both = replace(far, sections=(below, TOP))
    assert posterior(below, both, book()).x_mm == pytest.approx(posterior(below, survey(below), book()).x_mm)


def test_a_reach_that_goes_with_nothing_moves_no_wire():
    alone = posterior(TOP, survey(TOP), book())
    assert posterior(TOP, survey(TOP, top_reach_mm=238.4), book()).x_mm == pytest.approx(alone.x_mm)


#: Four earlier pianos whose top section is built like this one.
KIN = alike(4, dampers=16, span_mm=218.0, run_mm=97.0, register="treble")


@pytest.mark.parametrize(("notes", "reach_mm"), [(16, 213.4), (20, 268.0)])
def test_a_reach_narrows_the_bands_where_earlier_pianos_are_known_too(notes, reach_mm):
    top = replace(TOP, notes=notes)
    alone = posterior(top, knowing(survey(top), KIN), book())
    reached = posterior(top, knowing(survey(top, top_reach_mm=reach_mm), KIN), book())
    unknown = posterior(top, survey(top, top_reach_mm=reach_mm), book())
    assert reached.u_mm[-1] < alone.u_mm[-1] and reached.u_mm.max() < unknown.u_mm.max()


def test_a_longer_reach_moves_the_last_wire_where_earlier_pianos_are_known():
    short, long = (posterior(TOP, knowing(survey(TOP, top_reach_mm=x), KIN), book()) for x in (212.6, 214.2))
    assert 0.0 < long.x_mm[-1] - short.x_mm[-1] < 1.6


def test_a_reach_that_goes_with_nothing_moves_no_wire_where_earlier_pianos_are_known():
    alone = posterior(TOP, knowing(survey(TOP), KIN), book())
    assert posterior(TOP, knowing(survey(TOP, top_reach_mm=238.4), KIN), book()).x_mm == pytest.approx(alone.x_mm)


def test_gaps_beyond_a_known_design_change_nothing_within_it():
    design = replace(prior_of(survey(), book()), design=knowing(survey(TOP), KIN).kind.designs_of(2, True)[0])
    within, beyond = prior_moments(design, 16), prior_moments(replace(design, beyond=4), 20)
    kept = [*range(15), 19]
    assert beyond[0][kept] == pytest.approx(within[0])
    assert beyond[1][np.ix_(kept, kept)] == pytest.approx(within[1])
    assert beyond[1][15, 15] > beyond[1][14, 14]  # they are like the design's own, but not as well known


def test_a_run_that_leaves_no_row_of_wires_is_left_out():
    odd = section(dampers=14, span_mm=190.5, run_mm=111.1)
    without = posterior(replace(odd, run_mm=None), survey(head_width_mm=9.5), book())
    assert placed(odd, survey(head_width_mm=9.5), book()).x_mm == pytest.approx(without.x_mm)


@pytest.mark.parametrize(("span_mm", "run_mm"), [(190.5, 98.0), (63.5, 97.0)])
def test_a_run_is_kept_where_it_does_no_harm_or_the_span_is_no_better(span_mm, run_mm):
    odd = section(dampers=14, span_mm=span_mm, run_mm=run_mm)
    assert placed(odd, survey(), book()).x_mm == pytest.approx(posterior(odd, survey(), book()).x_mm)
