"""A small invented week with hand-made results, for tests of everything that is written."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np

from railwright.book.default_catalogue import default_shop_book
from railwright.computing.results import (
    CarrierCut,
    DefaultUsed,
    FeltCut,
    InstrumentResult,
    NoteLoad,
    Part,
    Relief,
    SectionResult,
    Spacing,
    Station,
)
from railwright.shop.cutting.felt_model import FeltCertificate, FeltPlan, Rect, Sheet, SheetCut, Strip
from railwright.shop.cutting.model import Bar, Certificate, Piece, Plan, Stock
from railwright.shop.order_model import CuttingSheet, OrderLine
from railwright.survey.findings import Finding
from railwright.survey.records import Register, SectionSurvey, Survey
from railwright.writing.week import Instrument, Week

PITCH, HEAD, WIRE = 13.9, 9.5, 2.9
STRINGS = {"bass": 2, "tenor": 3, "treble": 3}


def spacing(dampers: int) -> Spacing:
    x = HEAD / 2 + PITCH * np.arange(dampers)
    u = 0.3 + 0.5 * np.sin(np.pi * np.arange(dampers) / max(dampers - 1, 1))
    return Spacing(x, np.diag(u**2), PITCH, 0.05, HEAD, 0.3)


def section(
    number: int,
    register: Register,
    first: int,
    dampers: int,
    theta: float,
    *,
    side: str = "rear",
    extra: int = 0,
    stations: tuple[int, ...] = (3, 10, 17),
    screw_gap: int | None = None,
    notch: bool = False,
) -> SectionResult:
    """Make one section's result: ``extra`` notes beyond the last damper, stations in the given gaps."""
    space = spacing(dampers)
    span = (dampers - 1) * PITCH + HEAD + extra * PITCH
    width, height = (12.0, 1.5) if register == "treble" else (8.0, 8.0)
    offset = (WIRE / 2 + 1 + width / 2) * (1 if side == "rear" else -1)
    cot = 1 / math.tan(math.radians(theta))
    angle = abs(90 - theta)
    hand = "square" if angle < 1 else ("left" if theta < 90 else "right")
    edge = span + 6
    item = "RC-F15" if register == "treble" else "RC-S08"
    start = -3 + offset * cot
    feet = tuple(
        Station(gap, float(space.x_mm[gap - 1] + PITCH / 2), round(0.1 * index, 1), 3.5 + index)
        for index, gap in enumerate(stations)
    )
    beyond = (Station(0, span - 20, 0.4, 2.0),) if extra else ()
    screws = () if screw_gap is None else (float(space.x_mm[screw_gap - 1] + PITCH / 2),)
    reliefs = tuple(Relief("screw", x, 9.0, 1.5, 0.6, 2.1, 10.4) for x in screws if register == "treble")
    if notch:
        reliefs += (Relief("wire", float(space.x_mm[0]), WIRE + 2, 3.0, 0.4, 3.0, WIRE + 2),)
    notes = range(first, first + dampers + extra)
    loads = tuple(
        NoteLoad(note, float(space.x_mm[0] + PITCH * index + offset * cot), STRINGS[register], 0.9)
        for index, note in enumerate(notes)
    )
    stack = 1 + height + 2 + 0.2
    return SectionResult(
        section=number,
        register=register,
        first_note=first,
        last_note=notes[-1],
        dampers=dampers,
        spacing=space,
        theta_deg=theta,
        u_theta_deg=0.4,
        span_mm=span,
        side="rear" if side == "rear" else "front",
        offset_mm=offset,
        carrier=CarrierCut(
            item, edge, edge + (0 if hand == "square" else width * abs(cot)), angle if hand != "square" else 0.0,
            hand, start, start + edge, width, height,
        ),
        felt=FeltCut("FE-20", edge + 2, width, 2.0),
        foot="HF-10",
        foot_height_mm=1.0,
        stations=feet + beyond,
        reliefs=reliefs,
        loads=loads,
        screws_x_mm=screws,
        stack_mm=stack,
        free_mm=stack + 1.4,
        guard_mm=0.2,
        crank="HK-050",
        lift_mm=5.0,
        deflection_mm=0.12,
        press_min_mm=0.41,
        press_max_mm=0.72,
        press_force_n=0.9 * len(loads) * STRINGS[register],
        cost=11.2,
    )  # fmt: skip


def result() -> InstrumentResult:
    return InstrumentResult(
        (
            section(1, "bass", 1, 20, 78.0, notch=True),
            section(2, "tenor", 21, 26, 90.4, stations=(4, 13, 22)),
            section(3, "treble", 47, 22, 98.5, side="front", extra=20, stations=(3, 12, 20), screw_gap=9),
        ),
        lever_force_n=14.2,
        defaults=(DefaultUsed("head_width", "default_head_width", 9.5, "mm"),),
    )


