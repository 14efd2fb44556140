"""One run's dealings with the ledger, in the order in which they happen."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from railwright.book.default_catalogue import DEFAULT_NAME
from railwright.book.model import ShopBook
from railwright.computing.results import InstrumentResult, Part
from railwright.ledger.connection import WAIT_SECONDS
from railwright.ledger.decisions import keep_decision
from railwright.ledger.entries import Entry, begin_alone, drop, enter, finish, let_others_in, refuse_other_book
from railwright.ledger.planned import Planned, Wish, keep_plan, on_way_notes, prepared
from railwright.ledger.shelf import book_of_ledger, figures, foretell, take_stock
from railwright.ledger.standing import Standing, WeekNews
from railwright.ledger.surveys import compare_and_keep, found_in_ledger, overtaken
from railwright.shop.order_model import CuttingSheet, OrderLine
from railwright.survey.findings import Finding
from railwright.survey.records import Survey

#: Every table whose rows come with an entry.
_TABLES = (
    *("instrument", "survey", "decision", "stock", "book_figure", "order_line", "kit", "cancellation", "bar"),
    "movement",
)


@dataclass
class LedgerWeek:
    """A run that is being entered. Nothing counts before ``prepare``, and all of it goes again unless ``done``."""

    connection: sqlite3.Connection
    book: ShopBook
    entry: Entry
    notes: list[str] = field(default_factory=list)

    @property
    def token(self) -> str:
        """What the output folder bears, too; empty for a run that brings nothing new, which is not entered at all."""
        return self.entry.token if self.brings_something else ""

    @property
    def brings_something(self) -> bool:
        """Whether any row came with this run."""
        found = (
            self.connection.execute(f"SELECT 1 FROM {table} WHERE entry_id = ? LIMIT 1", (self.entry.id,)).fetchone()
            for table in _TABLES
        )
        return any(row is not None for row in found)

    def look_up(self, surveys: Iterable[Survey | None]) -> list[Standing | None]:
        """Look surveys up in turn, and record the readings of new ones.

        Args:
            surveys: with all their answers; ``None`` for a file that is none.

        Returns:
            Where each stands when all are recorded: what a later one supersedes is outdated.
        """
        first = [None if each is None else compare_and_keep(self.connection, self.entry.id, each) for each in surveys]
        return [None if each is None else overtaken(self.connection, each) for each in first]

    def check(self, standing: Standing, survey: Survey, findings: Sequence[Finding]) -> tuple[Finding, ...]:
        """Check a survey against earlier weeks; ``findings`` are those that it has already."""
        if standing.news in ("outdated", "twin"):
            return ()
        return found_in_ledger(self.connection, standing, survey, findings)

    def decide(
        self, standing: Standing, findings: Sequence[Finding], result: InstrumentResult | None, parts: Sequence[Part]
    ) -> None:
        """Record what was decided on a survey."""
        if standing.survey_id is not None and standing.news not in ("outdated", "twin"):
            keep_decision(self.connection, self.entry.id, standing.survey_id, findings, result, parts)

    def prepare_plan(self, wishes: Sequence[Wish]) -> tuple[list[Planned], ShopBook]:
        """Give what is to be planned, and the shop book with the shelf as the ledger knows it."""
        self.notes += take_stock(self.connection, self.entry.id, self.book)
        planned, notes = prepared(self.connection, self.entry.id, wishes, self.book)
        self.notes += notes
        return planned, book_of_ledger(self.book, figures(self.connection))

    def keep_plan(
        self,
        planned: Sequence[Planned],
        cutting: Sequence[CuttingSheet],
        order: Sequence[OrderLine],
        book: ShopBook,
    ) -> None:
        """Record what the run orders and cuts; ``book`` is the one that was planned from."""
        self.notes += on_way_notes(order, book, figures(self.connection))
        keep_plan(self.connection, self.entry.id, planned, cutting, order, book)
        foretell(self.connection, self.entry.id)

    @property
    def news(self) -> WeekNews:
        """What the pages say of the run as a whole."""
        return WeekNews(self.entry.id if self.brings_something else 0, tuple(self.notes))

    def prepare(self) -> None:
        """Enter everything, though not yet for good: the output is about to take its place."""
        if not self.brings_something:
            drop(self.connection, self.entry.id)
        self.connection.execute("COMMIT")

    def done(self) -> None:
        """Complete the entry: the output is in its place."""
        finish(self.connection, self.entry.id)
        let_others_in(self.connection)

    def undo(self) -> None:
        """Take everything back: the output is not in its place."""
        if not self.connection.in_transaction:
            drop(self.connection, self.entry.id)
        let_others_in(self.connection)


def begin_week(
    connection: sqlite3.Connection,
    folder: Path,
    out: Path,
    book: ShopBook,
    tell: Callable[[str], None],
    wait_seconds: float = WAIT_SECONDS,
) -> LedgerWeek:
    """Begin to enter a run; from here on nobody else can write.

    Args:
        connection: the ledger, settled.
        folder: the input.
        out: the output.
        book: the shop book as it was read.
        tell: called with a sentence while another one is writing.
        wait_seconds: how long to wait for that.

    Returns:
        The run.

    Raises:
        LedgerTrouble: the shop book is not the one that the ledger goes with.
        sqlite3.OperationalError: somebody else was writing all the time.
    """
    begin_alone(connection, wait_seconds, tell)
    try:
        refuse_other_book(connection, book, DEFAULT_NAME)
        return LedgerWeek(connection, book, enter(connection, "week", done=False, folder=folder, out=out, book=book))
    except BaseException:
        let_others_in(connection)
        raise
