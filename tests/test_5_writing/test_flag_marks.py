"""How lines of ours are told from a person's, and how large the boxes of notes are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from railwright.writing.patching.boxes import BOX_WIDTH, LINE_HEIGHT, Grid, _pieces, needed_height
from railwright.writing.patching.flags import WORDS
from railwright.writing.patching.marks import FILLS, MARK, MAX_LINE, is_ours, our_line, our_spans, without_spans
from workbook_kit import MAIN, sheet_xml

SEVERITIES = st.sampled_from(list(WORDS))


def cleaned(text: str) -> str:
    return without_spans(text, our_spans(text))


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("Fix: a [railwright]", ""),
        ("mine\nFix: a [railwright]", "mine"),
        ("Fix: a [railwright]\nmine", "mine"),
        ("one\nFix: a [railwright]\ntwo", "one\ntwo"),
        ("one\nFix: a [railwright]\nNote: b [railwright]\ntwo", "one\ntwo"),
        ("Fix: a [railwright] mine", " mine"),
        ("Fix: a\nb [railwright]", "Fix: a\nb [railwright]"),
        ("see Fix: a [railwright]", "see Fix: a [railwright]"),
        ("Fix the pin", "Fix the pin"),
        ("[railwright]", "[railwright]"),
        ("", ""),
    ],
)
def test_only_our_lines_go(before, after):
    assert cleaned(before) == after


@given(SEVERITIES, st.text(max_size=80))
def test_every_line_we_write_is_recognised(severity, text):
    line = our_line(severity, text)
    assert is_ours(line)
    assert "\n" not in line
    assert cleaned(line) == ""


@given(st.text(max_size=40), st.lists(st.tuples(SEVERITIES, st.text(max_size=20)), min_size=1, max_size=4))
def test_a_persons_text_in_front_comes_back(own, ours):
    own = own.replace(MARK, "").strip("\n")
    lines = "\n".join(our_line(severity, text) for severity, text in ours)
    assert cleaned(f"{own}\n{lines}" if own else lines) == own


def test_a_text_of_ours_with_more_in_it_is_not_ours():
    assert not is_ours("Fix: a [railwright] and mine")
    assert not is_ours("")
    assert is_ours("Fix: a [railwright]\n")


def test_a_long_message_is_cut_and_stays_recognisable():
    line = our_line("fix", "x" * 10_000)
    assert len(line) == MAX_LINE + len("Fix:  ") + len(MARK)
    assert is_ours(line)


def luminance(rgb: str) -> float:
    """WCAG 2.1, relative luminance."""
    parts = [int(rgb[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("severity", WORDS)
def test_black_text_is_easy_to_read_on_every_fill(severity):
    """WCAG 2.1, 1.4.6: a contrast of 7 to 1 is the enhanced level."""
    assert (luminance(FILLS[severity]) + 0.05) / 0.05 > 7


def test_a_box_has_a_line_for_every_line_of_text():
    one = needed_height("short", BOX_WIDTH)
    assert needed_height("short\nshort", BOX_WIDTH) == one + LINE_HEIGHT
    assert needed_height("word " * 60, BOX_WIDTH) > one + 4 * LINE_HEIGHT


def grid(before: str = "", rows: str = "") -> Grid:
    return Grid(etree.fromstring(sheet_xml(rows, before)), f"{{{MAIN}}}")


def test_a_box_begins_in_the_next_column_and_ends_where_its_size_ends():
    anchor, x, y = grid().anchor((5, 2), 100, 50)
    assert anchor == [2, 14, 3, 4, 3, 50, 5, 14]
    assert (x, y) == (2 * 64 + 14, 3 * 20 + 4)


def test_wide_columns_and_high_rows_count():
    wide = grid(
        '<cols><col min="3" max="3" width="40" customWidth="1"/></cols>', '<row r="4" ht="75" customHeight="1"/>'
    )
    anchor, _, _ = wide.anchor((5, 2), 100, 50)
    assert anchor == [2, 14, 3, 4, 2, 114, 3, 54]


def test_hidden_columns_and_rows_have_no_size():
    hidden = grid('<cols><col min="3" max="4" width="9" hidden="1"/></cols>', '<row r="4" hidden="1"/>')
    anchor, _, _ = hidden.anchor((5, 2), 10, 10)
    assert anchor == [4, 14, 4, 4, 4, 24, 4, 14]


@pytest.mark.parametrize("place", [(1, 1), (1_048_576, 16_384), (1, 16_384)])
def test_a_box_stays_on_the_sheet(place):
    anchor, _, _ = grid().anchor(place, 300, 600)
    assert 0 <= anchor[0] <= anchor[4] < 16_384
    assert 0 <= anchor[2] <= anchor[6] < 1_048_576


def test_a_box_that_is_large_enough_stays():
    large = [2, 0, 0, 0, 8, 0, 40, 0]
    assert grid().heightened(large, "short") == large
    assert grid().heightened([2, 0, 0, 0, 4, 0, 1, 0], "short\n" * 5)[6] > 1


@given(
    st.lists(
        st.sampled_from(["<v:shape>", "</v:shape>", "<v:shape id='a'/>", "<v:shapetype>", "<shape>", "</shape>", "x"])
    )
)
def test_cutting_a_drawing_loses_nothing(pieces):
    text = "".join(pieces)
    cut = list(_pieces(text))
    assert "".join(piece for _, piece in cut) == text
    assert all(piece.startswith("<") and piece.endswith("shape>") for is_shape, piece in cut if is_shape)
