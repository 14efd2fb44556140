"""File names made from what people type: safe on every system, never two texts in one file."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from railwright.survey.names import safe_name, safe_names

#: The signs and names that Windows refuses in file names; Microsoft Learn, "Naming Files, Paths, and Namespaces".
REFUSED = re.compile(r'[<>:"/\\|?*\x00-\x1f]')
DEVICES = re.compile(r"(con|prn|aux|nul|com[1-9¹²³]|lpt[1-9¹²³])(\..*)?", re.IGNORECASE)


@pytest.mark.parametrize("text", ["R-1001", "K4298", "2026_03.b", "a+b(2)", " R-1 "])
def test_ordinary_order_numbers_stay_as_they_are(text: str) -> None:
    assert safe_name(text) == text.strip()


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("../../x", "x-"),
        ("a/b", "a-b-"),
        ("CON", "x-CON-"),
        ("nul.txt", "x-nul.txt-"),
        ("Ü 7", "U-7-"),
        ("", "unnamed-"),
        ("...", "unnamed-"),
        ("名", "unnamed-"),
        ("R 1", "R-1-"),
    ],
)
def test_others_are_changed_and_marked(text: str, begins: str) -> None:
    name = safe_name(text)
    assert name.startswith(begins)
    assert re.fullmatch(r"[0-9a-f]{8}", name.removeprefix(begins))


@given(st.text())
def test_any_text_gives_a_name_that_every_system_takes(text: str) -> None:
    name = safe_name(text)
    assert 1 <= len(name) <= 80
    assert not REFUSED.search(name) and not DEVICES.fullmatch(name)
    assert name[0] not in ".-" and name[-1] not in ". "
    assert name.isascii()


@given(st.text(), st.text())
def test_different_texts_give_different_names(one: str, other: str) -> None:
    if one.strip() != other.strip():
        assert safe_name(one) != safe_name(other)


@given(st.lists(st.text(alphabet="aAbB. /", max_size=3), max_size=8))
def test_names_of_a_batch_differ_even_without_upper_and_lower_case(texts: list[str]) -> None:
    names = safe_names(texts)
    assert len({name.casefold() for name in names}) == len(texts)


def test_the_first_keeps_its_name_and_later_ones_are_numbered() -> None:
    assert safe_names(["r-1", "R-1", "r-1"]) == ("r-1", "R-1-2", "r-1-3")
