from helpers_checking import book, computed, one_section


def test_an_end_that_stands_out_where_nobody_measured():
    (finding,) = computed(one_section(s1_room_low_mm=None), "end_room_unread", book(room_usual=2.0))
    assert (finding.field, finding.severity) == ("s1_room_low", "confirm")
    assert "2.0 mm may be taken for granted" in finding.message


def test_within_the_usual_room_it_is_quiet():
    assert computed(one_section(s1_room_low_mm=None), "end_room_unread") == []


def test_room_that_was_measured_is_quiet():
    assert computed(one_section(), "end_room_unread", book(room_usual=2.0)) == []
