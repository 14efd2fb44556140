"""The main job on one screen: find files, read and check and compute each, look at them together, plan, write."""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, TypeVar

from railwright.book.model import ShopBook
from railwright.checking.run import check_batch
from railwright.one_file import (
    Examined,
    WriteTask,
    Written,
    completed,
    examine_packed,
    given_up,
    told_of_others,
    with_more,
    with_next_readings,
    write_packed,
    written_of,
)
from railwright.recording import Recording, with_ledger
from railwright.scratch import Scratch
from railwright.sharing import Lost, packed, share_out, unpacked
from railwright.shop.order import order_lines
from railwright.shop.order_model import InstrumentNeed
from railwright.shop.planning import cutting_sheets
from railwright.survey.kind import Earlier
from railwright.writing.instrument_set import remove_for_instrument
from railwright.writing.output_folder import write_whole
from railwright.writing.output_set import write_for_week, write_plans
from railwright.writing.places import places_of
from railwright.writing.week import Instrument, Week

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Step:
    """One file done: ``stage`` is ``read`` or ``write``, ``done`` counts from 1 to ``total`` in each."""

    stage: Literal["read", "write"]
    done: int
    total: int
    file: str


def find_files(folder: Path) -> tuple[list[Path], list[Path]]:
    """List the files of a folder and its subfolders.

    Args:
        folder: the input folder; nothing in it is written.

    Returns:
        Files that should be surveys, by path; and those passed over: lock files of office programs, hidden and system
        files, photos. What cannot be looked into is among the files, so that it is told like one that cannot be read:
        a folder that may not be opened, a link that leads nowhere or to another folder.
    """
    files = sorted(_everything_in(folder))
    passed = [path for path in files if _is_passed_over(path.relative_to(folder))]
    over = set(passed)
    return [path for path in files if path not in over], passed


def _everything_in(folder: Path) -> Iterator[Path]:
    closed: list[Path] = []
    for place, folders, names in os.walk(folder, onerror=lambda trouble: closed.append(Path(trouble.filename))):
        yield from (Path(place, name) for name in names)
        yield from (path for name in folders if (path := Path(place, name)).is_symlink())
    yield from closed


def examine_all(
    folder: Path,
    files: Sequence[Path],
    book: ShopBook,
    executor: Executor | None = None,
    earlier: Earlier | None = None,
) -> Generator[Examined, None, None]:
    """Examine many files, in this process or over an executor's workers, always in the order of the files.

    Args:
        folder: the input folder.
        files: files in it.
        book: the shop book.
        executor: any ``concurrent.futures`` executor; ``None`` works here.
        earlier: looks up earlier surveys of the same maker and model, in whatever process; ``None`` knows of none.

    Yields:
        One instrument a file; a file that met a bound of time or memory, or ended its worker, is on hold and says so.
    """
    relative = [path.relative_to(folder).as_posix() for path in files]
    shared = packed(book)
    rows = [(path, name, shared, earlier) for path, name in zip(files, relative, strict=True)]
    with closing(share_out(examine_packed, rows, executor)) as reading:
        for name, examined in zip(relative, reading, strict=True):
            yield given_up(name, examined) if isinstance(examined, Lost) else examined


def compared(instruments: Sequence[Instrument], book: ShopBook) -> list[Instrument]:
    """Check instruments against each other, and say for those to confirm what to measure next.

    Args:
        instruments: as examined, each with a file name of its own.
        book: the shop book.

    Returns:
        The same instruments with what the comparison found.
    """
    shared = check_batch([instrument.survey for instrument in instruments if instrument.survey])
    checked = [
        with_more(instrument, told_of_others(instrument, shared.get(instrument.file, []))) for instrument in instruments
    ]
    return [with_next_readings(instrument, book) for instrument in checked]


def process(
    folder: Path,
    out: Path,
    book: ShopBook,
    *,
    include_confirm: bool = False,
    executor: Executor | None = None,
    earlier: Earlier | None = None,
    progress: Callable[[Step], None] = lambda step: None,
    tell: Callable[[str], None] = lambda sentence: None,
    recording: Recording | None = None,
) -> tuple[Week, Path | None]:
    """Do the main job: everything in ``folder`` examined, everything written to ``out``, whole or not at all.

    Args:
        folder: the input folder; nothing in it is written.
        out: the output folder; see ``railwright.writing.output_folder``.
        book: the shop book.
        include_confirm: make instruments to confirm too.
        executor: any ``concurrent.futures`` executor to share the files out to. Its workers read ``folder`` and write
            beside ``out`` at the same paths as this process; ``None`` does all work here, without bounds of time.
        earlier: looks up earlier surveys of the same maker and model, in whatever process; ``None`` knows of none.
        progress: called for each file done.
        tell: called with sentences about what an earlier run left.
        recording: the ledger that the run is entered in, if any.

    Returns:
        The run, and where an earlier output was kept, if any. Its instruments are light: what only their own
        files show is left out.

    Raises:
        OSError: the output could not be written; the earlier one stands as it was.
        OutputBusy: another run is writing the same output.
        LedgerTrouble: the ledger could not be written; the earlier output stands as it was.
    """

    def build(target: Path) -> Week:
        files, _ = find_files(folder)
        names, shared = [path.relative_to(folder).as_posix() for path in files], packed(book)
        # Once left, the scratch file is gone: before the folder is listed and takes its place.
        with Scratch(target) as scratch:
            with closing(examine_all(folder, files, book, executor, earlier)) as reading:
                counted = _counted("read", reading, names, progress)
                examined = [replace(one, whole=scratch.keep(bytes(one.whole))) for one in counted]
            if recording:
                recording.begin(folder, out, book, tell)
            together, tasks, shelf = decide(examined, book, include_confirm, recording)
            rows = [(task, shared, folder, target) for task in tasks]
            # Workers write while this process plans; if that fails, nobody writes any more when the failure is told.
            with closing(share_out(write_packed, rows, executor)) as writing:
                week = plan(together, shelf, recording)
                write_plans(week, target)
                return _write_all(week, tasks, _counted("write", writing, names, progress), target, scratch)

    return write_whole(out, build, tell, recording)


