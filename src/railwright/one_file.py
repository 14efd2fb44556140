"""All that is done about one file: read it, check it, compute it, and write what is about it alone.

Workers do nothing else, in whatever process they are, so nothing is imported here that only whole runs need.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import SupportsBytes

from railwright.book.model import ShopBook
from railwright.checking.base import catalogue
from railwright.checking.run import (
    check_survey,
    lost_cells,
    put_into_words,
    without_consequences,
    workbook_finding,
)
from railwright.computing.compute import compute
from railwright.computing.kind_memory import kind_memory
from railwright.computing.next_reading import next_readings
from railwright.computing.results import Part
from railwright.ledger.standing import Standing
from railwright.reading.survey import NotASurvey, read_survey
from railwright.reading.unreadable import Unreadable
from railwright.sharing import Lost, packed, unpacked, unpacked_once
from railwright.shop.parts import parts_of
from railwright.survey.fields import all_fields
from railwright.survey.findings import SEVERITIES, Finding
from railwright.survey.kind import Earlier, kind_of
from railwright.survey.records import Answer
from railwright.writing.instrument_set import write_for_instrument
from railwright.writing.places import Places
from railwright.writing.results_file import instrument_text
from railwright.writing.week import Instrument


@dataclass(frozen=True, slots=True)
class Examined:
    """An instrument as the run keeps it, and the whole of it, packed, for whoever writes its files."""

    instrument: Instrument
    whole: SupportsBytes


@dataclass(frozen=True, slots=True)
class WriteTask:
    """What a worker needs to know to write an instrument's files: ``shared`` was found by comparing it with others.

    ``places`` says where they lie, of this instrument alone.
    ``standing`` and ``added`` are what the ledger knows of it; see ``Instrument``.
    """

    whole: SupportsBytes
    shared: tuple[Finding, ...]
    made: bool
    places: Places
    standing: Standing | None = None
    added: tuple[Part, ...] | None = None


@dataclass(frozen=True, slots=True)
class Written:
    """What came of writing an instrument's files: its packed part of ``results.json``, sentences about the writing.

    ``instrument`` is as the run keeps it, or ``None`` where the writing added nothing to what the run has of it.
    """

    instrument: Instrument | None
    text: SupportsBytes
    notes: tuple[str, ...] = ()


def examine(path: Path, relative: str, book: ShopBook, earlier: Earlier | None = None) -> Instrument:
    """Read, check and compute one file; whatever is wrong with it becomes a finding.

    Args:
        path: the file.
        relative: its path below the input folder, with forward slashes.
        book: the shop book.
        earlier: looks up earlier surveys of the same maker and model; without it the file stands for itself.

    Returns:
        The instrument with everything that can be known from its file and those.
    """
    try:
        return _examine(path, relative, book, earlier)
    except Unreadable as trouble:
        return _unread(relative, "unreadable_workbook", f"{trouble.reason} {trouble.remedy}")
    except NotASurvey as trouble:
        return _unread(relative, "not_a_survey", f"{trouble.reason} {trouble.remedy}")
    except OSError as trouble:
        return _unread(relative, "unreadable_workbook", f"The file cannot be read: {trouble.strerror}. Copy it again.")
    except MemoryError:
        raise
    except Exception as fault:  # one poisoned file costs itself only; the message names the fault for whoever mends it
        return _unread(relative, "failed_inside", f"railwright failed on this file ({type(fault).__name__}: {fault}).")


def examine_packed(path: Path, relative: str, book: bytes, earlier: Earlier | None = None) -> Examined:
    """Do the same for a run, in whatever process; ``book`` is the shop book, packed."""
    return _examined(examine(path, relative, unpacked_once(book), earlier))


def _examined(instrument: Instrument) -> Examined:
    return Examined(instrument.light(), packed(instrument))


def given_up(relative: str, lost: Lost) -> Examined:
    """Put a file on hold that could not be examined, and say why."""
    if lost.too_much:
        remedy = catalogue()["took_too_much"].rule.do
        return _examined(_unread(relative, "took_too_much", f"This file was given up: it {lost.words}. {remedy}"))
    return _examined(_unread(relative, "failed_inside", f"railwright failed on this file: {lost.words}."))


def with_next_readings(instrument: Instrument, book: ShopBook) -> Instrument:
    """Rank what to measure next for an instrument to confirm; any other is handed on as it is.

    Args:
        instrument: with all its findings.
        book: the shop book.

    Returns:
        The instrument with its ranking.
    """
    survey, result = instrument.survey, instrument.result
    if survey is None or result is None or instrument.state != "confirm":
        return instrument
    return replace(instrument, measure_next=next_readings(survey, result, book, instrument.findings))


def write_packed(task: WriteTask, book: bytes, folder: Path, target: Path) -> Written | Lost:
    """Write the files of one instrument, from what was found of it alone and in comparison."""
    shop_book: ShopBook = unpacked_once(book)
    try:
        instrument = with_next_readings(completed(task), shop_book)
        notes = write_for_instrument(instrument, shop_book, task.places, folder, target)
        return written_of(instrument, task, notes)
    except (OSError, MemoryError):
        raise
    except Exception as fault:  # costs this instrument's files only; the note names the fault for whoever mends it
        return Lost(f"failed inside railwright ({type(fault).__name__}: {fault})", too_much=False)


def completed(task: WriteTask) -> Instrument:
    """Give the whole instrument with all that its run found of it; what was found in comparison gets its cell."""
    instrument: Instrument = unpacked(task.whole)
    answers = instrument.survey.answers if instrument.survey else {}
    placed = (_placed(finding, answers.get(finding.field or "")) for finding in task.shared)
    return replace(with_more(instrument, placed), made=task.made, standing=task.standing, added=task.added)


def _placed(finding: Finding, answer: Answer | None) -> Finding:
    return replace(finding, sheet=answer.sheet, cell=answer.cell) if answer else finding


def written_of(instrument: Instrument, task: WriteTask, notes: tuple[str, ...]) -> Written:
    """Keep of an instrument what its run still needs.

    Args:
        instrument: whole, with all that was found of it.
        task: what was to be written; a finding of it was given its cell only now.
        notes: sentences about the writing.

    Returns:
        The outcome.
    """
    new = task.shared or instrument.measure_next
    return Written(instrument.light() if new else None, packed(instrument_text(instrument)), notes)


def told_of_others(instrument: Instrument, found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Leave out what the comparison within a folder says of sections that were held against earlier ones of their kind.

    The few of one week know less than those, and one count is one question.

    Args:
        instrument: as examined by itself.
        found: what the comparison found.

    Returns:
        The findings that are told.
    """
    sections = instrument.result.sections if instrument.result else ()
    weighed = {f"s{section.section}_dampers" for section in sections if section.kind is not None}
    return tuple(one for one in found if one.rule != "differs_from_same_model" or one.field not in weighed)


def with_more(instrument: Instrument, more: Iterable[Finding]) -> Instrument:
    """Add findings, each in its place."""
    return replace(instrument, findings=_by_severity([*instrument.findings, *more]))


def _examine(path: Path, relative: str, book: ShopBook, earlier: Earlier | None) -> Instrument:
    survey, lost = read_survey(path, relative)
    if earlier is not None and kind_of(survey.maker, survey.model) is not None:
        survey = replace(survey, kind=kind_memory(survey, earlier(survey), book))
    findings = lost_cells(survey, lost)
    findings += check_survey(survey, book)
    result = compute(survey, book)
    findings += put_into_words(result.all_conflicts(), survey)
    told = _by_severity(without_consequences(findings))
    return Instrument(relative, survey, told, result, parts_of(survey, result, book))


def _by_severity(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings by severity, then as the survey is filled in; those about the whole workbook come first."""
    places = {field.key: place for place, field in enumerate(all_fields())}
    return tuple(sorted(findings, key=lambda one: (SEVERITIES.index(one.severity), places.get(one.field or "", -1))))


def _unread(relative: str, rule: str, message: str) -> Instrument:
    return Instrument(relative, None, (workbook_finding(rule, message),))
