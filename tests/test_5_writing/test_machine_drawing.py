"""The DXF of a segment, read back and audited by ezdxf, which wrote no more of it than the frame."""

from __future__ import annotations

import io
import math
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest
from ezdxf.document import Drawing
from hypothesis import given
from hypothesis import strategies as st

import hand_made_week as week
from railwright.book.default_catalogue import default_shop_book
from railwright.writing.drawings.dxf import render_dxf, words
from railwright.writing.drawings.dxf_frame import nearest_colour
from railwright.writing.drawings.layers import LAYERS
from railwright.writing.drawings.machine_drawing import machine_drawing
from railwright.writing.drawings.segment_case import SegmentCase, segment_cases
from railwright.writing.drawings.segment_sheet import segment_sheet
from railwright.writing.pages import write_pages
from railwright.writing.results_file import results_document

SEGMENTS = [0, 1, 2]


def cases(order_no: str = "R-101") -> tuple[SegmentCase, ...]:
    return segment_cases(week.survey("a.xlsx", order_no), week.result().sections, default_shop_book())


def opened(content: bytes) -> Drawing:
    return ezdxf.read(io.StringIO(content.decode("ascii").replace("\r\n", "\n")))


def drawn(number: int) -> Drawing:
    return opened(render_dxf(machine_drawing(cases()[number])))


def stated(number: int) -> dict:
    return results_document(week.week())["instruments"][0]["sections"][number]


def datum(section: dict) -> float:
    """Give the low end's long point from the results alone: the ends are sheared by the long points' excess."""
    carrier = section["carrier"]
    return carrier["start_mm"] - (carrier["length_mm"] - carrier["edge_mm"]) / 2.0


def outline(document: Drawing) -> list[tuple[float, float]]:
    (carrier,) = document.modelspace().query('LWPOLYLINE[layer=="carrier"]')
    assert carrier.closed
    return [(x, y) for x, y, *_ in carrier.get_points()]


@pytest.mark.parametrize("number", SEGMENTS)
def test_an_audit_finds_nothing_to_mend(number: int) -> None:
    audit = drawn(number).audit()
    assert (audit.errors, audit.fixes) == ([], [])


@pytest.mark.parametrize("number", SEGMENTS)
def test_it_is_in_millimetres_in_a_version_that_machines_read(number: int) -> None:
    document = drawn(number)
    assert (document.units, document.dxfversion, document.header["$MEASUREMENT"]) == (ezdxf.units.MM, "AC1015", 1)


@pytest.mark.parametrize("number", SEGMENTS)
def test_every_dimension_measures_what_the_results_state(number: int) -> None:
    section, found = stated(number), drawn(number).modelspace().query("DIMENSION")
    lengths = [one.get_measurement() for one in found if one.dimtype == 0]
    along = sorted(one.get_measurement().x for one in found if one.dimtype == 6)
    places = sorted({one["x_mm"] - datum(section) for one in section["stations"] + section["reliefs"]})
    assert lengths == [pytest.approx(section["carrier"]["length_mm"], abs=0.01)]
    assert along == pytest.approx(places, abs=0.01)
    assert len(found) == 1 + len(places)


@pytest.mark.parametrize("number", SEGMENTS)
def test_a_dimension_says_what_it_measures_and_has_a_picture(number: int) -> None:
    document = drawn(number)
    for one in document.modelspace().query("DIMENSION"):
        measured = one.get_measurement()
        value = measured if isinstance(measured, float) else measured.x
        assert one.dxf.actual_measurement == pytest.approx(value, abs=1e-5)
        assert float(one.dxf.text.split()[0]) == pytest.approx(value, abs=0.051)
        shown = [part.dxf.text for part in document.blocks.get(one.dxf.geometry).query("TEXT")]
        assert shown == [one.dxf.text]


