"""The drawing of a segment: its geometry in real millimetres, and its SVG."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise
from statistics import mean

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

import hand_made_week as week
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.results import SectionResult, Station
from railwright.writing.drawings.end_views import end_stacks, figures_of
from railwright.writing.drawings.fitting import fitted
from railwright.writing.drawings.pattern import OVERLAP, STEP, TILE_WIDTH, pattern_of
from railwright.writing.drawings.primitives import Length, Line, Ordinate, Sheet, Text
from railwright.writing.drawings.segment_case import (
    SegmentCase,
    between_words,
    datum_mm,
    datum_words,
    outline,
    segment_cases,
    shim_at,
    stack_at,
)
from railwright.writing.drawings.segment_sheet import scale_of, segment_sheet
from railwright.writing.drawings.spread import spread
from railwright.writing.drawings.svg import figure, render

BOOK = default_shop_book()
SVG = "{http://www.w3.org/2000/svg}"


def case_of(section: SectionResult) -> SegmentCase:
    (case,) = segment_cases(week.survey("a.xlsx", "R-101"), (section,), BOOK)
    return case


def sample(number: int) -> SegmentCase:
    return case_of(week.result().sections[number - 1])


def dimensions(sheet: Sheet, kind: type) -> list[float]:
    return [p.value_mm for placed in sheet.views for p in placed.view.primitives if isinstance(p, kind)]


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_outline_is_as_long_as_the_bar_over_its_long_points_and_on_its_edges(number: int) -> None:
    case = sample(number)
    front_low, front_high, rear_high, rear_low = outline(case, case.carrier.width_mm)
    xs = [x for x, _ in (front_low, front_high, rear_high, rear_low)]
    assert max(xs) - min(xs) == pytest.approx(case.carrier.length_mm)
    assert front_high[0] - front_low[0] == pytest.approx(case.carrier.edge_mm)
    assert rear_high[0] - rear_low[0] == pytest.approx(case.carrier.edge_mm)


@pytest.mark.parametrize(("theta", "edge"), [(78.0, "keyboard edge"), (102.0, "tail edge")])
def test_the_ends_lean_as_the_strings_do_and_the_long_point_is_named(theta: float, edge: str) -> None:
    """Below 90 deg the strings lean to the treble: the rear corners lie further to the treble than the front ones."""
    case = case_of(week.section(1, "bass", 1, 20, theta))
    front_low, _, _, rear_low = outline(case, case.carrier.width_mm)
    angle = math.degrees(math.atan2(rear_low[1] - front_low[1], rear_low[0] - front_low[0]))
    assert angle == pytest.approx(theta)
    assert datum_words(case).endswith(f"({edge})")


def test_square_ends_have_no_long_point() -> None:
    case = sample(2)
    assert len({x for x, _ in outline(case, 8.0)}) == 2
    assert datum_words(case) == "the low (bass) end"


@pytest.mark.parametrize("number", [1, 2, 3])
def test_dimensions_are_the_lengths_that_the_results_state(number: int) -> None:
    case = sample(number)
    sheet = segment_sheet(case)
    datum = datum_mm(case)
    assert dimensions(sheet, Length) == [pytest.approx(case.carrier.length_mm)]
    places = [s.x_mm for s in case.section.stations] + [r.x_mm for r in case.section.reliefs]
    assert sorted(dimensions(sheet, Ordinate)) == pytest.approx(sorted({x - datum for x in places}))


def test_stations_are_named_by_the_notes_on_either_side() -> None:
    """Section 3 begins at note 47 (G4); its last station stands under the strings beyond the last damper."""
    section = week.result().sections[2]
    words = [between_words(section, station) for station in section.stations]
    assert words == [
        "between A4 and A#4",
        "between F#5 and G5",
        "between D6 and D#6",
        "beyond the wires, under the strings A#7 and B7",
    ]


def test_wires_without_known_notes_are_numbered() -> None:
    section = replace(week.result().sections[0], first_note=None)
    assert between_words(section, section.stations[0]) == "between wire 3 and wire 4"


def test_shims_run_straight_between_stations_and_on_beyond_them() -> None:
    stations = (Station(1, 10.0, 0.0), Station(2, 30.0, 0.4), Station(3, 50.0, 0.2))
    assert [shim_at(stations, x) for x in (0.0, 10.0, 20.0, 30.0, 60.0)] == pytest.approx([-0.2, 0.0, 0.2, 0.4, 0.1])
    assert shim_at(stations[:1], 99.0) == 0.0


def test_the_stack_is_foot_shim_carrier_and_felt() -> None:
    case = sample(1)
    station = case.section.stations[1]
    assert stack_at(case, station.x_mm) == pytest.approx(1.0 + 0.1 + 8.0 + 2.0)


def test_end_views_tell_room_when_lowered_and_pressing_when_lifted() -> None:
    """Gauge 15.875 and rest gap 20.0 at the low end; 11.0 without shims."""
    section = week.result().sections[0]
    loads = (replace(section.loads[0], press_mm=0.55), *section.loads[1:])
    low, high = end_stacks(case_of(replace(section, stack_low_mm=11.24, stack_high_mm=13.3, loads=loads)))
    lowered = ("stack 11.2", "without shims 11.0", "free height 15.9", "room 4.6")
    assert figures_of(low, lifted=False) == lowered
    assert figures_of(low, lifted=True) == ("lift 5.0", "gap at rest 20.0", "felt pressed 0.6")
    assert figures_of(high, lifted=False)[0] == "stack 13.3"
    assert len(figures_of(high, lifted=True)) == 2


def test_without_reckoned_heights_the_stack_is_that_of_the_shims_as_they_lie() -> None:
    """Shims 0.0, 0.1 and 0.2 in gaps 3, 10 and 17: 0.1 mm to seven pitches, on to the segment's end."""
    case = sample(1)
    beyond = case.section.stations[0].x_mm - case.carrier.start_mm
    assert end_stacks(case)[0].height == pytest.approx(11.0 - 0.1 * beyond / (7 * 13.9))


