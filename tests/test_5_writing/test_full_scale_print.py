"""Full-scale patterns printed by a real browser and measured on the paper: nothing may be off by more than 0.2 mm."""

from __future__ import annotations

from pathlib import Path

import pytest

import hand_made_week as week
from printed_pages import BROWSER, MEASURE, Mark, marks_of, page_count, print_page
from railwright.computing.results import SectionResult
from railwright.writing.drawings.layers import CARRIER, FRAME, STATION
from railwright.writing.drawings.pattern import OVERLAP, TILE_HEIGHT, TILE_WIDTH
from railwright.writing.pages import write_pages
from railwright.writing.results_file import results_document

pytestmark = pytest.mark.skipif(not (BROWSER and MEASURE), reason="needs a browser and poppler")

PAPERS = {"letter": (279.4, 215.9), "A4": (297.0, 210.0)}
#: Room that ordinary office printers leave unprinted, with some to spare (common practice, no source).
UNPRINTED = 8.0
TRUE = 0.2


@pytest.fixture(scope="module", params=PAPERS)
def paper(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture(scope="module")
def printed(paper: str, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    folder = tmp_path_factory.mktemp(f"pattern-{paper}")
    assert write_pages(week.week(), folder) == ()
    page = folder / "patterns" / "R-101.html"
    text = page.read_text(encoding="utf-8")
    laid_across = "@page { size: landscape;"
    assert text.count(laid_across) == 1
    page.write_text(text.replace(laid_across, f"@page {{ size: {paper} landscape;"), encoding="utf-8")
    return print_page(page, folder), folder


def section(number: int) -> SectionResult:
    return week.result().sections[number - 1]


def pages(printed: tuple[Path, Path], *numbers: int) -> list[list[Mark]]:
    pdf, folder = printed
    return [marks_of(pdf, number, folder) for number in numbers]


def tile_tops(marks: list[Mark]) -> list[tuple[float, float]]:
    """Give the left and upper edge of each tile on a page, by its white ground."""
    return [
        (m.left, m.top)
        for m in marks
        if m.fill == "ffffff" and abs(m.right - m.left - TILE_WIDTH) < TRUE and m.bottom - m.top < TILE_HEIGHT + TRUE
    ]


def on_tile(marks: list[Mark], number: int) -> list[Mark]:
    _, top = tile_tops(marks)[number]
    return [m for m in marks if top <= m.top and m.bottom <= top + TILE_HEIGHT]


def colour(text: str) -> str:
    return text.removeprefix("#")


def stations(marks: list[Mark]) -> list[float]:
    return sorted(m.middle for m in marks if m.fill == colour(STATION.fill))


def test_it_takes_the_pages_that_it_says(printed: tuple[Path, Path]) -> None:
    """281.3, 363 and 587.2 mm with their words take 2, 2 and 3 tiles, two to a page."""
    pdf, folder = printed
    assert page_count(pdf) == 4
    text = (folder / "patterns" / "R-101.html").read_text(encoding="utf-8")
    assert "A4 or Letter: 4 pages." in text and "page 4 of 4" in text and "page 5 of" not in text


def test_nothing_lies_where_printers_do_not_print(printed: tuple[Path, Path], paper: str) -> None:
    wide, high = PAPERS[paper]
    for marks in pages(printed, 1, 3, 4):
        for left, top in tile_tops(marks):
            assert left >= UNPRINTED and left + TILE_WIDTH <= wide - UNPRINTED
            assert top >= UNPRINTED and top + TILE_HEIGHT <= high - UNPRINTED


def test_every_tile_has_a_rule_of_100_mm(printed: tuple[Path, Path]) -> None:
    for marks, tiles in zip(pages(printed, 1, 2, 3, 4), (2, 2, 2, 1), strict=True):
        rules = [
            m.right - m.left
            for m in marks
            if m.stroke == colour(FRAME.colour) and m.top == m.bottom and 95 < m.right - m.left < 105
        ]
        assert rules == pytest.approx([100.0] * tiles, abs=TRUE)


def test_the_segment_is_as_long_and_as_wide_as_the_results_state(printed: tuple[Path, Path]) -> None:
    """The whole outline lies behind each tile's window, so its length can be measured on the first."""
    (marks,) = pages(printed, 1)
    stated = results_document(week.week())["instruments"][0]["sections"][0]["carrier"]["length_mm"]
    outlines = [
        m
        for m in marks
        if (m.stroke, m.fill) == (colour(CARRIER.colour), "") and m.bottom - m.top > 5 and len(m.corners) > 3
    ]
    assert [m.right - m.left for m in outlines] == pytest.approx([stated] * 2, abs=TRUE)
    assert [m.bottom - m.top for m in outlines] == pytest.approx([section(1).carrier.width_mm] * 2, abs=TRUE)


def test_stations_are_as_far_apart_as_the_results_state(printed: tuple[Path, Path]) -> None:
    (marks,) = pages(printed, 1)
    first, second, _ = (station.x_mm for station in section(1).stations)
    seen = stations(on_tile(marks, 0))
    assert seen[1] - seen[0] == pytest.approx(second - first, abs=TRUE)


@pytest.mark.parametrize(
    ("page", "tile", "next_page", "next_tile", "number", "from_station"),
    [(1, 0, 1, 1, 1, 2), (3, 0, 3, 1, 3, 2), (3, 1, 4, 0, 3, 3)],
)
def test_distances_hold_across_a_join(
    printed: tuple[Path, Path], page: int, tile: int, next_page: int, next_tile: int, number: int, from_station: int
) -> None:
    """Up to the joining line on one tile, from it on the next."""
    here, there = pages(printed, page, next_page)
    end = tile_tops(here)[tile][0] + TILE_WIDTH - OVERLAP
    start = tile_tops(there)[next_tile][0] + OVERLAP
    before = max(x for x in stations(on_tile(here, tile)) if x < end)
    after = min(x for x in stations(on_tile(there, next_tile)) if x > start)
    a, b = (section(number).stations[index].x_mm for index in (from_station - 1, from_station))
    assert (end - before) + (after - start) == pytest.approx(b - a, abs=TRUE)


def test_crosses_at_a_join_are_level_on_both_tiles(printed: tuple[Path, Path]) -> None:
    (marks,) = pages(printed, 1)
    tops = tile_tops(marks)
    levels = [
        sorted(
            m.top - top
            for m in on_tile(marks, tile)
            if m.stroke == colour(FRAME.colour)
            and m.top == m.bottom
            and m.right - m.left == pytest.approx(6.0, abs=0.1)
        )
        for tile, (_, top) in enumerate(tops)
    ]
    assert len(levels[0]) == 2 and levels[0] == pytest.approx(levels[1], abs=TRUE)
