from hypothesis import given
from hypothesis import strategies as st

from railwright.computing.notes_of_sections import notes_of, top_damped
from section_kit import section, survey


def numbered(*dampers_and_notes):
    """Sections from (dampers, notes) pairs, as (first, last, notes)."""
    sections = [section(number=i, dampers=d, notes=n) for i, (d, n) in enumerate(dampers_and_notes, start=1)]
    return [(each.first_note, each.last_note, each.notes) for each in notes_of(survey(*sections))]


def test_sections_follow_each_other_and_the_top_one_takes_the_rest():
    assert numbered((26, None), (20, None), (22, None)) == [(1, 26, 26), (27, 46, 20), (47, 88, 42)]


def test_more_notes_than_dampers_where_the_sheet_says_so():
    assert numbered((26, None), (20, 21), (22, 41)) == [(1, 26, 26), (27, 47, 21), (48, 88, 41)]


def test_a_section_without_dampers_lies_beyond():
    assert numbered((26, None), (20, None), (22, None), (0, 12)) == [
        (1, 26, 26),
        (27, 46, 20),
        (47, 76, 30),
        (77, 88, 12),
    ]


def test_a_section_beyond_without_a_count_leaves_the_top_one_open():
    assert numbered((26, None), (22, None), (0, None)) == [(1, 26, 26), (27, None, None), (None, None, None)]


def test_a_missing_count_hides_all_numbers_above():
    assert numbered((26, None), (None, None), (22, None)) == [(1, 26, 26), (27, None, None), (None, None, None)]


def test_a_missing_count_with_notes_given_hides_nothing():
    assert numbered((26, None), (None, 20), (22, None)) == [(1, 26, 26), (27, 46, 20), (47, 88, 42)]


def test_the_whole_keyboard_and_one_note_too_many():
    assert numbered((44, None), (44, None)) == [(1, 44, 44), (45, 88, 44)]
    assert numbered((44, None), (45, None)) == [(1, 44, 44), (45, None, 45)]
    assert numbered((88, None), (1, None)) == [(1, 88, 88), (None, None, 1)]


def test_fewer_notes_than_dampers_cannot_be():
    assert numbered((26, 20), (22, None)) == [(1, 26, 26), (27, 88, 62)]


def test_undamped_notes():
    top = notes_of(survey(section(number=1, dampers=66)))[0]
    assert (top.damped, top.undamped) == (66, 22)


def test_nothing_filled_in():
    assert notes_of(survey()) == ()
    assert numbered((None, None)) == [(1, 88, 88)]
    assert top_damped((section(dampers=0),)) is None


counts = st.one_of(st.none(), st.integers(0, 100))


@given(st.lists(st.tuples(counts, counts), max_size=6))
def test_any_counts_give_numbers_of_the_keyboard_or_none(pairs):
    for first, last, notes in numbered(*pairs):
        assert first is None or 1 <= first <= 88
        assert last is None or (1 <= last <= 88 and last - first + 1 == notes)