def decide(
    examined: Sequence[Examined], book: ShopBook, include_confirm: bool = False, recording: Recording | None = None
) -> tuple[tuple[Instrument, ...], tuple[WriteTask, ...], ShopBook]:
    """Look at the instruments of a folder together: what the comparison finds, and which are made.

    Args:
        examined: as examined.
        book: the shop book.
        include_confirm: make those to confirm as well as those released.
        recording: the ledger that they are looked up and entered in, if any.

    Returns:
        The instruments, for each what its writer must know, and the shop book to plan with: with a ledger, its stock is
        what the ledger has.
    """
    instruments = recording.look_up(examined) if recording else [one.instrument for one in examined]
    found = check_batch([one.survey for one in instruments if one.survey and not one.is_outdated])
    shared = [told_of_others(one, found.get(one.file, ())) for one in instruments]
    checked = [(with_more(one, more), more) for one, more in zip(instruments, shared, strict=True)]
    if recording:
        checked = recording.compare(examined, checked)
    makeable = {"release", "confirm"} if include_confirm else {"release"}
    decided = [replace(one, made=bool(one.parts) and one.state in makeable) for one, _ in checked]
    shelf = book
    if recording:
        decided, shelf = recording.prepare_plan(decided)
    places = places_of(Week(book, tuple(decided)))
    tasks = (
        WriteTask(one.whole, more, made.made, places.only(made), made.standing, made.added)
        for one, (_, more), made in zip(examined, checked, decided, strict=True)
    )
    return tuple(decided), tuple(tasks), shelf


def plan(instruments: Sequence[Instrument], book: ShopBook, recording: Recording | None = None) -> Week:
    """Plan cutting and order for the instruments that are made.

    Args:
        instruments: all of the run.
        book: the shop book.
        recording: the ledger that the plans are entered in, if any.

    Returns:
        The run with its plans.
    """
    if recording:
        return _plan_what_is_new(instruments, book, recording)
    made = [instrument for instrument in instruments if instrument.made]
    cutting = cutting_sheets([(one.order_no, one.result) for one in made if one.result], book)
    order, notes = order_lines([_need(one) for one in made], cutting, book)
    return Week(book, tuple(instruments), order, cutting, notes)


def _plan_what_is_new(instruments: Sequence[Instrument], book: ShopBook, recording: Recording) -> Week:
    """Plan what was not ordered in an earlier run, and enter it."""
    cutting = cutting_sheets([(each.wish.order_no, each.more.result) for each in recording.cuts()], book)
    order, notes = order_lines(recording.needs(instruments), cutting, book)
    recording.keep_plan(cutting, order, book)
    return with_ledger(Week(book, tuple(instruments), order, cutting, notes), recording)


def _write_all(
    week: Week, tasks: Sequence[WriteTask], writing: Iterator[Written | Lost], target: Path, scratch: Scratch
) -> Week:
    """See every instrument written, then write what is about all of them."""
    outcomes = [one if isinstance(one, Lost) else replace(one, text=scratch.keep(bytes(one.text))) for one in writing]
    places = places_of(week)
    for instrument, outcome in zip(week.instruments, outcomes, strict=True):
        if isinstance(outcome, Lost):
            remove_for_instrument(instrument, places, target)
    written = [
        written_of(completed(task), task, _unwritten(task, one)) if isinstance(one, Lost) else one
        for task, one in zip(tasks, outcomes, strict=True)
    ]
    notes = (note for one in written for note in one.notes)
    instruments = (one.instrument or earlier for one, earlier in zip(written, week.instruments, strict=True))
    week = replace(week, instruments=tuple(instruments), notes=(*week.notes, *notes))
    write_for_week(week, (unpacked(one.text) for one in written), target)
    return week


def _unwritten(task: WriteTask, lost: Lost) -> tuple[str, ...]:
    file = unpacked(task.whole).file
    return (f"{file}: its flagged copy, drawings and sheets are missing, because writing them {lost.words}.",)


def _counted(
    stage: Literal["read", "write"], outcomes: Iterable[T], files: Sequence[str], progress: Callable[[Step], None]
) -> Iterator[T]:
    """Pass outcomes on, and count them aloud."""
    for done, (file, outcome) in enumerate(zip(files, outcomes, strict=True), start=1):
        progress(Step(stage, done, len(files), file))
        yield outcome


def _need(instrument: Instrument) -> InstrumentNeed:
    survey = instrument.survey
    site = (survey.site or "") if survey else ""
    return InstrumentNeed(instrument.order_no, site, instrument.needed_by, instrument.parts)


_SYSTEM_FILES = {"thumbs.db", "desktop.ini"}
_PHOTOS = {".jpg", ".jpeg", ".png", ".heic", ".heif", ".gif", ".webp", ".tif", ".tiff", ".bmp", ".mp4", ".mov"}


def _is_passed_over(relative: Path) -> bool:
    name = relative.name.lower()
    hidden = any(part.startswith(".") for part in relative.parts)
    lock = name.startswith(("~$", ".~lock."))
    return hidden or lock or name in _SYSTEM_FILES or relative.suffix.lower() in _PHOTOS