@pytest.mark.parametrize(
    ("length", "name"),
    [(238.0, "1:1"), (238.1, "1:2"), (476.0, "1:2"), (476.1, "1:2.5"), (800.0, "1:4"), (9e3, "1:10")],
)
def test_the_largest_scale_that_fits(length: float, name: str) -> None:
    assert scale_of(length)[1] == name


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_svg_is_well_formed_and_measured_in_mm(number: int) -> None:
    root = etree.fromstring(render(segment_sheet(sample(number)), "seg"))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("297mm", "210mm", "0 0 297 210")
    assert root.find(f"{SVG}title").text == f"Segment {number} of order R-101"
    assert "Stations from the low (bass) end" in root.find(f"{SVG}desc").text
    assert root.get("aria-labelledby") == "seg-title seg-desc"


def test_the_carrier_is_drawn_true_to_scale() -> None:
    case = sample(1)
    root = etree.fromstring(render(segment_sheet(case), "seg"))
    group = next(g for g in root.iter(f"{SVG}g") if g.get("id").endswith("-carrier"))
    xs = [float(pair.split(",")[0]) for pair in group[0].get("points").split()]
    scale, _ = scale_of(case.carrier.length_mm)
    assert max(xs) - min(xs) == pytest.approx(case.carrier.length_mm * scale, abs=0.002)


def test_words_from_a_survey_are_escaped() -> None:
    survey = replace(week.survey("a.xlsx", "<script>&\x00"), maker='"><b>')
    (case,) = segment_cases(survey, week.result().sections[:1], BOOK)
    text = render(segment_sheet(case), 'a"b')
    assert "<script>" not in text and "<b>" not in text
    etree.fromstring(text)


def test_the_same_segment_gives_the_same_drawing() -> None:
    assert render(segment_sheet(sample(3)), "s") == render(segment_sheet(sample(3)), "s")


def test_what_is_kept_of_one_drawing_never_shows_on_another() -> None:
    """Cases drawn in turn share views with their own other sheet; those drawn once each are as good as fresh."""
    fresh = [render(segment_sheet(sample(number), to_scale), "s") for number in (1, 2, 3) for to_scale in (True, False)]
    again = [replace(sample(number)) for number in (1, 2, 3)]
    in_turn = {to_scale: [render(segment_sheet(case, to_scale), "s") for case in again] for to_scale in (False, True)}
    assert [one for pair in zip(in_turn[True], in_turn[False], strict=True) for one in pair] == fresh
    shim = replace(again[0].section.stations[0], shim_mm=9.9)
    other = replace(again[0], section=replace(again[0].section, stations=(shim,)))
    assert "shim 9.9" in render(segment_sheet(other), "s")


def test_a_sheet_that_is_fitted_to_a_page_differs_in_its_scale_only() -> None:
    true, fitted_sheet = (render(segment_sheet(sample(1), to_scale), "s").splitlines() for to_scale in (True, False))
    changed = [pair for pair in zip(true, fitted_sheet, strict=True) if pair[0] != pair[1]]
    assert [[">1:2 on A4, printed at 100 %<" in one, ">not to scale<" in other] for one, other in changed] == [
        [True] * 2
    ]


def test_a_section_that_could_not_be_sized_has_no_drawing() -> None:
    assert segment_cases(week.survey("a.xlsx", "R"), (SectionResult(1, "bass", 1, 20),), BOOK) == ()


