from helpers_checking import findings, found, message, sound_survey, typed


def test_a_day_in_another_order_is_used_and_told():
    survey = typed(sound_survey(), "survey_date", "4.3.2031")
    assert found(survey, "unusual_spelling") == ["survey_date"]
    assert "4 March 2031" in message(survey, "unusual_spelling")
    assert findings(survey, "unusual_spelling")[0].severity == "note"


def test_a_day_as_asked_for_is_quiet():
    assert found(typed(sound_survey(), "survey_date", "2031-03-04"), "unusual_spelling") == []


def test_what_cannot_be_read_is_left_to_its_own_rule():
    assert found(typed(sound_survey(), "survey_date", "3/4/2031"), "unusual_spelling") == []
