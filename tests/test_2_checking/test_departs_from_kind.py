from dataclasses import replace

from helpers_checking import BOOK, changed, computed, found_in_folder, sound_survey, with_sections
from kin_kit import earlier_of, knowing
from railwright.checking.run import check_batch
from railwright.computing.compute import compute
from railwright.computing.next_reading import next_readings
from railwright.one_file import told_of_others
from railwright.writing.week import Instrument

# a treble section of 24 heads, in which a count of 25 hides without a second run
LONG = changed(with_sections(sound_survey("a.xlsx"), 4), s1_notes=24, s1_run_end_mm=None, top_reach_mm=None)
KIN = [earlier_of(LONG, serial) for serial in range(5)]


def held_against_kin(**readings):
    return knowing(changed(LONG, **readings), KIN, BOOK)


def test_a_count_off_by_one_is_asked_about_with_the_right_one_named():
    (finding,) = computed(held_against_kin(s1_dampers=25, s1_notes=25), "departs_from_kind")
    assert (finding.field, finding.severity) == ("s1_dampers", "confirm")
    assert "which have 24 dampers, span about 329 mm" in finding.message
    assert "24 heads would fit the readings, not 25" in finding.message
    assert "(5 surveys)" in finding.message and finding.message.endswith("confirm that this piano is built so.")


def test_one_question_for_one_count_and_the_count_is_what_to_take_again():
    one = held_against_kin(s1_dampers=25, s1_notes=25)
    result = compute(one, BOOK)
    rules = [each.rule for each in result.all_conflicts() if each.section == 1]
    assert "readings_disagree" not in rules and rules.count("departs_from_kind") == 1
    findings = computed(one, "departs_from_kind")
    assert next_readings(one, result, BOOK, findings)[0].field == "s1_dampers"


def test_like_its_kind_it_is_quiet():
    assert computed(held_against_kin(), "departs_from_kind") == []


def test_without_earlier_pianos_or_with_one_it_is_quiet():
    one = changed(LONG, s1_dampers=25, s1_notes=25)
    assert computed(one, "departs_from_kind") == []
    assert computed(knowing(one, KIN[:1], BOOK), "departs_from_kind") == []
    assert computed(knowing(one, KIN[:2], BOOK), "departs_from_kind") != []


def test_what_a_folder_says_of_the_same_count_is_not_told_as_well():
    one = held_against_kin(s1_dampers=25, s1_notes=25)
    others = [replace(LONG, file="b.xlsx"), replace(LONG, file="c.xlsx", serial="B 2")]
    assert ("a.xlsx", "s1_dampers") in found_in_folder("differs_from_same_model", one, *others)
    shared = check_batch([one, *others])["a.xlsx"]
    instrument = Instrument("a.xlsx", one, (), compute(one, BOOK))
    assert "differs_from_same_model" not in [each.rule for each in told_of_others(instrument, shared)]
    unknowing = replace(instrument, result=compute(replace(one, kind=None), BOOK))
    assert told_of_others(unknowing, shared) == tuple(shared)
