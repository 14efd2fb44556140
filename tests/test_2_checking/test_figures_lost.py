from helpers_checking import found, sound_survey, typed


def test_a_number_of_more_figures_than_programs_keep():
    survey = typed(sound_survey(), "order_no", 1234567890123456000.0)
    assert found(survey, "figures_lost") == ["order_no"]


def test_fifteen_figures_are_kept():
    assert found(typed(sound_survey(), "order_no", 123456789012345.0), "figures_lost") == []


def test_the_same_number_as_text_is_quiet():
    assert found(typed(sound_survey(), "order_no", "1234567890123456789"), "figures_lost") == []
