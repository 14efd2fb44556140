"""Pictures of surveys for tests of the rules: one that is sound throughout, and ways to spoil it in one place."""

from dataclasses import replace
from datetime import date, datetime
from fractions import Fraction

from railwright.book.default_catalogue import default_shop_book
from railwright.checking.run import check_batch, check_survey, put_into_words
from railwright.computing.compute import compute
from railwright.computing.results import Conflict
from railwright.reading.parsed import Conventions
from railwright.reading.values import parse_answer
from railwright.survey.fields import field_by_key
from railwright.survey.records import Answer, SectionSurvey, Survey

IN = 25.4
BOOK = default_shop_book()

_IDENTITY = {
    "order_no": "T-1041",
    "site": "Elm Lane school",
    "technician": "A. Person",
    "survey_date": date(2031, 3, 4),
    "needed_by": date(2031, 4, 1),
    "maker": "Examplar",
    "model": "E5",
    "serial": "B 20417",
    "unit": "mm",
    "reading_step": "1",
    "head_width_mm": 9.5,
    "wire_diameter_mm": 2.9,
    "ledge_front_mm": 30.0,
    "ledge_rear_mm": 30.0,
    "top_reach_mm": 630.0,
    "cable_run_mm": 1400.0,
    "remarks": None,
}

# Wires 13.9 mm apart and heads 9.5 mm wide throughout, read to 1 mm; 66 dampers and 22 notes above them.
_READINGS = {
    "run_mm": 97.0,
    "run_end_mm": 97.0,
    "strut": False,
    "hole_low": False,
    "hole_high": False,
    "hole_offset_low_mm": None,
    "hole_offset_high_mm": None,
    "screws": (),
    "singles": 0,
    "doubles": 0,
    "room_low_mm": 20.0,
    "room_high_mm": 20.0,
    "gap_next_mm": 30.0,
    "notes": None,
}
_HEIGHTS = {"gauge_low_mm": 15.875, "gauge_high_mm": 15.875, "rest_low_mm": 20.0, "rest_high_mm": 20.0}
_LOW_HEIGHTS = {"gauge_low_mm": 9.525, "gauge_high_mm": 9.525, "rest_low_mm": 11.0, "rest_high_mm": 11.0}


def sound_survey(file="week/T-1041.xlsx"):
    """Four sections in which nothing is to be looked at again."""
    sections = (
        SectionSurvey(number=1, register="bass", **_section(20, 274.0, 78.0, _HEIGHTS, singles=8, doubles=12)),
        SectionSurvey(number=2, register="tenor", **_section(12, 162.0, 98.0, _HEIGHTS)),
        SectionSurvey(number=3, register="tenor", **_section(10, 135.0, 95.0, _HEIGHTS)),
        SectionSurvey(
            number=4, register="treble", **_section(24, 329.0, 92.0, _LOW_HEIGHTS, screws=(7,), gap_next_mm=None)
        ),
    )
    identity = {key: value for key, value in _IDENTITY.items() if key != "reading_step"}
    survey = Survey(file=file, step_mm=1.0, sections=sections, **identity)
    return replace(survey, answers={key: _answer(key, _value(survey, key)) for key in _keys(survey)})


def changed(survey, **values):
    """Write other values: a record's name with its section before it, such as ``s2_run_mm=111.0``; None blanks it."""
    for name, value in values.items():
        survey = _put(survey, _answer(_key_of(name), value))
    return survey


def one_section(**values):
    """One tenor section of 12 notes, each with a damper, and nothing above it: quick to compute."""
    return changed(with_sections(sound_survey(), 2), **{"s1_notes": 12, "top_reach_mm": None, **values})


def book(**rules):
    """The default shop book with some rule values changed."""
    return replace(BOOK, rules={**BOOK.rules, **rules})


def typed(survey, key, entry, kind=None, text=None):
    """Type an entry into a cell and let the reader make of it what it does."""
    sheet = Conventions(survey.unit, Fraction(str(survey.step_mm)) if survey.step_mm else None)
    cell = Entry(entry, kind, text)
    parsed = parse_answer(field_by_key()[key], cell, sheet)
    value = float(parsed.value) if isinstance(parsed.value, Fraction) else parsed.value
    return _put(survey, _answer(key, value, cell.text, parsed.problem, parsed.hint))


def in_inches(survey, step_mm=IN / 8):
    """Say that the sheet is in inches, read to a step; the lengths stay what they are."""
    survey = replace(survey, unit="in", step_mm=step_mm)
    return _put(survey, _answer("reading_step", str(Fraction(step_mm / IN).limit_denominator(64))))


