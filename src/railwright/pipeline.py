"""The main job on one screen: find files, read and check and compute each, look at them together, plan, write."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, TypeVar

from railwright.book.model import ShopBook
from railwright.checking.base import catalogue
from railwright.checking.run import (
    check_batch,
    check_survey,
    lost_cells,
    put_into_words,
    without_consequences,
    workbook_finding,
)
from railwright.computing.compute import compute
from railwright.computing.next_reading import next_readings
from railwright.reading.survey import NotASurvey, read_survey
from railwright.reading.unreadable import Unreadable
from railwright.sharing import Lost, packed, share_out, unpacked, unpacked_once
from railwright.shop.order import order_lines
from railwright.shop.order_model import InstrumentNeed
from railwright.shop.parts import parts_of
from railwright.shop.planning import cutting_sheets
from railwright.survey.fields import all_fields
from railwright.survey.findings import SEVERITIES, Finding
from railwright.survey.records import Answer
from railwright.writing.output_folder import write_whole
from railwright.writing.output_set import remove_for_instrument, write_for_instrument, write_for_week
from railwright.writing.places import Places, places_of
from railwright.writing.results_file import instrument_text
from railwright.writing.week import Instrument, Week

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Step:
    """One file done: ``stage`` is ``read`` or ``write``, ``done`` counts from 1 to ``total`` in each."""

    stage: Literal["read", "write"]
    done: int
    total: int
    file: str


@dataclass(frozen=True, slots=True)
class Examined:
    """An instrument as the run keeps it, and the whole of it, packed, for whoever writes its files."""

    instrument: Instrument
    whole: bytes


@dataclass(frozen=True, slots=True)
class Order:
    """What a worker needs to know to write an instrument's files: ``shared`` was found by comparing it with others."""

    whole: bytes
    shared: tuple[Finding, ...]
    made: bool
    name: str


@dataclass(frozen=True, slots=True)
class Written:
    """An instrument whose files are written, its packed part of ``results.json``, and sentences about the writing."""

    instrument: Instrument
    text: bytes
    notes: tuple[str, ...] = ()


def find_files(folder: Path) -> tuple[list[Path], list[Path]]:
    """List the files of a folder and its subfolders.

    Args:
        folder: the input folder; nothing in it is written.

    Returns:
        Files that should be surveys, by path; and those passed over: lock files of office programs, hidden and system
        files, photos.
    """
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    passed = [path for path in files if _is_passed_over(path.relative_to(folder))]
    over = set(passed)
    return [path for path in files if path not in over], passed


def examine(path: Path, relative: str, book: ShopBook) -> Instrument:
    """Read, check and compute one file; whatever is wrong with it becomes a finding.

    Args:
        path: the file.
        relative: its path below the input folder, with forward slashes.
        book: the shop book.

    Returns:
        The instrument with everything that can be known from its file alone.
    """
    try:
        return _examine(path, relative, book)
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


def examine_all(
    folder: Path, files: Sequence[Path], book: ShopBook, executor: Executor | None = None
) -> Iterator[Examined]:
    """Examine many files, in this process or over an executor's workers, always in the order of the files.

    Args:
        folder: the input folder.
        files: files in it.
        book: the shop book.
        executor: any ``concurrent.futures`` executor; ``None`` works here.

    Yields:
        One instrument a file; a file that met a bound of time or memory, or ended its worker, is on hold and says so.
    """
    relative = [path.relative_to(folder).as_posix() for path in files]
    shared = packed(book)
    rows = [(path, name, shared) for path, name in zip(files, relative, strict=True)]
    for name, examined in zip(relative, share_out(_examine_packed, rows, executor), strict=True):
        yield _given_up(name, examined) if isinstance(examined, Lost) else examined


def _examine_packed(path: Path, relative: str, book: bytes) -> Examined:
    return _examined(examine(path, relative, unpacked_once(book)))


def _examined(instrument: Instrument) -> Examined:
    return Examined(instrument.light(), packed(instrument))


