"""A run and its ledger: what is entered when, and what the ledger changes about what is made."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from railwright.book.model import ShopBook
from railwright.ledger.entries import settle
from railwright.ledger.planned import Planned, Wish
from railwright.ledger.week import LedgerWeek, begin_week
from railwright.one_file import Examined, with_more
from railwright.sharing import unpacked
from railwright.shop.order_model import CuttingSheet, InstrumentNeed, OrderLine
from railwright.survey.findings import Finding
from railwright.writing.output_folder import Companion, token_of
from railwright.writing.week import Instrument, Week

#: An instrument, and what was found of it in comparison with others.
Compared = tuple[Instrument, tuple[Finding, ...]]


def settle_ledger(connection: sqlite3.Connection, tell: Callable[[str], None]) -> None:
    """Finish or take back what a run left that was broken off; see ``railwright.ledger.entries``."""
    settle(connection, _stands, tell)


def _stands(out: Path, token: str, here: bool) -> bool | None:
    if token_of(out) == token:
        return True
    return False if here else None


class Recording(Companion):
    """A run that is entered into a ledger together with its output folder."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        """Take a ledger that is open for writing and settled."""
        self._connection = connection
        self._week: LedgerWeek | None = None
        self._planned: list[Planned] = []
        self._has_plans = False

    @property
    def week(self) -> LedgerWeek:
        """The entry that is being made."""
        assert self._week is not None, "begin comes first"
        return self._week

    def begin(self, folder: Path, out: Path, book: ShopBook, tell: Callable[[str], None]) -> None:
        """Begin to enter; from here on nobody else can write the ledger."""
        self._week = begin_week(self._connection, folder, out, book, tell)

    def look_up(self, examined: Sequence[Examined]) -> list[Instrument]:
        """Look every survey up, and record the readings of new ones.

        Args:
            examined: the files, whole.

        Returns:
            The instruments with their standing.
        """
        standings = self.week.look_up(unpacked(one.whole).survey for one in examined)
        return [replace(one.instrument, standing=each) for one, each in zip(examined, standings, strict=True)]

    def compare(self, examined: Sequence[Examined], checked: Sequence[Compared]) -> list[Compared]:
        """Add what the ledger finds, and record what was decided.

        Args:
            examined: the files, whole.
            checked: the same as they are after the comparison within the folder.

        Returns:
            The instruments, and what was found in comparison.
        """
        return [self._compared(one, *each) for one, each in zip(examined, checked, strict=True)]

    def _compared(self, one: Examined, instrument: Instrument, shared: tuple[Finding, ...]) -> Compared:
        whole: Instrument = unpacked(one.whole)
        standing = instrument.standing
        if whole.survey is None or standing is None:
            return instrument, shared
        found = self.week.check(standing, whole.survey, instrument.findings)
        instrument = with_more(instrument, found)
        self.week.decide(standing, instrument.findings, whole.result, whole.parts)
        return instrument, (*shared, *found)

    def prepare_plan(self, instruments: Sequence[Instrument]) -> tuple[list[Instrument], ShopBook]:
        """Work out what is really to be made: what was ordered earlier is not ordered again.

        Args:
            instruments: all of the run; those that are made as far as their files go.

        Returns:
            The same with what the ledger says, and the shop book with the shelf as the ledger knows it.
        """
        wishes = {wish.instrument_id: wish for one in reversed(instruments) if (wish := _wish(one))}
        self._planned, book = self.week.prepare_plan([wishes[number] for number in sorted(wishes)])
        more = {each.wish.survey_id: each for each in self._planned}
        return [_made(one, more, wishes) for one in instruments], book

    def needs(self, instruments: Sequence[Instrument]) -> list[InstrumentNeed]:
        """List what the order is for."""
        by_survey = {one.standing.survey_id: one for one in instruments if one.standing and one.made}
        return [
            _need(by_survey[each.wish.survey_id], each) for each in self._planned if each.wish.survey_id in by_survey
        ]

    def cuts(self) -> list[Planned]:
        """List what the cutting plans are for."""
        return [each for each in self._planned if each.more.needs_something]

    def keep_plan(self, cutting: Sequence[CuttingSheet], order: Sequence[OrderLine], book: ShopBook) -> None:
        """Record what is ordered and cut."""
        self._has_plans = bool(cutting or order)
        self.week.keep_plan(self._planned, cutting, order, book)

    @property
    def token(self) -> str:
        """What the output folder bears, too."""
        return self._week.token if self._week else ""

    @property
    def keep(self) -> bool:
        """Whether the output holds an order or a cutting list: no later run writes those again."""
        return self._has_plans

    def prepare(self) -> None:
        """Enter everything, though not yet for good."""
        self.week.prepare()

    def done(self) -> None:
        """Complete the entry."""
        self.week.done()

    def undo(self) -> None:
        """Take everything back."""
        if self._week is not None:
            self._week.undo()


def _wish(instrument: Instrument) -> Wish | None:
    standing = instrument.standing
    if not instrument.made or instrument.result is None or standing is None or not standing.may_be_made:
        return None
    assert standing.instrument_id is not None and standing.survey_id is not None
    day = instrument.needed_by.isoformat() if instrument.needed_by else None
    return Wish(
        standing.instrument_id, standing.survey_id, instrument.order_no, day, instrument.result, instrument.parts
    )


def _made(instrument: Instrument, more: dict[int, Planned], wishes: dict[int, Wish]) -> Instrument:
    standing = instrument.standing
    planned = more.get(standing.survey_id or 0) if standing and instrument.made and standing.may_be_made else None
    if planned is None or wishes[planned.wish.instrument_id].result is not instrument.result:
        return replace(instrument, made=False)
    difference = planned.more
    added = None if planned.earlier.is_empty else difference.all_parts
    return replace(instrument, made=difference.needs_something, added=added)


def _need(instrument: Instrument, planned: Planned) -> InstrumentNeed:
    site = (instrument.survey.site if instrument.survey else None) or ""
    return InstrumentNeed(instrument.order_no, site, instrument.needed_by, planned.more.parts)


def with_ledger(week: Week, recording: Recording) -> Week:
    """Add to a run what its ledger has to say."""
    return replace(week, ledger=recording.week.news)
