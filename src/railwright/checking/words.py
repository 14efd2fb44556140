"""Turns of phrase that several rules share.

A rule's sentence begins small: the field's label and section are put before it, so that it reads well alone on a
terminal, in a note, and in a letter to a technician.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from railwright.checking.base import Facts, Hit
from railwright.survey.fields import Field, field_by_key
from railwright.survey.lengths import MM_PER_INCH, spell_length
from railwright.survey.records import Answer, Survey

#: Longer answers are cut short in a sentence; the cell itself shows them whole.
_LONGEST_QUOTE = 60


def called(key: str) -> str:
    """Name a field the way a person would, with its section: ``Span over the heads (section 2)``."""
    field = field_by_key()[key]
    return f"{field.label} (section {key[1]})" if field.scope == "section" else field.label


def about(key: str | None, sentence: str) -> str:
    """Put a field's name before a sentence that begins small; without a field the sentence stands alone."""
    return f"{called(key)}: {sentence}" if key else _begun(sentence)


def about_sections(numbers: Sequence[int], sentence: str) -> str:
    """Put the sections that a sentence is about before it; without any the sentence stands alone."""
    if not numbers:
        return _begun(sentence)
    return f"Section{'s' if len(numbers) > 1 else ''} {listed([str(number) for number in numbers])}: {sentence}"


def _begun(sentence: str) -> str:
    return f"{sentence[0].upper()}{sentence[1:]}"


def expected_found(answer: Answer, expected: str, do: str, cause: str) -> str:
    """Say what the field wants, what stands there, what is known of the cause, and what to do."""
    found = f"“{quoted(answer.text)}”" if answer.text.strip() else "nothing to read"
    return " ".join(part for part in (f"expected {expected}, found {found}.", cause, do) if part)


def on_problem(answer: Answer, problem: str, expected: str, do: str, *, tell_cause: bool = True) -> Iterator[Hit]:
    """Yield the hit of a cell rule when the reader met its problem.

    Args:
        answer: the answer as read.
        problem: the rule's own name.
        expected: what the field wants, as the object of a sentence.
        do: what to do, one sentence.
        tell_cause: whether what the reader knows of the cause says more than ``expected`` and ``do`` do.

    Yields:
        One hit or none.
    """
    if answer.problem == problem:
        yield Hit(answer.field.key, expected_found(answer, expected, do, answer.hint if tell_cause else ""))


def quoted(text: str) -> str:
    """Make an answer fit to stand inside a sentence: on one line, and not longer than a sentence bears."""
    line = " ".join(text.split())
    return line if len(line) <= _LONGEST_QUOTE else f"{line[:_LONGEST_QUOTE]}…"


def numbers_like(field: Field) -> str:
    """Show how a number of this field may be written."""
    return {
        "length": "a length such as 12 1/8, 12.125 or 308 mm",
        "angle": "an angle in degrees such as 78 or 78.5",
        "count": "a whole number such as 22",
    }.get(field.kind, "a number")


def length(survey: Survey, key: str, mm: float) -> str:
    """Spell a reading the way it was written, with millimetres beside inches: ``5/8 in (15.9 mm)``."""
    metric = spell_length(mm, "mm", 0.1)
    if survey.unit != "in":
        return metric
    return f"{spell_length(mm, 'in', survey.step_of(key))} ({metric})"


def gap_at_rest(facts: Facts, end: str, survey: Survey) -> str:
    """Spell the gap at rest at an end as it was read; one that a clear gauge stands in for, in millimetres."""
    gap_mm = float(facts[f"{end}_mm"])
    if "_gauge_" in str(facts[f"{end}_from"]):
        return f"{spell_length(gap_mm, 'mm', 0.1)} by the clear gauge"
    return length(survey, str(facts[f"{end}_from"]), gap_mm)


def degrees(angle: float) -> str:
    """Write an angle to a tenth of a degree at most: ``78``, ``78.5``."""
    return f"{round(angle, 1):g}"


def gauge_block(survey: Survey, least_mm: float) -> str:
    """Name the thinnest block of at least a thickness: in steps of 1/16 in or 0.5 mm, by the survey's unit."""
    step_mm = MM_PER_INCH / 16 if survey.unit == "in" else 0.5
    block_mm = math.ceil(least_mm / step_mm - 1e-6) * step_mm
    metric = spell_length(block_mm, "mm", 0.1)
    return f"{spell_length(block_mm, 'in', step_mm)} ({metric})" if survey.unit == "in" else metric


def counted(number: int, thing: str) -> str:
    """Put a number before a thing: ``1 head``, ``7 heads``."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def listed(things: Sequence[str], joint: str = "and") -> str:
    """Join words: ``a``, ``a and b``, ``a, b and c``."""
    if len(things) < 2:
        return "".join(things)
    return f"{', '.join(things[:-1])} {joint} {things[-1]}"
