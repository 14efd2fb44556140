import numpy as np
import pytest

from railwright.computing.calibration import ConfirmedSection, calibrate
from railwright.computing.gap_model import GapPrior, prior_moments
from section_kit import book

TRUTH = GapPrior(14.2, 0.5, 0.35, 8.0, 0.15, 9.5, 0.3)


def drawn(sections, heads=22, u_mm=0.1, seed=4, truth=TRUTH):
    """Confirmed sections drawn from known values."""
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(sections):
        gaps = rng.multivariate_normal(*prior_moments(truth, heads))[:-1]
        x = np.r_[0.0, np.cumsum(gaps)] + rng.normal(0, u_mm, heads)
        found.append(ConfirmedSection(tuple(x.tolist()), u_mm))
    return found


def values(calibration):
    return {proposal.key: (proposal.value, proposal.u) for proposal in calibration.proposals}


def test_known_values_are_found_again_within_their_uncertainty():
    found = values(calibrate(drawn(120), book()))
    truth = {"pitch": 14.2, "pitch_sd": 0.5, "drift": 100 * 0.35 / 14.2, "scatter": 0.15}
    for key, expected in truth.items():
        value, u = found[key]
        assert 0.0 < u < 0.2 * expected
        assert abs(value - expected) < 3 * u


def test_more_sections_are_surer():
    few, many = values(calibrate(drawn(10), book())), values(calibrate(drawn(100), book()))
    assert all(many[key][1] < few[key][1] for key in many)


def test_the_first_guess_does_not_matter():
    one, other = (
        calibrate(drawn(30), book(**guess)) for guess in ({}, {"pitch_sd": 3.0, "drift": 9.0, "scatter": 2.0})
    )
    for first, second in zip(one.proposals, other.proposals, strict=True):
        assert first.value == pytest.approx(second.value, rel=1e-4)


def test_the_present_values_stand_beside_the_proposals():
    found = calibrate(drawn(5), book(pitch=13.0))
    assert (found.proposals[0].key, found.proposals[0].now) == ("pitch", 13.0)
    assert (found.sections, found.wires) == (5, 110)


def test_wires_left_out_and_any_origin():
    sections = drawn(40)
    holes = [
        ConfirmedSection(tuple(None if i in (3, 9) else x + 500 for i, x in enumerate(each.x_mm)), each.u_mm)
        for each in sections
    ]
    whole, part = values(calibrate(sections, book())), values(calibrate(holes, book()))
    assert part["pitch"][0] == pytest.approx(whole["pitch"][0], abs=0.02)
    assert part["scatter"][0] == pytest.approx(whole["scatter"][0], abs=0.03)


def test_exactly_even_sections_have_no_drift_and_no_scatter():
    even = [ConfirmedSection(tuple(13.5 * i for i in range(12)), 0.05) for _ in range(4)]
    found = values(calibrate(even, book()))
    assert found["pitch"][0] == pytest.approx(13.5)
    assert found["drift"][0] < 0.01 and found["scatter"][0] < 0.01 and found["pitch_sd"][0] < 0.01


def test_two_sections_are_not_enough():
    with pytest.raises(ValueError, match="at least 3 sections are needed, not 2"):
        calibrate(drawn(2), book())
    short = ConfirmedSection((0.0, 13.9), 0.1)
    with pytest.raises(ValueError, match="not 2"):
        calibrate([*drawn(2), short], book())