def boxes(sheet: Sheet) -> list[tuple[str, float, float, float, float]]:
    """Give every text's box on paper, letters taken as 0.54 of their height wide on the average."""
    found = []
    for placed in sheet.views:
        for text in placed.view.primitives:
            if not isinstance(text, Text) or not text.text:
                continue
            x, y = (placed.origin[i] + placed.scale * text.at[i] for i in (0, 1))
            wide, half = 0.54 * text.height_mm * len(text.text), text.height_mm / 2.0
            before = {"start": 0.0, "middle": wide / 2.0, "end": wide}[text.anchor]
            box = (-before, -half, wide - before, half)
            if text.turn_deg == 90.0:
                box = (-half, -before, half, wide - before)
            found.append((text.text, x + box[0], y + box[1], x + box[2], y + box[3]))
    return found


@pytest.mark.parametrize("number", [1, 2, 3])
def test_no_words_overlap_or_leave_the_sheet(number: int) -> None:
    sheet = segment_sheet(sample(number))
    placed = boxes(sheet)
    assert all(x1 >= 0 and y1 >= 0 and x2 <= sheet.width_mm and y2 <= sheet.height_mm for _, x1, y1, x2, y2 in placed)
    clashes = [
        (a[0], b[0]) for a, b in combinations(placed, 2) if a[1] < b[3] and b[1] < a[3] and a[2] < b[4] and b[2] < a[4]
    ]
    assert clashes == []


@given(st.lists(st.floats(0, 500), max_size=15).map(sorted), st.floats(0.1, 20))
def test_spread_labels_keep_their_distance_and_move_no_more_than_they_must(places: list[float], apart: float) -> None:
    moved = spread(places, apart)
    assert all(b - a >= apart - 1e-6 for a, b in pairwise(moved))
    if all(b - a >= apart + 1e-6 for a, b in pairwise(places)):
        assert moved == pytest.approx(places)
    if places:
        assert mean(moved) == pytest.approx(mean(places), abs=1e-6)


def test_two_labels_in_one_place_part_evenly() -> None:
    assert spread([10.0, 10.0], 4.0) == [8.0, 12.0]


@pytest.mark.parametrize(("value", "text"), [(1.0, "1"), (-0.0001, "0"), (2.5004, "2.5"), (0.1234, "0.123")])
def test_figures_are_spelled_alike(value: float, text: str) -> None:
    assert figure(value) == text


@pytest.mark.parametrize(
    ("count", "room", "letters", "kept"),
    [(10, 12.4, 2.0, 10), (10, 12.3, 1.98, 10), (10, 11.2, 1.8, 10), (10, 11.1, 1.8, 9), (10, 0.1, 1.8, 1)],
)
def test_words_shrink_to_their_room_and_are_cut_only_below_the_least_letters(
    count: int, room: float, letters: float, kept: int
) -> None:
    """A letter takes 0.62 of its height: ten letters 2 mm high take 12.4 mm, 1.8 mm high 11.16 mm."""
    words, height = fitted("m" * count, room, 2.0)
    assert len(words) == kept and height == pytest.approx(letters, abs=0.01)
    assert words.endswith("…") == (kept < count)


def test_a_long_name_stays_on_the_drawing() -> None:
    survey = replace(week.survey("a.xlsx", "N" * 80), site="a long name of a place " * 20, maker="M" * 90)
    for made in (True, False):
        (case,) = segment_cases(survey, week.result().sections[:1], BOOK, made)
        for sheet in (segment_sheet(case), pattern_of(case).whole, *pattern_of(case).tiles):
            assert all(x1 >= 0 and x2 <= sheet.width_mm for _, x1, _, x2, _ in boxes(sheet))


def test_a_pattern_is_full_scale_and_its_tiles_meet() -> None:
    pattern = pattern_of(sample(3))
    assert [placed.scale for placed in pattern.segment.views] == [1.0]
    starts = pattern.tile_starts
    assert [after - before for before, after in pairwise(starts)] == [STEP] * (len(starts) - 1)
    assert starts[0] == 0.0
    assert starts[-1] + TILE_WIDTH >= pattern.segment.width_mm > starts[-1] + 2.0 * OVERLAP


def test_the_rule_of_a_pattern_is_100_mm_on_paper() -> None:
    pattern = pattern_of(sample(1))
    for sheet in (pattern.whole, *pattern.tiles):
        lines = [p for p in sheet.views[0].view.primitives if isinstance(p, Line)]
        assert max(line.end[0] - line.start[0] for line in lines) == pytest.approx(100.0)


@pytest.mark.parametrize(("edge", "count"), [(207.0, 1), (207.1, 2), (442.0, 2), (442.1, 3)])
def test_a_pattern_has_as_few_tiles_as_hold_it(edge: float, count: int) -> None:
    """One tile shows 255 mm, each more adds 235; words take 28 mm beside the low end and 20 beside the high end."""
    section = week.result().sections[1]
    assert section.carrier is not None
    carrier = replace(section.carrier, edge_mm=edge, length_mm=edge, end_mm=section.carrier.start_mm + edge)
    assert len(pattern_of(case_of(replace(section, carrier=carrier))).tiles) == count
