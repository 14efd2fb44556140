"""Earlier pianos of a maker and model, for tests of model memory: one line each."""

from dataclasses import replace

from railwright.computing.kind_memory import kind_memory
from railwright.survey.kind import EarlierSection, EarlierSurvey
from section_kit import EIGHTH, book

BOOK = book()


def kin(serial, dampers=28, span_mm=384.175, run_mm=98.425, register="tenor", step_mm=EIGHTH, order=None):
    """One earlier piano of one section, read to 1/8 inch."""
    one = EarlierSection(register, dampers, span_mm, run_mm, None, step_mm, step_mm, step_mm)
    return EarlierSurvey(order or f"order {serial}", str(serial), None, 0.0, (one,))


def alike(count, **readings):
    """Some earlier pianos of one design, read within a step of each other."""
    off = (0.0, EIGHTH, 0.0, -EIGHTH)
    span = readings.pop("span_mm", 384.175)
    first = readings.pop("first", 1)
    return [kin(first + place, span_mm=span + off[place % 4], **readings) for place in range(count)]


def earlier_of(survey, serial):
    """What a ledger would keep of a survey, as that of another piano."""
    sections = tuple(
        EarlierSection(
            each.register,
            each.dampers,
            each.span_mm,
            each.run_mm,
            each.run_end_mm,
            *(survey.step_of(each.key(name)) for name in ("span", "run", "run_end")),
        )
        for each in survey.sections
    )
    step = survey.step_of("head_width")
    return EarlierSurvey(f"order {serial}", str(serial), survey.head_width_mm, step, sections)


def knowing(survey, earlier, shop_book=BOOK):
    """The same survey with what earlier pianos tell."""
    return replace(survey, kind=kind_memory(survey, earlier, shop_book))
