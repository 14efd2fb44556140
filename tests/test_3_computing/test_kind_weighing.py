import numpy as np
import pytest
from scipy.stats import chi2, norm

from kin_kit import BOOK, alike, earlier_of, kin, knowing
from railwright.computing.compute import compute
from railwright.computing.gap_model import condition, prior_of, sights_of
from railwright.computing.kind_weighing import designs_in_words, kind_verdict
from railwright.computing.normal import chi_square_limit
from railwright.computing.slips import diagnose
from railwright.computing.spacing import posterior
from section_kit import SIXTEENTH, book, section, survey

FIVE = alike(5)


def piano(dampers=28, span_mm=384.175, run_mm=98.425, earlier=FIVE, **more):
    one = section(number=1, dampers=dampers, span_mm=span_mm, run_mm=run_mm, **more)
    return knowing(survey(one), earlier)


def report(one, shop_book=BOOK):
    return diagnose(one.sections[0], one, shop_book)


def verdict(one, shop_book=BOOK):
    found = kind_verdict(one.sections[0], one, shop_book)
    return found.verdict if found else None


def test_with_one_earlier_piano_everything_is_as_without():
    one, alone = piano(earlier=alike(1)), piano(earlier=[])
    assert one.kind is None and one == alone
    assert verdict(one) is None


def test_a_piano_like_its_kind_is_quiet():
    assert (report(piano()), verdict(piano())) == (None, "as its kind")


def test_a_miscount_that_the_readings_hide_is_found_and_the_right_count_named():
    assert report(piano(dampers=27, earlier=[])) is None
    found = report(piano(dampers=27))
    assert (found.name, found.corrected, found.field, found.against_kind) == ("count_one_low", "28", "s1_dampers", True)
    assert verdict(piano(dampers=27)) == "slip"


def test_it_is_found_from_two_earlier_pianos_on():
    assert report(piano(dampers=27, earlier=alike(2))).corrected == "28"


@pytest.mark.parametrize(
    "changed",
    [
        {"dampers": 27, "span_mm": 371.475},
        {"dampers": 29, "span_mm": 396.875},
        {"dampers": 28, "span_mm": 406.4, "run_mm": 104.775},
    ],
)
def test_an_honest_new_design_is_no_slip(changed):
    assert (report(piano(**changed)), verdict(piano(**changed))) == (None, "new design")


def test_a_known_second_design_is_no_new_one():
    earlier = [*FIVE, *alike(3, dampers=27, span_mm=371.475, first=20)]
    one = piano(dampers=27, span_mm=371.475, earlier=earlier)
    assert (report(one), verdict(one)) == (None, "as its kind")


def test_readings_that_disagree_as_they_do_on_every_piano_of_the_kind_are_in_order():
    # the model's spacing widens in mid-section: seven spaces there do not tell the span
    wide = [kin(number, run_mm=103.1875, step_mm=SIXTEENTH) for number in range(6)]
    one = piano(run_mm=103.1875, earlier=[])
    assert report(one) is not None
    assert report(knowing(one, wide)) is None


def test_readings_that_disagree_and_fit_no_design_are_asked_about_as_ever():
    found = report(piano(run_mm=111.125))
    assert (found.name, found.against_kind) == ("run_over_eight_spaces", False)


def test_what_is_asked_depends_on_how_likely_a_slip_must_be():
    one = piano(dampers=27)
    share = kind_verdict(one.sections[0], one, BOOK).probability
    assert report(one, book(kind_ask=share - 0.01)) is not None
    assert report(one, book(kind_ask=share + 0.01)) is None


def test_the_wires_stand_where_the_readings_say_if_the_design_is_new():
    changed = piano(span_mm=406.4, run_mm=104.775)
    alone = posterior(changed.sections[0], piano(earlier=[]), BOOK)
    assert posterior(changed.sections[0], changed, BOOK).x_mm == pytest.approx(alone.x_mm, abs=0.35)


def test_the_wires_of_a_piano_like_its_kind_are_known_better_and_never_worse():
    one = piano(span_mm=384.175, earlier=alike(12))
    known, alone = (posterior(one.sections[0], each, BOOK) for each in (one, piano(earlier=[])))
    assert known.u_pitch_mm < alone.u_pitch_mm
    assert known.u_mm.max() < alone.u_mm.max()


def test_without_known_designs_of_that_count_the_posterior_is_the_plain_one():
    one = piano(dampers=26)
    seen = sights_of(one.sections[0], one, BOOK)
    mean, _ = condition(*map(list, zip(*seen.values(), strict=True)), prior_of(one, BOOK), 26)
    x_mm = posterior(one.sections[0], one, BOOK).x_mm
    assert np.diff(x_mm) == pytest.approx(mean[:-1], abs=1e-12)


def test_a_count_borne_out_by_the_kind_needs_no_warning_that_it_might_hide():
    one = piano()
    rules = [conflict.rule for conflict in compute(one, BOOK).all_conflicts()]
    plain = [conflict.rule for conflict in compute(piano(earlier=[]), BOOK).all_conflicts()]
    assert "section_test_weak" in plain and "section_test_weak" not in rules


def test_designs_are_told_in_the_units_of_the_sheet():
    one = piano()
    assert designs_in_words(one.sections[0], one, 9.5) == (
        "28 dampers, span about 15 1/8 in, run about 3 7/8 in (5 surveys)"
    )


def test_a_survey_is_its_own_kind_when_others_read_the_same():
    one = piano(earlier=[])
    assert verdict(knowing(one, [earlier_of(one, serial) for serial in "abc"])) == "as its kind"


@pytest.mark.parametrize("readings", [1, 2, 3])
@pytest.mark.parametrize("z", [2.0, 2.6, 3.0])
def test_limits_of_several_readings_are_those_of_scipy(readings, z):
    # independent authority: scipy.stats.chi2
    assert chi_square_limit(z, readings) == pytest.approx(chi2.isf(2 * norm.sf(z), readings), rel=0.03)
