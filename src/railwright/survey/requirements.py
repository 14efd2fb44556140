"""Which readings a survey cannot do without, given the others."""

from __future__ import annotations

from railwright.survey.fields import Field
from railwright.survey.records import Answer, SectionSurvey, Survey

#: A seven-space run needs eight heads.
HEADS_OF_A_RUN = 8


def is_blank(answer: Answer | None) -> bool:
    """Tell whether nothing at all was written; an answer that cannot be read is not blank."""
    return answer is None or (answer.value is None and answer.problem is None)


def is_required(survey: Survey, field: Field, section: SectionSurvey | None) -> bool:
    """Tell whether this instrument is held when the field is blank.

    A clear gauge and a rest gap stand in for each other, so only one of them is asked for: the gap at rest in a
    treble section, the clear gauge elsewhere. One reading of the angle is enough, whichever cell it stands in.

    Args:
        survey: the instrument.
        field: a field with its full key.
        section: the section that a section field belongs to, else ``None``.

    Returns:
        True when the field must be filled.
    """
    if not field.required or section is None:
        return field.required
    name = field.key.split("_", 1)[1]
    if name == "run":
        return section.dampers is None or section.dampers >= HEADS_OF_A_RUN
    if name == "angle_1":
        return is_blank(survey.answers.get(section.key("angle_2")))
    if name == "screws":
        return section.dampers != 0
    if name == "notes":
        return section.dampers == 0
    if name.startswith(("gauge_", "rest_")):
        return _height_asked(survey, section, name)
    return True


def _height_asked(survey: Survey, section: SectionSurvey, name: str) -> bool:
    kind, end = name.split("_")
    other = "rest" if kind == "gauge" else "gauge"
    if not is_blank(survey.answers.get(section.key(f"{other}_{end}"))):
        return False
    return kind == ("rest" if section.register == "treble" else "gauge")
