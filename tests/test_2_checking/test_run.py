"""Findings get their address and severity, and what is true of several sections is said once."""

import pytest

from helpers_checking import BOOK, changed, renamed, sound_survey
from railwright.checking.run import check_batch, check_survey, put_into_words, workbook_finding
from railwright.computing.results import Conflict

ROOM = {"end": "low", "room_mm": 1.0, "clearance_mm": 2.0}
NONE = {"carriers": 0, "felts": 1, "feet": 1}


def test_a_finding_has_the_address_of_its_cell():
    (finding,) = check_survey(changed(sound_survey(), site=None), BOOK)
    assert (finding.rule, finding.severity, finding.field) == ("missing_reading", "fix", "site")
    assert (finding.sheet, finding.cell) == ("Survey", "B7")


def test_a_conflict_gets_the_severity_and_the_sentence_of_its_rule():
    (finding,) = put_into_words([Conflict("end_without_room", 2, "s2_room_low", ROOM)], sound_survey())
    assert (finding.severity, finding.cell) == ("fix", "B7")
    assert finding.message.startswith("Section 2: expected at least 2.0 mm between the outer head and the plate")


def test_the_same_of_several_sections_is_said_once():
    conflicts = [Conflict("no_parts_to_choose", number, None, NONE) for number in (1, 2, 4)]
    (finding,) = put_into_words(conflicts, sound_survey())
    assert finding.message.startswith("Sections 1, 2 and 4: the shop book has 0 carriers")


def test_the_same_at_different_cells_stays_apart():
    conflicts = [Conflict("end_without_room", number, f"s{number}_room_low", ROOM) for number in (1, 2)]
    assert [finding.field for finding in put_into_words(conflicts, sound_survey())] == ["s1_room_low", "s2_room_low"]


def test_a_conflict_without_a_rule_is_a_fault_not_a_silence():
    with pytest.raises(KeyError):
        put_into_words([Conflict("no_such_rule")], sound_survey())


def test_a_conflict_without_its_facts_is_a_fault_not_a_half_sentence():
    with pytest.raises(KeyError):
        put_into_words([Conflict("no_parts_to_choose", 1)], sound_survey())


def test_findings_over_a_folder_go_to_their_files():
    first, second = sound_survey("a.xlsx"), changed(renamed(sound_survey(), "b.xlsx"), serial="C 311")
    other = changed(renamed(sound_survey(), "c.xlsx"), order_no="T-2", serial="C 312")
    found = check_batch([first, second, other])
    assert set(found) == {"a.xlsx", "b.xlsx"}
    assert "also in b.xlsx" in found["a.xlsx"][0].message


def test_a_finding_about_a_whole_file_has_no_cell():
    finding = workbook_finding("not_a_survey", "It is an invoice.")
    assert (finding.severity, finding.field, finding.cell) == ("fix", None, None)