def survey(file: str, order_no: str, technician: str = "Mara Quill") -> Survey:
    return Survey(
        file=file,
        order_no=order_no,
        site="Old Mill School",
        technician=technician,
        survey_date=date(2026, 3, 2),
        needed_by=date(2026, 4, 1),
        maker="Falkner & Brook",
        model="C-172",
        serial="A 12345",
        unit="in",
        step_mm=25.4 / 8,
        wire_diameter_mm=WIRE,
        sections=tuple(
            SectionSurvey(number=number, register=register, gauge_low_mm=15.875, gauge_high_mm=15.875, rest_low_mm=20.0)
            for number, register in enumerate(("bass", "tenor", "treble"), start=1)
        ),
    )


PARTS = (Part("RC-S08", 668.4, "mm"), Part("HF-10", 10.0, "pieces"), Part("HA-01", 2.5, "g"))
RUN = Finding(
    "readings_disagree", "confirm",
    "Count, run and span disagree: the run looks like eight spaces; seven would read 3 3/4 in.",
    "s2_run", "Survey", "E21",
)  # fmt: skip
BLANK = Finding("missing_reading", "fix", "The span of section 1 is missing. Measure it.", "s1_span", "Survey", "D17")
SEEN = Finding("weak_test", "note", "With one run at 1/8 in a count one off would often go unseen.", "s2_run_end")


def bar_plan() -> Plan:
    """Two bars sawn alike, one offcut, one piece too long for anything."""
    buy, shelf = Stock("RC-S08", 25000, 1050, None), Stock("RC-S08", 4865, 0, 1, offcut=True, rack="B2")
    return Plan(
        "RC-S08",
        16,
        0,
        (
            Bar(shelf, (Piece("R-101/2", 3630, "square"),), 1219),
            Bar(buy, (Piece("R-101/1", 2834, "left 12.0"), Piece("R-101/3", 6000, "left 12.0")), 16134),
            Bar(buy, (Piece("R-102/1", 2834, "left 12.0"), Piece("R-102/3", 6000, "left 12.0")), 16134),
        ),
        (Piece("R-102/9", 40000, "right 8.0"),),
        2100,
        1050,
        False,
        Certificate(),
    )


def felt_plan() -> FeltPlan:
    """Two sheets cut alike into two strips."""
    sheet = Sheet("FE-20", 12000, 5000, 3100, None)
    cut = [
        SheetCut(
            sheet,
            (
                Strip(120, (Rect(f"R-10{n}/3", 5874, 120), Rect(f"R-10{n}/4", 3000, 120)), 3126),
                Strip(80, (Rect(f"R-10{n}/1", 2816, 80),), 9184),
            ),
            4800,
        )
        for n in (1, 2)
    ]
    return FeltPlan("FE-20", tuple(cut), (), 6200, 6200, True, FeltCertificate())


ORDER = (
    OrderLine(
        "HA-01", "felt adhesive", Decimal("7.5"), Decimal(0), Decimal(250), 250, 1, "g", Decimal("9.00"),
        ("R-101", "R-102"), date(2026, 4, 1), "hardware",
    ),
    OrderLine(
        "HF-10", "foot, low, 1 mm", Decimal(20), Decimal(32), Decimal(0), 20, 0, "pieces", Decimal(0),
        ("R-101", "R-102"), date(2026, 4, 1), "hardware",
    ),
    OrderLine(
        "HL-01", "link across a strut", Decimal(4), Decimal(1), Decimal(0), 5, 0, "pieces", None,
        ("R-102",), None, "hardware",
    ),
    OrderLine(
        "RC-S08", "=square tube 8 x 8 x 1, bar 2500 mm", Decimal(2), Decimal(0), Decimal(2), 1, 2, "bar",
        Decimal("21.00"), ("R-101", "R-102"), date(2026, 4, 1), "metals",
    ),
)  # fmt: skip


def week() -> Week:
    """Two instruments made, one to confirm, one on hold, one file that is no survey."""
    book = default_shop_book()
    made = Instrument("a/north.xlsx", survey("a/north.xlsx", "R-101"), (SEEN,), result(), PARTS, made=True)
    other = replace(made, file="b.xlsx", survey=survey("b.xlsx", "R-102", "Ivo Tamm"), findings=())
    ask = replace(made, file="c.xlsx", survey=survey("c.xlsx", "R-103"), findings=(RUN, SEEN), made=False)
    held = Instrument("d.xlsx", survey("d.xlsx", "<b>R/104</b>"), (BLANK, RUN), InstrumentResult(()))
    lost = Instrument(
        "e.xlsx", None, (Finding("not_a_survey", "fix", "The workbook holds none of the answer cells of a survey."),)
    )
    cutting = (
        CuttingSheet("RC-S08", "square tube 8 x 8 x 1, aluminium", "bar", bar_plan()),
        CuttingSheet("FE-20", "felt 2 mm, firm", "felt", felt_plan()),
    )
    return Week(book, (made, other, ask, held, lost), ORDER, cutting, ("HL-01: no price to buy it at; 3 are missing.",))