@pytest.mark.parametrize("number", SEGMENTS)
def test_the_carrier_lies_in_the_corner_of_the_axes_with_its_ends_as_sawn(number: int) -> None:
    section, corners = stated(number), outline(drawn(number))
    carrier = section["carrier"]
    xs, ys = zip(*corners, strict=True)
    assert (min(xs), min(ys)) == pytest.approx((0.0, 0.0), abs=1e-6)
    assert max(xs) == pytest.approx(carrier["length_mm"], abs=0.01)
    front_low, front_high, rear_high, rear_low = corners
    assert front_high[0] - front_low[0] == pytest.approx(carrier["edge_mm"], abs=0.01)
    assert rear_high[0] - rear_low[0] == pytest.approx(carrier["edge_mm"], abs=0.01)
    lean = math.degrees(math.atan2(rear_low[0] - front_low[0], rear_low[1] - front_low[1]))
    hand = {"left": 1.0, "right": -1.0, "square": 0.0}[carrier["saw_hand"]]
    assert lean == pytest.approx(hand * carrier["saw_angle_deg"], abs=0.01)


@pytest.mark.parametrize("number", SEGMENTS)
def test_wires_stand_where_the_results_put_them(number: int) -> None:
    section, document = stated(number), drawn(number)
    circles = sorted(one.dxf.center.x for one in document.modelspace().query('CIRCLE[layer=="wire"]'))
    assert circles == pytest.approx([wire["x_mm"] - datum(section) for wire in section["wires"]], abs=0.01)


def boxes(document: Drawing, layer: str) -> Iterator[tuple[float, float, float, float]]:
    for one in document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]'):
        xs, ys = zip(*((x, y) for x, y, *_ in one.get_points()), strict=True)
        yield min(xs), max(xs), min(ys), max(ys)


def test_a_notch_is_cut_from_the_edge_that_faces_the_wires() -> None:
    """The bass segment lies behind its wires, so its notch opens to the keyboard side, y = 0."""
    section, ((left, right, low, high),) = stated(0), boxes(drawn(0), "notch")
    (notch,) = section["reliefs"]
    assert ((left + right) / 2, right - left) == pytest.approx(
        (notch["x_mm"] - datum(section), notch["width_mm"]), abs=0.01
    )
    assert (low, high) == pytest.approx((0.0, notch["depth_mm"]), abs=0.01)


def test_a_hollow_is_drawn_as_it_is_cut_from_the_edge_that_faces_the_wires() -> None:
    section, ((left, right, low, high),) = stated(2), boxes(drawn(2), "hollow")
    (hollow,) = section["reliefs"]
    assert ((left + right) / 2, right - left) == pytest.approx(
        (hollow["x_mm"] - datum(section), hollow["slot_mm"]), abs=0.01
    )
    edge = 0.0 if section["side"] == "rear" else 12.0
    assert sorted([low, high], key=lambda y: abs(y - edge)) == pytest.approx(
        [edge, abs(edge - hollow["reach_mm"])], abs=0.01
    )


def test_a_hollow_in_front_of_the_wires_opens_to_the_tail() -> None:
    case = cases()[2]
    front = replace(case, section=replace(case.section, side="front", offset_mm=-8.45))
    document = opened(render_dxf(machine_drawing(front)))
    ((_, _, low, high),) = boxes(document, "hollow")
    assert (low, high) == pytest.approx((12.0 - 2.1, 12.0), abs=0.01)


def test_words_say_how_hollow_and_notch_are_cut() -> None:
    def told(number: int) -> list[str]:
        texts = [one.dxf.text for one in drawn(number).modelspace().query("TEXT")]
        return [text.split(", ", 2)[2] for text in texts if "from the edge at the wires" in text]

    at_the_edge = "from the edge at the wires"
    assert told(2) == [f"underside, {at_the_edge}: 10.4 long, 2.1 in, 1.5 deep; screw known to within 1.2"]
    assert told(0) == [f"right through, {at_the_edge}: 4.9 long, 3.0 in; wire known to within 0.8"]


