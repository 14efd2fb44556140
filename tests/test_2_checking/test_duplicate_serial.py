from helpers_checking import changed, found_in_folder, renamed, sound_survey


def test_one_serial_number_on_two_workbooks():
    first, second = sound_survey("a.xlsx"), changed(sound_survey("b.xlsx"), order_no="T-1042")
    assert found_in_folder("duplicate_serial", first, second) == [("a.xlsx", "serial"), ("b.xlsx", "serial")]


def test_another_maker_may_have_the_same_number():
    first, second = sound_survey("a.xlsx"), changed(sound_survey("b.xlsx"), maker="Modelton")
    assert found_in_folder("duplicate_serial", first, second) == []


def test_blank_numbers_are_no_duplicates():
    blank = changed(sound_survey("a.xlsx"), serial=None)
    assert found_in_folder("duplicate_serial", blank, renamed(blank, "b.xlsx")) == []
