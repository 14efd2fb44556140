"""What a person sees on the terminal: progress on long work, then a table that says what to do."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TaskID, TextColumn, TimeRemainingColumn
from rich.table import Table
from rich.text import Text

from railwright.ledger.standing import News
from railwright.pipeline import Step
from railwright.survey.findings import Finding, State
from railwright.writing.advice import measure_next_words, next_step
from railwright.writing.asking import questions_of
from railwright.writing.week import Instrument, Week

_LOOK: dict[State, str] = {"release": "green", "confirm": "yellow", "hold": "bold red"}

#: A pipe or a file has no width of its own; wide enough that no sentence is broken oddly.
_WIDTH_OF_A_FILE = 140


def console(stderr: bool = False) -> Console:
    """Make a console for standard output or error that keeps text as it is and obeys NO_COLOR."""
    made = Console(stderr=stderr, highlight=False, markup=False, emoji=False)
    return (
        made
        if made.is_terminal
        else Console(stderr=stderr, highlight=False, markup=False, emoji=False, width=_WIDTH_OF_A_FILE)
    )


def fit(text: str, longest: int | None = None) -> str:
    """Make text from a workbook or a disk fit for a terminal.

    Args:
        text: any text.
        longest: cut to so many signs.

    Returns:
        The text without signs that a terminal obeys or that turn the direction of what follows.
    """
    cut = text if longest is None or len(text) <= longest else f"{text[: longest - 1]}…"
    return _OBEYED.sub("\ufffd", cut)


def shown(text: str, longest: int | None = None, style: str = "") -> Text:
    """Do the same for a console; ``style`` is that of the whole text."""
    return Text(fit(text, longest), style=style)


_OBEYED = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")

#: Signs of an order number or a technician's name; files and pages have the whole of it.
_LONGEST_NAME = 72


@contextmanager
def follow_progress(name_files: bool = False) -> Iterator[Callable[[Step], None]]:
    """Show on standard error how far the work is, how fast it goes and how long it will take.

    Args:
        name_files: name every file as it is done, on a terminal or not. Without it, all is quiet where standard error
            is not a terminal.

    Yields:
        A function to call for each file done.
    """
    screen = console(stderr=True)
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.fields[rate]}"),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=screen, transient=True, disable=not screen.is_terminal) as progress:
        tasks: dict[str, TaskID] = {}

        def follow(step: Step) -> None:
            if step.stage not in tasks:
                tasks[step.stage] = progress.add_task(_STAGES[step.stage], total=step.total, rate="")
            number = tasks[step.stage]
            speed = progress.tasks[number].speed
            progress.update(number, completed=step.done, rate=_rate(speed))
            if name_files:
                progress.console.print(shown(f"{_DONE[step.stage]} {step.done} of {step.total}: {step.file}"))

        yield follow


_STAGES = {"read": "Reading surveys", "write": "Writing files  "}
_DONE = {"read": "read", "write": "written"}


def _rate(files_a_second: float | None) -> str:
    return f"{files_a_second:.1f} files/s" if files_a_second else ""


def show_week(week: Week, out: Path) -> None:
    """Print the table of instruments and where to look next.

    Args:
        week: the run.
        out: the folder that was written.
    """
    screen = console()
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("Order", max_width=24, overflow="fold")
    table.add_column("State", no_wrap=True, min_width=7)
    table.add_column("Technician", min_width=10, max_width=20, overflow="fold")
    table.add_column("What to do", ratio=1)
    for instrument in week.instruments:
        technician = (instrument.survey.technician if instrument.survey else None) or "-"
        state = Text(instrument.state, style=_LOOK[instrument.state])
        table.add_row(
            shown(instrument.order_no, _LONGEST_NAME),
            state,
            shown(technician, _LONGEST_NAME),
            shown(next_step(instrument)),
        )
    screen.print(table)
    screen.print()
    screen.print(Text(summary(week)))
    if week.ledger:
        screen.print(Text(ledger_summary(week)))
    asked = any(not one.stray and questions_of(one) for one in week.instruments)
    more = f"; what to ask each technician is in {out / 'questions'}" if asked else ""
    screen.print(Text(f"Open {out / 'week.html'} next{more}."))


def summary(week: Week) -> str:
    """Count the instruments by state, and say what the cutting list and the order are made for."""
    counts = [f"{len(week.in_state(state))} {word}" for state, word in _WORDS]
    made = sum(instrument.made for instrument in week.instruments)
    files = "1 file" if len(week.instruments) == 1 else f"{len(week.instruments)} files"
    kits = "1 instrument" if made == 1 else f"{made} instruments"
    return f"{files}: {', '.join(counts)}. Cutting list and order are for {kits}."


def ledger_summary(week: Week) -> str:
    """Count the surveys by what the ledger says of them."""
    assert week.ledger is not None
    news = [one.standing.news for one in week.instruments if one.standing]
    counts = [f"{news.count(word)} {words}" for word, words in _NEWS.items() if word in news]
    run = f"run {week.ledger.run}" if week.ledger.run else "nothing to enter"
    return f"Ledger, {run}: {', '.join(counts) or 'no survey'}."


_NEWS: dict[News, str] = {
    "new": "new",
    "unchanged": "unchanged",
    "superseding": "superseding an earlier one",
    "outdated": "outdated",
    "twin": "not entered (another file is of the same instrument)",
}

_WORDS: Sequence[tuple[State, str]] = (("release", "released"), ("confirm", "to confirm"), ("hold", "on hold"))


def show_findings(file: str, instrument: Instrument) -> None:
    """Print the findings of one workbook, gravest first.

    Args:
        file: the path as the user gave it.
        instrument: the file as examined.
    """
    screen = console()
    screen.print(shown(f"{file}: {instrument.state}", style=_LOOK[instrument.state]))
    for finding in instrument.findings:
        screen.print(shown(f"  {finding.severity:<8}{_place(finding)}{finding.message}  [{finding.rule}]"))
    if words := measure_next_words(instrument):
        screen.print(shown(f"  measure next: {words}"))
    if not instrument.findings:
        screen.print(Text("  nothing to look at again"))


def _place(finding: Finding) -> str:
    return f"{finding.sheet}!{finding.cell} ({finding.field}): " if finding.cell else ""