def _given_up(relative: str, lost: Lost) -> Examined:
    if lost.too_much:
        remedy = catalogue()["took_too_much"].rule.do
        return _examined(_unread(relative, "took_too_much", f"This file was given up: it {lost.words}. {remedy}"))
    return _examined(_unread(relative, "failed_inside", f"railwright failed on this file: {lost.words}."))


def compared(instruments: Sequence[Instrument], book: ShopBook) -> list[Instrument]:
    """Check instruments against each other, and say for those to confirm what to measure next.

    Args:
        instruments: as examined, each with a file name of its own.
        book: the shop book.

    Returns:
        The same instruments with what the comparison found.
    """
    shared = check_batch([instrument.survey for instrument in instruments if instrument.survey])
    checked = [_with(instrument, shared.get(instrument.file, [])) for instrument in instruments]
    return [with_next_readings(instrument, book) for instrument in checked]


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


def process(
    folder: Path,
    out: Path,
    book: ShopBook,
    *,
    include_confirm: bool = False,
    executor: Executor | None = None,
    progress: Callable[[Step], None] = lambda step: None,
    tell: Callable[[str], None] = lambda sentence: None,
) -> tuple[Week, Path | None]:
    """Do the main job: everything in ``folder`` examined, everything written to ``out``, whole or not at all.

    Args:
        folder: the input folder; nothing in it is written.
        out: the output folder; see ``railwright.writing.output_folder``.
        book: the shop book.
        include_confirm: make instruments to confirm too.
        executor: any ``concurrent.futures`` executor to share the files out to. Its workers read ``folder`` and write
            beside ``out`` at the same paths as this process; ``None`` does all work here, without bounds of time.
        progress: called for each file done.
        tell: called with sentences about what an earlier run left.

    Returns:
        The run, and where an earlier changed output was kept, if any. Its instruments are light: what only their own
        files show is left out.

    Raises:
        OSError: the output could not be written; the earlier one stands as it was.
        OutputBusy: another run is writing the same output.
    """

    def build(target: Path) -> Week:
        files, _ = find_files(folder)
        names, shared = [path.relative_to(folder).as_posix() for path in files], packed(book)
        examined = list(_counted("read", examine_all(folder, files, book, executor), names, progress))
        together, orders = decide(examined, book, include_confirm)
        rows = [(order, file, shared, folder, target) for order, file in zip(orders, names, strict=True)]
        writing = share_out(_write_packed, rows, executor)  # workers write while this process plans
        week = plan(together, book)
        return _write_all(week, orders, _counted("write", writing, names, progress), target)

    return write_whole(out, build, tell)


def decide(
    examined: Sequence[Examined], book: ShopBook, include_confirm: bool = False
) -> tuple[tuple[Instrument, ...], tuple[Order, ...]]:
    """Look at the instruments of a folder together: what the comparison finds, and which are made.

    Args:
        examined: as examined.
        book: the shop book.
        include_confirm: make those to confirm as well as those released.

    Returns:
        The instruments, and for each what its writer must know.
    """
    found = check_batch([one.instrument.survey for one in examined if one.instrument.survey])
    shared = [tuple(found.get(one.instrument.file, ())) for one in examined]
    checked = [_with(one.instrument, more) for one, more in zip(examined, shared, strict=True)]
    makeable = {"release", "confirm"} if include_confirm else {"release"}
    decided = tuple(replace(one, made=bool(one.parts) and one.state in makeable) for one in checked)
    names = places_of(Week(book, decided)).names
    orders = (
        Order(one.whole, more, instrument.made, names[instrument.file])
        for one, more, instrument in zip(examined, shared, decided, strict=True)
    )
    return decided, tuple(orders)


def plan(instruments: Sequence[Instrument], book: ShopBook) -> Week:
    """Plan cutting and order for the instruments that are made.

    Args:
        instruments: all of the run.
        book: the shop book.

    Returns:
        The run with its plans.
    """
    made = [instrument for instrument in instruments if instrument.made]
    cutting = cutting_sheets([(one.order_no, one.result) for one in made if one.result], book)
    order, notes = order_lines([_need(one) for one in made], cutting, book)
    return Week(book, tuple(instruments), order, cutting, notes)