def test_every_layer_is_named_and_described() -> None:
    document = drawn(0)
    for layer in LAYERS:
        entry = document.layers.get(layer.name)
        assert entry.description == layer.holds
        assert entry.dxf.linetype in document.linetypes
    used = {one.dxf.layer for one in document.modelspace()}
    assert used <= {layer.name for layer in LAYERS}


def test_the_readme_names_every_layer_that_is_drawn_on() -> None:
    """So that a shop can tell its machine's program what to mill, drill and leave out."""
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    (line,) = (line for line in readme.splitlines() if line.startswith("| `drawings/*.dxf`"))
    drawn_on = {one.dxf.layer for number in SEGMENTS for one in drawn(number).modelspace()}
    assert [layer for layer in sorted(drawn_on) if f"`{layer}`" not in line] == []


def test_words_that_a_survey_brings_along_stay_words() -> None:
    """A line's end in an order number would otherwise begin a tag of its own."""
    evil = "R-1\n  0\r\nEOF\n%%d^J\x00é\U0001f3b9"
    document = opened(render_dxf(machine_drawing(cases(evil)[0])))
    assert document.audit().errors == []
    assert len(document.modelspace()) == len(drawn(0).modelspace())
    (title,) = (one for one in document.modelspace().query("TEXT") if one.dxf.text.startswith("Order "))
    assert title.dxf.text.startswith("Order R-1?  0??EOF?% %d^ J?\\U+00E9?, segment 1")


@given(st.text())
def test_words_are_one_line_of_ascii(text: str) -> None:
    spelled = words(text)
    assert (spelled.isascii() and spelled.isprintable()) or not spelled
    assert "%%" not in spelled


def test_another_scale_is_refused() -> None:
    with pytest.raises(ValueError, match="full scale"):
        render_dxf(segment_sheet(cases()[2]))


def test_the_same_segment_gives_the_same_bytes_in_every_process() -> None:
    script = (
        "import sys, hashlib, hand_made_week as week\n"
        "from railwright.book.default_catalogue import default_shop_book\n"
        "from railwright.writing.drawings import dxf, machine_drawing, segment_case\n"
        "book, survey = default_shop_book(), week.survey('a.xlsx', 'R-101')\n"
        "for case in segment_case.segment_cases(survey, week.result().sections, book):\n"
        "    print(hashlib.sha256(dxf.render_dxf(machine_drawing.machine_drawing(case))).hexdigest())\n"
    )
    roots = os.pathsep.join(str(Path(module.__file__).parent) for module in (week,))
    source = str(Path(sys.modules["railwright"].__file__).parents[1])
    told = [
        subprocess.run(
            [sys.executable, "-c", script], check=True, capture_output=True, text=True,
            env={**os.environ, "PYTHONPATH": os.pathsep.join((source, roots)), "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    assert told[0] == told[1] and len(told[0].split()) == 3


def test_only_what_is_made_has_a_drawing_for_a_machine(tmp_path: Path) -> None:
    assert write_pages(week.week(), tmp_path) == ()
    files = sorted(path.name for path in (tmp_path / "drawings").glob("*.dxf"))
    assert files == [f"R-10{order}-{segment}.dxf" for order in (1, 2) for segment in (1, 2, 3)]
    page = (tmp_path / "week.html").read_text(encoding="utf-8")
    assert [f'href="./drawings/{file}"' in page for file in files] == [True] * 6
    assert "R-103-1.dxf" not in page


def test_a_drawing_without_anything_in_it_is_a_drawing() -> None:
    sheet = replace(machine_drawing(cases()[0]), views=())
    assert list(opened(render_dxf(sheet)).modelspace()) == []


@pytest.mark.parametrize(
    ("colour", "number"), [("#1f2a30", 7), ("#9aa7ae", 8), ("#9c2f1f", 20), ("#0b5c7a", 4), ("#6b4f1d", 40)]
)
def test_colours_are_the_nearest_that_the_format_has(colour: str, number: int) -> None:
    assert nearest_colour(colour) == number
