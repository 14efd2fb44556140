"""What model memory is told by a ledger: pianos of a kind, each by the survey that counted when this one first came."""

import pickle

import pytest

from ledger_kit import entered, piano
from railwright.ledger.connection import LedgerTrouble, opened, opened_to_read
from railwright.ledger.kin import MOST_LOOKED_UP, EarlierInLedger, earlier_of_model
from railwright.survey.kind import EarlierSection, EarlierSurvey

READ = {"s1_register": "tenor", "s1_dampers": 21, "s1_span": 288.0, "s1_run": 97.0}


@pytest.fixture
def path(tmp_path):
    return tmp_path / "l"


def enter(path, *pianos):
    with opened(path) as connection:
        entered(connection, *pianos)


def orders(path, one):
    return [each.order_no for each in EarlierInLedger(path)(one.survey)]


def test_readings_come_back_with_the_steps_they_were_read_to(path):
    enter(path, piano("R-1", **READ, head_width=9.4))
    section = EarlierSection("tenor", 21, 288.0, 97.0, None, 1.0, 1.0, 1.0)
    assert EarlierInLedger(path)(piano("R-2").survey) == (EarlierSurvey("R-1", "S R-1", 9.4, 1.0, (section,)),)


def test_others_of_the_maker_and_model_the_newest_first_however_they_are_written(path):
    enter(path, piano("R-1"), piano("R-2", model="c - 172", maker="FALK"))
    enter(path, piano("R-3"), piano("R-4", model="C-180"), piano("R-5", maker="Other"))
    assert orders(path, piano("R-9")) == ["R-3", "R-2", "R-1"]
    assert orders(path, piano("R-9", model=None)) == []


def test_a_survey_processed_again_is_told_what_it_was_told_first(path):
    first, second, third = piano("R-1"), piano("R-2"), piano("R-3")
    enter(path, first)
    enter(path, second, third)
    assert orders(path, second) == orders(path, third) == ["R-1"]
    assert orders(path, first) == []


def test_a_corrected_survey_is_told_of_all_that_came_before_the_correction(path):
    enter(path, piano("R-1"))
    enter(path, piano("R-2"))
    corrected = piano("R-1", s1_span=301.5)
    assert orders(path, corrected) == ["R-2"]
    enter(path, corrected)
    assert orders(path, corrected) == ["R-2"]


def test_only_the_newest_version_counts_but_what_was_corrected_later_counts_as_it_was(path):
    enter(path, piano("R-1", s1_span=300.0))
    later = piano("R-2")
    enter(path, later)
    enter(path, piano("R-1", s1_span=301.5))
    spans = [each.sections[0].span_mm for each in EarlierInLedger(path)(piano("R-9").survey)]
    assert spans == [301.5, 300.0]  # of R-1 as corrected, of R-2
    assert [each.sections[0].span_mm for each in EarlierInLedger(path)(later.survey)] == [300.0]


def test_no_more_are_looked_up_than_are_of_use(path):
    enter(path, *(piano(f"R-{number}") for number in range(MOST_LOOKED_UP + 3)))
    assert len(orders(path, piano("S-1"))) == MOST_LOOKED_UP


def test_an_unreadable_count_is_no_count(path):
    enter(path, piano("R-1", s1_register="tenor"))
    (one,) = EarlierInLedger(path)(piano("R-2").survey)
    assert (one.sections[0].dampers, one.sections[0].run_mm) == (None, None)


def test_it_travels_to_workers_and_says_what_is_wrong_with_a_ledger(path):
    lookup = pickle.loads(pickle.dumps(EarlierInLedger(path)))
    with pytest.raises(LedgerTrouble, match="there is no ledger"):
        lookup(piano("R-1").survey)


def test_a_model_that_is_yet_to_be_surveyed(path):
    enter(path, piano("R-1"), piano("R-2"))
    with opened_to_read(path) as connection:
        assert [each.order_no for each in earlier_of_model(connection, "falk", "c-172")] == ["R-2", "R-1"]
        assert earlier_of_model(connection, "Falk", None) == ()
