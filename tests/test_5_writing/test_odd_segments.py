"""Drawings and pages of segments that lack something: no wires, no stations, nothing known of heights."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import ezdxf
import pytest
from lxml import etree

import hand_made_week as week
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.results import InstrumentResult, SectionResult
from railwright.writing.drawings.plan_view import plan_view
from railwright.writing.drawings.primitives import Text
from railwright.writing.drawings.segment_case import segment_cases
from railwright.writing.drawings.segment_sheet import segment_sheet
from railwright.writing.drawings.svg import render
from railwright.writing.pages import write_pages

WHOLE = week.result().sections[2]
ODD = {
    "beyond the last damper": replace(WHOLE, dampers=0, spacing=None, reliefs=(), stations=WHOLE.stations[3:]),
    "no stations": replace(WHOLE, stations=()),
    "no strings": replace(WHOLE, loads=()),
    "unknown notes": replace(WHOLE, first_note=None, last_note=None, loads=()),
    "no crank": replace(WHOLE, crank=None, lift_mm=None, press_min_mm=None, press_max_mm=None),
    "no side": replace(WHOLE, side=None, offset_mm=None),
    "no register": replace(WHOLE, register=None),
    "no foot": replace(WHOLE, foot=None, foot_height_mm=None, stack_mm=None, free_mm=None),
    "no angle": replace(WHOLE, theta_deg=None, carrier=replace(WHOLE.carrier, saw_hand="square", saw_angle_deg=0.0)),
    "one damper": replace(WHOLE, dampers=1, spacing=week.spacing(1), stations=WHOLE.stations[:1]),
}


@pytest.mark.parametrize("name", ODD)
def test_it_is_drawn_all_the_same(name: str) -> None:
    (case,) = segment_cases(week.survey("a.xlsx", "R"), (ODD[name],), default_shop_book())
    root = etree.fromstring(render(segment_sheet(case), "s"))
    assert "nan" not in etree.tostring(root).decode().lower()


def test_pages_are_written_all_the_same(tmp_path: Path) -> None:
    sections = tuple(replace(section, section=number) for number, section in enumerate(ODD.values(), start=1))
    bare = SectionResult(11, None, None, None)
    instrument = replace(week.week().instruments[0], result=InstrumentResult((*sections, bare)))
    assert write_pages(replace(week.week(), instruments=(instrument,)), tmp_path) == ()
    assert len(list((tmp_path / "drawings").glob("*.svg"))) == len(ODD)
    for_machines = sorted((tmp_path / "drawings").glob("*.dxf"))
    assert [ezdxf.readfile(path).audit().errors for path in for_machines] == [[]] * len(ODD)
    assert "Segment 11 could not be sized" in " ".join((tmp_path / "sheets/R-101.html").read_text("utf-8").split())


def test_wires_too_close_for_their_names_on_paper_are_named_here_and_there() -> None:
    crowded = replace(WHOLE, spacing=replace(WHOLE.spacing, x_mm=WHOLE.spacing.x_mm * 0.3))
    for section, named in ((WHOLE, 22), (crowded, 11)):
        (case,) = segment_cases(week.survey("a.xlsx", "R"), (section,), default_shop_book())
        names = [p for p in plan_view(case, 0.4).primitives if isinstance(p, Text) and p.turn_deg]
        assert len(names) == named
