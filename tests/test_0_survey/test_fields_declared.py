import dataclasses

import pytest

from railwright.survey.fields import (
    INSTRUMENT_FIELDS,
    MAX_SECTIONS,
    SECTION_FIELDS,
    all_fields,
    field_by_key,
    fields_of_section,
)
from railwright.survey.records import SectionSurvey, Survey

# What workbooks in the field carry as names; a key may be added, none may go.
INSTRUMENT_KEYS = {
    *("order_no", "site", "technician", "survey_date", "needed_by", "maker", "model", "serial", "unit"),
    *("reading_step", "head_width", "wire_diameter", "ledge_front", "ledge_rear", "top_reach", "cable_run", "remarks"),
}
SECTION_KEYS = {
    *("register", "dampers", "span", "run", "run_end", "angle_1", "angle_2", "strut", "hole_low", "hole_high"),
    *("hole_offset_low", "hole_offset_high", "notes", "screws", "gauge_low", "gauge_high", "rest_low", "rest_high"),
    *("singles", "doubles", "room_low", "room_high", "gap_next"),
}


def test_no_key_of_a_workbook_in_the_field_is_lost():
    assert {field.key for field in INSTRUMENT_FIELDS} >= INSTRUMENT_KEYS
    assert {field.key for field in SECTION_FIELDS} >= SECTION_KEYS


def test_full_keys_are_unique_and_found():
    keys = [field.key for field in all_fields()]
    assert len(keys) == len(set(keys)) == len(INSTRUMENT_FIELDS) + MAX_SECTIONS * len(SECTION_FIELDS)
    assert field_by_key()["s6_span"] == fields_of_section(6)[[f.key for f in SECTION_FIELDS].index("span")]


@pytest.mark.parametrize("field", list(all_fields(1)), ids=lambda field: field.key)
def test_every_field_explains_itself(field):
    assert field.label[0].isupper() and field.help.endswith(".")
    assert (field.unit == "reading") == (field.kind == "length")
    assert bool(field.choices) == (field.kind in ("choice", "yes_no"))
    assert not (field.required_when and not field.required)
    assert not (field.may_be_zero and field.kind != "length")


def test_every_field_has_its_place_in_the_record():
    survey = {field.name for field in dataclasses.fields(Survey)}
    section = {field.name for field in dataclasses.fields(SectionSurvey)}
    suffix = {"length": "_mm", "angle": "_deg"}
    assert {f.key + suffix.get(f.kind, "") for f in INSTRUMENT_FIELDS} - survey == {"reading_step"}
    assert {f.key + suffix.get(f.kind, "") for f in SECTION_FIELDS} <= section
