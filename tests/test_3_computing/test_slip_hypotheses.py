import numpy as np
import pytest

from kin_kit import alike, knowing
from railwright.computing.slip_accounts import clean_places
from railwright.computing.slip_bank import bank, bank_of
from railwright.computing.slip_cases import case_of as case_of_section
from railwright.computing.slip_hypotheses import hypotheses_of, swapped_figures
from railwright.computing.slip_words import account_words, guess, thing
from section_kit import book, section, survey


def case_of(**readings):
    return case_of_section(section(**({"dampers": 20, "span_mm": 273.0, "run_mm": 97.0} | readings)), survey(), book())[
        0
    ]


@pytest.mark.parametrize(
    ("text", "mm", "unit", "others"),
    [
        ("97", 97.0, "mm", [79.0]),
        ("12 1/8", 307.975, "in", [21.125 * 25.4]),
        ("12 1/8", 307.975, "mm", []),
        ("274 mm", 274.0, "mm", [724.0, 247.0]),
        ("27,4 cm", 274.0, "mm", [724.0]),
        ("12 in", 304.8, "mm", [21 * 25.4]),
        ("10", 10.0, "mm", []),
        ("11", 11.0, "mm", []),
        ("7/8", 22.225, "in", []),
        ("97/8", 307.975, "in", []),
        ("", 97.0, "mm", []),
        ("about 97", 97.0, "mm", []),
    ],
)
def test_figures_that_may_have_been_swapped(text, mm, unit, others):
    assert swapped_figures(text, mm, unit) == pytest.approx(others)


def test_nothing_wrong_comes_first_and_every_single_slip_is_there():
    accounts = hypotheses_of(case_of())
    assert accounts[0].names == () and accounts[0].heads == 20
    singles = {account.name for account in accounts if len(account.names) == 1}
    assert singles == {
        "count_one_low", "count_one_high", "count_two_low", "count_two_high",
        "run_over_eight_spaces", "run_over_six_spaces", "run_from_wrong_edge",
        "run_inch_misread", "run_half_inch_misread",
        "span_between_centres", "span_between_inner_edges", "span_inch_misread", "span_half_inch_misread",
    } | {
        f"{what}_in_{wrote}_for_{due}"
        for what in ("run", "span", "readings")
        for wrote in ("inches", "mm", "cm")
        for due in ("inches", "mm", "cm")
        if wrote != due
    }  # fmt: skip


@pytest.mark.parametrize(("written", "swapped"), [(21, 12), (12, 21), (10, None), (22, None), (9, None), (60, None)])
def test_figures_of_the_count_may_be_swapped(written, swapped):
    found = [h.heads for h in hypotheses_of(case_of(dampers=written)) if h.name == "count_figures_swapped"]
    assert found == ([swapped] if swapped else [])


def test_two_slips_weigh_the_product_of_their_odds_and_less():
    accounts = {account.name: account for account in hypotheses_of(case_of())}
    both = accounts["count_one_low+run_over_eight_spaces"].log_weight
    shop = book()
    weight = shop.value("slip_count_one") * shop.value("slip_run_spaces") / shop.value("slip_none")
    assert both == pytest.approx(np.log(weight * shop.value("slip_second")))


def test_eight_heads_cannot_hold_eight_spaces_unless_there_are_nine():
    names = {account.name for account in hypotheses_of(case_of(dampers=8))}
    assert "run_over_eight_spaces" not in names
    assert "count_one_low+run_over_eight_spaces" in names
    assert "count_one_high" not in names


def test_scores_of_many_draws_are_those_of_each():
    bank = bank_of(case_of())
    draws = np.array([[273.0, 97.0], [273.0, 111.0], [260.0, 97.0]])
    together = bank.log_scores(draws)
    assert together == pytest.approx(np.stack([bank.log_scores(row) for row in draws]))