def with_sections(survey, *numbers):
    """Keep only some sections, and number them again from the bass."""
    kept = [replace(survey.sections[number - 1], number=place) for place, number in enumerate(numbers, start=1)]
    survey = replace(survey, sections=tuple(kept))
    return replace(survey, answers={key: _answer(key, _value(survey, key)) for key in _keys(survey)})


def without_dampers(survey, number, notes, span_mm):
    """Make a section one beyond the last damper."""
    values = {"dampers": 0, "notes": notes, "span_mm": span_mm, "run_mm": None, "run_end_mm": None, "screws": None}
    return changed(survey, **{f"s{number}_{name}": value for name, value in values.items()})


def blanked(survey, number):
    """Leave a whole section blank."""
    section = SectionSurvey(number=number)
    sections = tuple(section if each.number == number else each for each in survey.sections)
    survey = replace(survey, sections=sections)
    return replace(survey, answers=survey.answers | {key: _answer(key, None) for key in _section_keys(number)})


def findings(survey, rule):
    """List the findings of one rule on one survey."""
    return [finding for finding in check_survey(survey, BOOK) if finding.rule == rule]


def found(survey, rule):
    """List the fields at which one rule has something to say."""
    return [finding.field for finding in findings(survey, rule)]


def message(survey, rule):
    """Give the sentence of a rule that has exactly one finding."""
    (finding,) = findings(survey, rule)
    return finding.message


def found_in_folder(rule, *surveys):
    """List file and field of the findings of one rule over several surveys of one folder."""
    hits = check_batch(surveys)
    return [(file, each.field) for file, found in hits.items() for each in found if each.rule == rule]


def computed(survey, rule, book=BOOK):
    """Compute a survey and list the findings of one rule of the results."""
    result = compute(survey, book)
    every = put_into_words(result.all_conflicts(), survey)
    return [finding for finding in every if finding.rule == rule]


def worded(rule, section=2, field=None, **facts):
    """Put one conflict into words."""
    (finding,) = put_into_words([Conflict(rule, section, field, facts)], sound_survey())
    return finding.message


def renamed(survey, file):
    """Give the same survey as another file of the folder."""
    return replace(survey, file=file)


class Entry:
    """What stands in one cell, as the parsers look at it."""

    def __init__(self, value, kind=None, text=None):
        self.value = value
        self.kind = kind or _kind(value)
        self.text = text if text is not None else "" if value is None else str(value)


def _section(dampers, span_mm, angle_deg, heights, **more):
    return {
        **_READINGS,
        **heights,
        "dampers": dampers,
        "span_mm": span_mm,
        "angle_1_deg": angle_deg,
        "angle_2_deg": angle_deg + 1.0,
        **more,
    }


def _kind(value):
    if value is None:
        return "blank"
    if isinstance(value, bool):
        return "bool"
    if isinstance(value, int | float):
        return "number"
    return "date" if isinstance(value, date | datetime) else "text"


def _keys(survey):
    instrument = [key for key, field in field_by_key().items() if field.scope == "instrument"]
    return instrument + [key for section in survey.sections for key in _section_keys(section.number)]


def _section_keys(number):
    return [key for key, field in field_by_key().items() if field.scope == "section" and key[1] == str(number)]


def _key_of(name):
    return name if name in field_by_key() else name.rpartition("_")[0]


def _attribute(key):
    field = field_by_key()[key]
    bare = key.partition("_")[2] if field.scope == "section" else key
    return bare + {"length": "_mm", "angle": "_deg"}.get(field.kind, "")


def _value(survey, key):
    if key == "reading_step":
        return _IDENTITY[key]
    owner = survey.sections[int(key[1]) - 1] if field_by_key()[key].scope == "section" else survey
    return getattr(owner, _attribute(key))


def _answer(key, value, text=None, problem=None, hint=""):
    shown = _shown(value) if text is None else text
    return Answer(field_by_key()[key], "Survey", "B7", shown, value, problem, hint)


def _shown(value):
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return "; ".join(map(str, value)) or "none"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _put(survey, answer):
    key = answer.field.key
    survey = replace(survey, answers={**survey.answers, key: answer})
    if key == "reading_step":
        return survey
    if answer.field.scope == "instrument":
        return replace(survey, **{_attribute(key): answer.value})
    sections = (
        replace(each, **{_attribute(key): answer.value}) if each.number == int(key[1]) else each
        for each in survey.sections
    )
    return replace(survey, sections=tuple(sections))
