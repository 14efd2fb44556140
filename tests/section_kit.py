"""Sections, surveys and shop books for tests of what is computed, in one line each."""

from railwright.book.model import ShopBook
from railwright.book.parameters import default_rules
from railwright.survey.fields import field_by_key
from railwright.survey.records import Answer, SectionSurvey, Survey

EIGHTH, SIXTEENTH = 3.175, 1.5875


def book(**rules):
    """The default rules with some values changed; no catalogue."""
    return ShopBook("test", default_rules() | rules, (), (), (), ())


def section(number=2, register="tenor", **readings):
    return SectionSurvey(number=number, register=register, **readings)


def survey(*sections, unit="in", step_mm=EIGHTH, texts=None, **more):
    answers = {key: Answer(field_by_key()[key], "Survey", "A1", text) for key, text in (texts or {}).items()}
    return Survey(file="test", unit=unit, step_mm=step_mm, sections=sections, answers=answers, **more)
