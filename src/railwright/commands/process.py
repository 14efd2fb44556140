"""``railwright process``: the main job on a folder of filled surveys."""

from __future__ import annotations

from concurrent.futures import Executor
from pathlib import Path

import click

from railwright.commands.failures import ASKED_FOR, OK, USAGE, Stop, sentences


@click.command()
@click.argument("folder", type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.option("-o", "--out", required=True, type=click.Path(path_type=Path), help="Folder to write; made new.")
@click.option(
    "--shop-book",
    "shop_book",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The shop's own rules, catalogue and stock; without it the default one.",
)
@click.option("--include-confirm", is_flag=True, help="Cut and order instruments to confirm, too.")
@click.option(
    "--ledger",
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file that keeps what was surveyed, ordered and cut from week to week; made new.",
)
@click.option("--strict", is_flag=True, help="Exit with status 1 when anything is on hold or to confirm.")
@click.option("--jobs", type=click.IntRange(min=1), default=None, help="Worker processes; default by the work.")
@click.option("--verbose", is_flag=True, help="Name each file on standard error as it is done.")
@sentences
def process(
    folder: Path,
    out: Path,
    shop_book: Path | None,
    include_confirm: bool,
    ledger: Path | None,
    strict: bool,
    jobs: int | None,
    verbose: bool,
) -> int:
    """Read every survey workbook in FOLDER and write flagged copies, order, cutting list, pages and drawings to OUT.

    Nothing in FOLDER is ever written.
    """
    from railwright.commands.workers import workers

    with workers(jobs) as executor:  # the first worker starts while this process loads its own libraries
        return _run(folder, out, shop_book, include_confirm, ledger, strict, verbose, executor)


def _run(
    folder: Path,
    out: Path,
    shop_book: Path | None,
    include_confirm: bool,
    ledger: Path | None,
    strict: bool,
    verbose: bool,
    executor: Executor,
) -> int:
    from railwright import pipeline
    from railwright.commands.book_option import load_book
    from railwright.commands.ledger_option import recording_in
    from railwright.commands.screen import follow_progress, show_week
    from railwright.ledger.kin import EarlierInLedger
    from railwright.writing.output_folder import OutputBusy, OutputRefused, refuse_unsafe, was_changed

    try:
        refuse_unsafe(folder, out)
    except OutputRefused as refusal:
        raise Stop(str(refusal), USAGE) from refusal
    book, notes = load_book(shop_book)
    files, passed_over = pipeline.find_files(folder)
    if not files:
        raise Stop(f"{folder} holds no file that could be a survey. Nothing was written.")
    for note in (*notes, *_about(passed_over)):
        _say(note)
    try:
        with recording_in(ledger, folder, out, _say) as recording, follow_progress(verbose) as progress:
            week, kept = pipeline.process(
                folder,
                out,
                book,
                include_confirm=include_confirm,
                executor=executor,
                progress=progress,
                tell=_say,
                recording=recording,
                earlier=None if ledger is None else EarlierInLedger(ledger),
            )
    except OutputBusy as busy:
        raise Stop(str(busy)) from busy
    if kept and was_changed(kept):
        _say(f"Files in the earlier {out} had been changed or added; it is kept as {kept}.")
    elif kept:
        _say(f"The earlier {out} has an order or a cutting list that is not written again; it is kept as {kept}.")
    for note in (*week.notes, *(week.ledger.notes if week.ledger else ())):
        _say(note)
    show_week(week, out)
    return ASKED_FOR if strict and any(i.state != "release" for i in week.instruments) else OK


def _say(sentence: str) -> None:
    from railwright.commands.screen import fit

    click.echo(fit(sentence), err=True)


def _about(passed_over: list[Path]) -> list[str]:
    if not passed_over:
        return []
    names = ", ".join(path.name for path in passed_over[:5]) + (" …" if len(passed_over) > 5 else "")
    of = "1 photo, hidden or lock file" if len(passed_over) == 1 else f"{len(passed_over)} photos, hidden or lock files"
    return [f"Passed over {of}: {names}"]