def _write_packed(order: Order, file: str, book: bytes, folder: Path, target: Path) -> Written:
    """Write the files of one instrument, from what was found of it alone and in comparison."""
    shop_book: ShopBook = unpacked_once(book)
    instrument = with_next_readings(_completed(order), shop_book)
    notes = write_for_instrument(instrument, shop_book, Places({file: order.name}, {}), folder, target)
    return _written(instrument, notes)


def _completed(order: Order) -> Instrument:
    instrument: Instrument = unpacked(order.whole)
    answers = instrument.survey.answers if instrument.survey else {}
    placed = (_placed(finding, answers.get(finding.field or "")) for finding in order.shared)
    return replace(_with(instrument, placed), made=order.made)


def _placed(finding: Finding, answer: Answer | None) -> Finding:
    return replace(finding, sheet=answer.sheet, cell=answer.cell) if answer else finding


def _written(instrument: Instrument, notes: tuple[str, ...]) -> Written:
    return Written(instrument.light(), packed(instrument_text(instrument)), notes)


def _write_all(week: Week, orders: Sequence[Order], writing: Iterator[Written | Lost], target: Path) -> Week:
    """See every instrument written, then write what is about all of them."""
    outcomes = list(writing)
    places = places_of(week)
    for instrument, outcome in zip(week.instruments, outcomes, strict=True):
        if isinstance(outcome, Lost):
            remove_for_instrument(instrument, places, target)
    written = [
        _written(_completed(order), _unwritten(order, one)) if isinstance(one, Lost) else one
        for order, one in zip(orders, outcomes, strict=True)
    ]
    notes = (note for one in written for note in one.notes)
    week = replace(week, instruments=tuple(one.instrument for one in written), notes=(*week.notes, *notes))
    write_for_week(week, (unpacked(one.text) for one in written), target)
    return week


def _unwritten(order: Order, lost: Lost) -> tuple[str, ...]:
    file = unpacked(order.whole).file
    return (f"{file}: its flagged copy, drawings and sheets are missing, because writing them {lost.words}.",)


def _counted(
    stage: Literal["read", "write"], outcomes: Iterable[T], files: Sequence[str], progress: Callable[[Step], None]
) -> Iterator[T]:
    """Pass outcomes on, and count them aloud."""
    for done, (file, outcome) in enumerate(zip(files, outcomes, strict=True), start=1):
        progress(Step(stage, done, len(files), file))
        yield outcome


def _examine(path: Path, relative: str, book: ShopBook) -> Instrument:
    survey, lost = read_survey(path, relative)
    findings = lost_cells(survey, lost)
    findings += check_survey(survey, book)
    result = compute(survey, book)
    findings += put_into_words(result.all_conflicts(), survey)
    told = _by_severity(without_consequences(findings))
    return Instrument(relative, survey, told, result, parts_of(survey, result, book))


def _need(instrument: Instrument) -> InstrumentNeed:
    survey = instrument.survey
    site = (survey.site or "") if survey else ""
    return InstrumentNeed(instrument.order_no, site, instrument.needed_by, instrument.parts)


def _with(instrument: Instrument, more: Iterable[Finding]) -> Instrument:
    return replace(instrument, findings=_by_severity([*instrument.findings, *more]))


def _by_severity(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Order findings by severity, then as the survey is filled in; those about the whole workbook come first."""
    places = {field.key: place for place, field in enumerate(all_fields())}
    return tuple(sorted(findings, key=lambda one: (SEVERITIES.index(one.severity), places.get(one.field or "", -1))))


def _unread(relative: str, rule: str, message: str) -> Instrument:
    return Instrument(relative, None, (workbook_finding(rule, message),))


_SYSTEM_FILES = {"thumbs.db", "desktop.ini"}
_PHOTOS = {".jpg", ".jpeg", ".png", ".heic", ".heif", ".gif", ".webp", ".tif", ".tiff", ".bmp", ".mp4", ".mov"}


def _is_passed_over(relative: Path) -> bool:
    name = relative.name.lower()
    hidden = any(part.startswith(".") for part in relative.parts)
    lock = name.startswith(("~$", ".~lock."))
    return hidden or lock or name in _SYSTEM_FILES or relative.suffix.lower() in _PHOTOS
