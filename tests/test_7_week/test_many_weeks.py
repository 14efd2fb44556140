"""The same pianos measured many times over with other luck: do the stated bounds hold as often as they claim?

One week can be lucky. Over many weeks the share of true wire positions inside their 95 % bounds must come near 95 %,
and sound readings must hardly ever be called contradictory.
"""

from dataclasses import replace
from fractions import Fraction

import numpy as np

from measuring import INCH, Length, measure
from railwright.book.default_catalogue import default_shop_book
from railwright.computing.slips import diagnose
from railwright.computing.spacing import posterior
from railwright.survey.records import SectionSurvey, Survey
from true_pianos import WEEK

BOOK = default_shop_book()
#: First draws alone, since later ones were picked; K-4232 has spacing no grand has.
ORDINARY = [replace(piano, draw=1) for piano in WEEK if piano.order_no != "K-4232"]


def survey_of(piano, seed):
    """Take the readings straight from the tape, without typing them."""
    readings = {key: in_mm(reading) for key, reading in measure(piano, seed).items() if isinstance(reading, Length)}
    sections = tuple(
        SectionSurvey(
            number=number,
            register=section.register,
            dampers=section.dampers,
            span_mm=readings[f"s{number}_span"],
            run_mm=readings.get(f"s{number}_run"),
            run_end_mm=readings.get(f"s{number}_run_end"),
        )
        for number, section in enumerate(piano.sections, start=1)
    )
    step_mm = float(Fraction(piano.step) * (INCH if piano.unit == "in" else 1))
    head_width_mm = readings["head_width"]
    return Survey(file="", unit=piano.unit, step_mm=step_mm, head_width_mm=head_width_mm, sections=sections)


def in_mm(length):
    return float(length.value * (INCH if length.unit == "in" else 1))


def weeks(count):
    """Go through the damped sections of many weeks: section, its survey and the true wires."""
    for week in range(count):
        for piano in ORDINARY:
            survey = survey_of(piano, f"another week {week}")
            for section in survey.sections:
                if section.dampers:
                    yield section, survey, piano.wires_mm(section.number)


def test_bounds_hold_as_often_as_they_claim():
    inside = []
    for section, survey, true in weeks(6):
        spacing = posterior(section, survey, BOOK)
        inside += (np.abs(spacing.x_mm - true) <= spacing.u95_mm).tolist()
    assert len(inside) > 9_000
    assert 0.94 <= np.mean(inside) <= 0.98


def test_sound_readings_are_hardly_ever_called_contradictory():
    """Two tests a section at 2.6 standard deviations: about 2 % of sections, were they exactly normal."""
    alarms = [diagnose(section, survey, BOOK) is not None for section, survey, _ in weeks(6)]
    assert len(alarms) > 700
    assert np.mean(alarms) <= 0.02