def test_scores_are_log_weight_plus_log_normal_density():
    """Against scipy's multivariate normal, for nothing wrong and for a run over eight spaces."""
    from scipy.stats import multivariate_normal

    bank, written = bank_of(case_of()), np.array([273.0, 111.0])
    expected = []
    for place, account in enumerate(bank.hypotheses):
        spread = np.linalg.inv(bank.precision[place])
        expected.append(account.log_weight + multivariate_normal(bank.mean_mm[place], spread).logpdf(written))
    found = bank.log_scores(written)
    assert found - found[0] == pytest.approx(np.array(expected) - expected[0], rel=1e-7, abs=1e-6)


def of_known_kind(**readings):
    one = section(**({"number": 1, "dampers": 21, "span_mm": 286.4, "run_mm": 97.0} | readings))
    kin = alike(3, dampers=21, span_mm=286.4, run_mm=97.0) + alike(2, dampers=20, span_mm=273.0, run_mm=97.0, first=9)
    return case_of_section(one, knowing(survey(one), kin), book())[0]


@pytest.mark.parametrize("readings", [{}, {"run_end_mm": 98.0}, {"run_mm": None}, {"dampers": 9, "span_mm": 120.0}])
def test_a_known_kind_is_weighed_as_if_each_account_were_written_out(readings):
    case = of_known_kind(**readings)
    quick, written_out = bank_of(case), bank(case, tuple(bank_of(case).hypotheses))
    assert len(case.designs) == 2
    for name in ("mean_mm", "precision", "constant"):
        assert getattr(quick, name) == pytest.approx(getattr(written_out, name), rel=1e-9)


def test_each_account_stands_once_for_everything_that_a_section_of_its_count_may_be():
    case = of_known_kind()
    accounts = bank_of(case).hypotheses
    plain = hypotheses_of(case)
    priors = {heads: {each.prior for each in accounts if each.heads == heads} for heads in {h.heads for h in plain}}
    # of 20 and 21 heads a known design, one at another pitch, or any; of others as many as either design, or any
    assert {heads: len(each) for heads, each in priors.items()} == {12: 3, 19: 3, 20: 3, 21: 3, 22: 3, 23: 3}
    assert len(accounts) == 3 * len(plain)
    assert {(each.names, each.heads, each.sights) for each in accounts} == {
        (each.names, each.heads, each.sights) for each in plain
    }
    assert [accounts[place].heads for place in clean_places(accounts)] == [21, 21, 21]
    assert [place for place, each in enumerate(accounts) if not each.names] == clean_places(accounts)


def test_accounts_are_counted_from_either_end_and_further_ones_follow():
    accounts = bank_of(of_known_kind()).hypotheses
    more = hypotheses_of(case_of())[:2]
    longer = accounts.and_also(more)
    assert longer[-1] == more[1] and longer[len(accounts)] == more[0] and longer[0] == accounts[0]
    assert longer[-3:] == (accounts[-1], *more) and clean_places(longer) == [*clean_places(accounts), len(accounts)]
    with pytest.raises(IndexError):
        longer[len(longer)]


def test_two_slips_in_words():
    words = account_words(("count_one_low", "run_over_eight_spaces"), ("21", "3 7/8 in"), 20)
    assert words == (
        "Two slips together would explain it. The count looks wrong: 21 heads would fit the readings, not 20. "
        "The run looks like eight spaces; seven would read 3 7/8 in."
    )


def test_every_account_has_words():
    for account in hypotheses_of(case_of(run_end_mm=97.0))[1:]:
        words = account_words(account.names, ("3 1/2 in",) * len(account.names), 20)
        for each in (words, guess(account.name)):
            assert "_" not in each and "{" not in each
        assert words.endswith(".")


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("", "no slip at all"),
        ("count_one_low", "a count one too low"),
        ("run_end_half_inch_misread", "a second run half an inch misread"),
        ("span_in_cm_for_mm", "a span in centimetres for millimetres"),
        ("readings_in_inches_for_mm", "a whole section in inches for millimetres"),
        ("run_figures_swapped", "two figures of the run swapped"),
    ],
)
def test_guesses(name, words):
    assert guess(name) == words


@pytest.mark.parametrize(("key", "word"), [("s2_run", "run"), ("s1_run_end", "second run"), ("span", "span")])
def test_readings_in_words(key, word):
    assert thing(key) == word
