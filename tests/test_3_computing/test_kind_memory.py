import pytest

from kin_kit import BOOK, alike, kin, knowing
from railwright.computing.kind_memory import MOST_KIN, counts_of_kind, kin_of, kind_memory
from section_kit import book, section, survey

OWN = survey(section(number=1, dampers=28, span_mm=384.175, run_mm=98.425), serial="own", order_no="order own")


def memory(earlier, of=OWN, shop_book=BOOK):
    return kind_memory(of, earlier, shop_book)


def designs(earlier, shop_book=BOOK):
    found = memory(earlier, shop_book=shop_book)
    return [(each.dampers, each.surveys) for each in found.sections[1].designs] if found else []


def test_one_earlier_piano_or_none_tells_nothing():
    assert memory([]) is None and memory(alike(1)) is None
    assert designs(alike(2)) == [(28, 2)]


def test_the_shop_book_says_from_how_many_on_they_have_a_say():
    assert designs(alike(3), book(kind_least=4.0)) == []
    assert designs(alike(4), book(kind_least=4.0)) == [(28, 4)]


@pytest.mark.parametrize("own", [kin("OWN"), kin("x", order="Order own"), kin(" o w n ")])
def test_the_very_piano_and_earlier_versions_of_its_survey_are_no_kin(own):
    assert memory([own, *alike(1)]) is None


def test_a_piano_surveyed_twice_counts_once_by_its_newest_survey():
    newest, older = kin("a", span_mm=387.35), kin("A", span_mm=300.0, order="another")
    assert kin_of(OWN, [newest, older, kin("b")]) == (newest, kin("b"))


def test_pianos_without_a_serial_number_are_told_apart_by_order():
    nameless = [kin("", order="o1"), kin("", order="o2"), kin("", order="O1")]
    assert len(kin_of(OWN, nameless)) == 2


def test_pianos_with_another_number_of_sections_are_no_kin():
    other = survey(section(number=1, dampers=28), section(number=2, dampers=20))
    assert memory(alike(3), of=other) is None


def test_the_newest_are_enough():
    assert kin_of(OWN, alike(MOST_KIN + 5)) == tuple(alike(MOST_KIN))


def test_a_slip_among_the_earlier_ones_is_left_out():
    found = memory([kin("slip", dampers=27), *alike(5), kin("e")])
    assert [(each.dampers, each.surveys) for each in found.sections[1].designs] == [(28, 6)]
    assert found.sections[1].left_out == 1


def test_a_run_over_eight_spaces_among_the_earlier_ones_is_left_out():
    found = memory([*alike(4), kin("eight", run_mm=111.125)])
    assert (found.sections[1].designs[0].surveys, found.sections[1].left_out) == (4, 1)


def test_a_changed_design_is_not_forced_into_one():
    changed = alike(3, dampers=27, span_mm=371.475, first=20)
    assert designs([*alike(4), *changed]) == [(28, 4), (27, 3)]
    wider = alike(3, span_mm=409.575, run_mm=104.775, first=30)
    assert designs([*alike(4), *wider]) == [(28, 4), (28, 3)]


def test_one_honest_piano_of_its_own_is_no_design_yet():
    assert designs([*alike(4), kin("new", dampers=27, span_mm=371.475)]) == [(28, 4)]


def test_what_looks_like_a_slip_is_a_design_once_several_agree_on_it():
    odd = [kin(f"odd {number}", dampers=27) for number in range(4)]
    assert designs([*alike(4), odd[0]]) == [(28, 4)]
    assert sorted(designs([*alike(4), *odd])) == [(27, 4), (28, 4)]


def test_more_pianos_tell_a_design_more_surely_and_its_spread_by_what_they_show():
    def span_of(earlier):
        (design,) = memory(earlier).sections[1].designs
        return design.cov_mm2[0][0], design.pitch_sd_mm

    few, many = span_of(alike(2)), span_of(alike(12))
    assert many[0] < few[0] / 3
    apart = [kin(number, span_mm=384.175 + 3.175 * (number % 5 - 2)) for number in range(12)]
    assert span_of(apart)[1] > BOOK.value("kind_pitch_sd") > span_of(alike(12, span_mm=384.175))[1]


def test_pianos_in_any_order_tell_the_same():
    earlier = [*alike(4), *alike(3, dampers=27, span_mm=371.475, first=20), kin("slip", dampers=27)]
    assert designs(earlier) == designs(earlier[::-1])


def test_readings_that_were_not_taken_do_no_harm():
    assert memory([kin(1, span_mm=None), kin(2, dampers=None), kin(3)]) is None
    assert designs([kin(1, run_mm=None), kin(2, run_mm=None)]) == [(28, 2)]
    short = [kin(number, dampers=5, span_mm=65.0875, run_mm=None) for number in range(3)]
    assert designs(short) == [(5, 3)]


def test_a_run_at_the_other_place_is_not_compared():
    treble = [kin(number, register="treble") for number in range(3)]
    found = knowing(OWN, treble).kind
    assert found.designs_of(1, treble=False) == () and len(found.designs_of(1, treble=True)) == 1


def test_counts_to_be_expected_before_a_survey():
    changed = alike(2, dampers=27, span_mm=371.475, first=20)
    assert counts_of_kind([*alike(4), *changed], "order own", None, BOOK) == ((28, 27),)
    assert counts_of_kind(alike(2), "order own", "1", BOOK) == ()
    assert counts_of_kind([], "order own", None, BOOK) == ()
