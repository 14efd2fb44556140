from helpers_checking import changed, found_in_folder, renamed, sound_survey


def test_one_order_number_on_two_workbooks():
    first, second = sound_survey("a.xlsx"), changed(sound_survey("b.xlsx"), serial="C 311")
    assert found_in_folder("duplicate_order_number", first, second) == [("a.xlsx", "order_no"), ("b.xlsx", "order_no")]


def test_capitals_and_blanks_make_no_other_number():
    first, second = sound_survey("a.xlsx"), changed(sound_survey("b.xlsx"), order_no="t - 1041")
    assert len(found_in_folder("duplicate_order_number", first, second)) == 2


def test_other_numbers_and_blank_ones_are_quiet():
    first, second = sound_survey("a.xlsx"), changed(sound_survey("b.xlsx"), order_no="T-1042")
    blank = changed(sound_survey("c.xlsx"), order_no=None)
    assert found_in_folder("duplicate_order_number", first, second, blank, renamed(blank, "d.xlsx")) == []
