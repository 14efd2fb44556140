import pytest

from helpers_checking import changed, found_in_folder, sound_survey


def test_a_damper_more_than_the_other_of_its_model():
    first, second = sound_survey("a.xlsx"), changed(sound_survey("b.xlsx"), s2_dampers=13)
    assert found_in_folder("differs_from_same_model", first, second) == [
        ("a.xlsx", "s2_dampers"),
        ("b.xlsx", "s2_dampers"),
    ]


def test_with_a_majority_only_the_odd_one_is_asked():
    first, second = sound_survey("a.xlsx"), sound_survey("b.xlsx")
    odd = changed(sound_survey("c.xlsx"), s2_dampers=13)
    assert found_in_folder("differs_from_same_model", first, second, odd) == [("c.xlsx", "s2_dampers")]


def test_a_count_far_off_is_another_design():
    first = sound_survey("a.xlsx")
    assert found_in_folder("differs_from_same_model", first, changed(sound_survey("b.xlsx"), s2_dampers=14)) != []
    assert found_in_folder("differs_from_same_model", first, changed(sound_survey("b.xlsx"), s2_dampers=15)) == []


@pytest.mark.parametrize("other", [{"model": "E6"}, {"maker": "Modelton"}, {"model": None}, {"s3_dampers": None}])
def test_other_models_and_unknown_counts_are_quiet(other):
    survey = changed(sound_survey("b.xlsx"), s2_dampers=13, **other)
    assert found_in_folder("differs_from_same_model", sound_survey("a.xlsx"), survey) == []


def test_the_same_counts_are_quiet():
    assert found_in_folder("differs_from_same_model", sound_survey("a.xlsx"), sound_survey("b.xlsx")) == []


def test_pianos_that_differ_in_two_sections_are_another_design():
    first = sound_survey("a.xlsx")
    second = changed(sound_survey("b.xlsx"), s1_dampers=13, s2_dampers=13)
    assert found_in_folder("differs_from_same_model", first, second) == []
