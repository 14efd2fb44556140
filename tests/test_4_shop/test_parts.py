"""The part list of one instrument, counted by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from railwright.book.default_catalogue import default_shop_book
from railwright.computing.results import CarrierCut, FeltCut, InstrumentResult, SectionResult, Station
from railwright.shop.parts import adhesive_g, cable_mm, parts_of, shim_leaves, station_screw
from railwright.survey.records import Survey

BOOK = default_shop_book()


def segment(number: int, length_mm: float, shims: tuple[float, ...]) -> SectionResult:
    return SectionResult(
        number,
        "tenor",
        1,
        10,
        carrier=CarrierCut("RC-S08", length_mm, length_mm, 0.0, "square", 0.0, length_mm, 8.0, 8.0),
        felt=FeltCut("FE-30", length_mm, 8.0, 3.0),
        foot="HF-30",
        foot_height_mm=3.0,
        stations=tuple(Station(k + 1, 40.0 * k, shim) for k, shim in enumerate(shims)),
        crank="HK-045",
    )


TWO = InstrumentResult((segment(1, 400.0, (0.0, 0.3)), segment(2, 250.5, (1.2, 0.0, 0.1))))


def quantities(result: InstrumentResult) -> dict[str, float]:
    return {part.item: part.quantity for part in parts_of(Survey(file="a.xlsx"), result, BOOK)}


def test_two_segments_need_their_bars_feet_screws_shims_cranks_and_one_lever():
    parts = quantities(TWO)
    assert parts["RC-S08"] == parts["FE-30"] == 650.5
    assert parts["HF-30"] == 5
    # foot 3 + shim + wall 1: two stations without shim take 4 mm; 0.1 and 0.3 take 5 mm; 1.2 takes 6 mm
    assert (parts["HW-M2-4"], parts["HW-M2"], parts["HW-M2-6"]) == (4, 4, 2)
    assert parts["HK-045"] == 2
    assert parts["HV-01"] == 1


def test_shims_are_made_up_of_leaves():
    # 0.3 = 0.2 + 0.1; 1.2 = 1 + 0.2; 0.1
    parts = quantities(TWO)
    assert (parts["HS-01"], parts["HS-02"], parts["HS-10"]) == (2, 2, 1)
    assert "HS-05" not in parts


def test_one_link_crosses_each_strut():
    assert quantities(TWO)["HL-01"] == 1
    assert "HL-01" not in quantities(InstrumentResult((TWO.sections[0],)))


def test_a_kit_with_a_segment_that_could_not_be_sized_has_no_parts():
    unsized = replace(TWO.sections[1], carrier=None)
    assert parts_of(Survey(file="a.xlsx"), InstrumentResult((TWO.sections[0], unsized)), BOOK) == ()
    assert parts_of(Survey(file="a.xlsx"), InstrumentResult(()), BOOK) == ()


def test_cable_is_the_run_that_was_read_with_its_spare_else_the_usual_one():
    assert cable_mm(Survey(file="a.xlsx", cable_run_mm=1210.0), BOOK) == 1410.0
    assert cable_mm(Survey(file="a.xlsx"), BOOK) == 1700.0


def test_adhesive_goes_by_the_felt_area():
    # (400 + 250.5) mm x 8 mm = 5204 mm2; at 250 g/m2 that is 1.301 g
    assert adhesive_g(TWO, BOOK) == 1.3


@pytest.mark.parametrize(
    ("shim", "leaves"),
    [(0.0, ()), (0.1, (0.1,)), (0.4, (0.2, 0.2)), (1.9, (1.0, 0.5, 0.2, 0.2)), (3.0, (1.0, 1.0, 1.0))],
)
def test_fewest_leaves(shim, leaves):
    assert shim_leaves(shim, (0.1, 0.2, 0.5, 1.0)) == leaves


def test_a_thickness_that_no_leaves_make_up_is_said_so():
    assert shim_leaves(0.3, (0.2, 0.5)) is None


@given(st.integers(0, 40), st.sets(st.sampled_from([1, 2, 3, 5, 7, 10]), min_size=1))
def test_leaves_add_up_or_cannot(tenths, leaves):
    made = shim_leaves(tenths / 10, tuple(leaf / 10 for leaf in leaves))
    if made is None:
        assert 1 not in leaves
    else:
        assert sum(round(leaf * 10) for leaf in made) == tenths


def screw_length(carrier: CarrierCut, foot_mm: float, shim_mm: float) -> float:
    section = replace(TWO.sections[0], carrier=carrier, foot_height_mm=foot_mm)
    item = station_screw(section, Station(1, 40.0, shim_mm), BOOK)
    return next(part.size_mm for part in BOOK.parts("station screw") if part.item == item)


FLAT = replace(TWO.sections[0].carrier, item="RC-F15", width_mm=12.0, height_mm=1.5)


@pytest.mark.parametrize("shim", [0.0, 0.1, 0.4, 0.5, 0.9, 1.3, 2.2, 3.0])
@pytest.mark.parametrize("foot", [1.0, 3.0, 5.0])
def test_no_screw_ever_reaches_the_felt_or_misses_the_carrier(foot, shim):
    length = screw_length(FLAT, foot, shim)
    assert foot + shim < length <= foot + shim + 1.5


def test_a_screw_reaches_through_the_wall_of_a_tube():
    tube = TWO.sections[0].carrier
    assert screw_length(tube, 3.0, 0.0) == 4.0
    assert screw_length(tube, 3.0, 0.1) == 5.0


def test_a_book_without_lengths_has_one_screw_for_all():
    plain = replace(
        BOOK, hardware=tuple(replace(p, size_mm=0.0) if p.kind == "station screw" else p for p in BOOK.hardware)
    )
    assert station_screw(TWO.sections[0], Station(1, 40.0, 0.0), plain) == plain.parts("station screw")[0].item
