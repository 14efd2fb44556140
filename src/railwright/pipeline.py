"""The main job on one screen: find files, read and check and compute each, look at them together, plan, write."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path

from railwright.book.model import ShopBook
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
from railwright.shop.order import order_lines
from railwright.shop.order_model import InstrumentNeed
from railwright.shop.parts import parts_of
from railwright.shop.planning import cutting_sheets
from railwright.survey.fields import all_fields
from railwright.survey.findings import SEVERITIES, Finding
from railwright.writing.output_folder import write_whole
from railwright.writing.output_set import write_outputs
from railwright.writing.week import Instrument, Week

Progress = Callable[[int, int], None]


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
    return [path for path in files if path not in set(passed)], passed


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
    except Exception as fault:  # one poisoned file costs itself only; the message names the fault for whoever mends it
        return _unread(relative, "failed_inside", f"railwright failed on this file ({type(fault).__name__}: {fault}).")


def examine_all(
    folder: Path, files: Sequence[Path], book: ShopBook, executor: Executor | None, progress: Progress
) -> Iterator[Instrument]:
    """Examine many files, in this process or over an executor's workers, always in the order of the files.

    Args:
        folder: the input folder.
        files: files in it.
        book: the shop book.
        executor: any ``concurrent.futures`` executor; ``None`` works here.
        progress: called with the number done and the number in all.

    Yields:
        One instrument a file.
    """
    relative = [path.relative_to(folder).as_posix() for path in files]
    over: Callable[..., Iterable[Instrument]] = executor.map if executor else map
    for done, instrument in enumerate(over(examine, files, relative, [book] * len(files)), start=1):
        progress(done, len(files))
        yield instrument


def assemble(instruments: Sequence[Instrument], book: ShopBook, include_confirm: bool = False) -> Week:
    """Look at the instruments of a folder together, and plan cutting and order for those that may be made.

    Args:
        instruments: as examined.
        book: the shop book.
        include_confirm: make those to confirm as well as those released.

    Returns:
        The whole run, ready to be written.
    """
    makeable = {"release", "confirm"} if include_confirm else {"release"}
    final = [replace(i, made=bool(i.parts) and i.state in makeable) for i in compared(instruments, book)]
    made = [(i.order_no, i.result) for i in final if i.made and i.result]
    cutting = cutting_sheets(made, book)
    order, notes = order_lines([_need(i) for i in final if i.made], cutting, book)
    return Week(book, tuple(final), order, cutting, notes)


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
    progress: Progress = lambda done, total: None,
) -> tuple[Week, Path | None]:
    """Do the main job: everything in ``folder`` examined, everything written to ``out``, whole or not at all.

    Args:
        folder: the input folder; nothing in it is written.
        out: the output folder; see ``railwright.writing.output_folder``.
        book: the shop book.
        include_confirm: make instruments to confirm too.
        executor: any ``concurrent.futures`` executor to share the files out to.
        progress: called with the number of files done and in all.

    Returns:
        The run, and where an earlier changed output was kept, if any.

    Raises:
        OSError: the output could not be written; the earlier one stands as it was.
    """
    files, _ = find_files(folder)
    week = assemble(list(examine_all(folder, files, book, executor, progress)), book, include_confirm)
    return write_whole(out, lambda target: write_outputs(week, folder, target))


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
    site, day = (survey.site or "", survey.needed_by) if survey else ("", None)
    return InstrumentNeed(instrument.order_no, site, day, instrument.parts)


def _with(instrument: Instrument, more: list[Finding]) -> Instrument:
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
