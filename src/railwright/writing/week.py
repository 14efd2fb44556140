"""Everything that one run knows, ready to be written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from railwright.book.model import ShopBook
from railwright.computing.next_reading import NextReading
from railwright.computing.results import DefaultUsed, InstrumentResult, Part, SectionResult
from railwright.ledger.standing import Standing, WeekNews
from railwright.reading.recognise import named_as_workbook
from railwright.shop.order_model import CuttingSheet, OrderLine
from railwright.survey.findings import Finding, State, state_of
from railwright.survey.records import SectionSurvey, Survey


@dataclass(frozen=True, slots=True)
class Instrument:
    """One file of the folder: what was read, found and computed.

    ``survey`` is ``None`` for a file that could not be read as one. ``made`` says that its parts are in the cutting
    list and the order. ``measure_next`` ranks the readings that would settle what is to confirm, the most telling
    first; it is empty in every other state. ``standing`` says where the survey stands in the ledger, if there is one;
    ``added`` are the parts that this run orders for it where those are not simply all of ``parts``.
    """

    file: str
    survey: Survey | None
    findings: tuple[Finding, ...]
    result: InstrumentResult | None = None
    parts: tuple[Part, ...] = ()
    made: bool = False
    measure_next: tuple[NextReading, ...] = ()
    standing: Standing | None = None
    added: tuple[Part, ...] | None = None

    @property
    def state(self) -> State:
        """What may happen next: release, confirm or hold."""
        return state_of(list(self.findings))

    @property
    def for_shop(self) -> bool:
        """Whether its drawings are to be worked from: it is made in this run, or was ordered as it is in an earlier."""
        return self.made or bool(self.standing and self.standing.ordered)

    @property
    def is_outdated(self) -> bool:
        """Whether the ledger has later readings of the same instrument, which count instead."""
        return self.standing is not None and self.standing.news == "outdated"

    @property
    def stray(self) -> bool:
        """Whether the file could not be read and is not even named as a workbook: nobody meant it for a survey."""
        return self.survey is None and not named_as_workbook(self.file)

    @property
    def order_no(self) -> str:
        """The order number, or the file's name where none could be read."""
        return (self.survey.order_no if self.survey else None) or self.file

    @property
    def needed_by(self) -> date | None:
        """The day its parts are wanted by; ``None`` for one that cannot be meant, as it lies before the survey."""
        slipped = any(finding.rule == "needed_before_survey" for finding in self.findings)
        return None if self.survey is None or slipped else self.survey.needed_by

    @property
    def defaults(self) -> tuple[DefaultUsed, ...]:
        """Every answer, blank or unreadable, that the shop book filled."""
        if self.result is None:
            return ()
        return self.result.defaults + tuple(d for section in self.result.sections for d in section.defaults)

    def light(self) -> Instrument:
        """Leave out what only its own files show, so that thousands of instruments stay small in memory."""
        survey, result = self.survey, self.result
        if survey is not None:
            asked = {finding.field for finding in self.findings}
            answers = {key: one for key, one in survey.answers.items() if key in asked}
            counted = tuple(SectionSurvey(number=one.number, dampers=one.dampers) for one in survey.sections)
            survey = replace(survey, answers=answers, sections=counted, steps_mm={}, kind=None)
        if result is not None:
            cut = tuple(
                SectionResult(
                    one.section, one.register, one.first_note, one.last_note,
                    carrier=one.carrier, felt=one.felt, kind=one.kind,
                )
                for one in result.sections
            )  # fmt: skip
            result = InstrumentResult(cut)
        return replace(self, survey=survey, result=result)


@dataclass(frozen=True, slots=True)
class Week:
    """One run over a folder: its instruments by file, the order, the cutting plans, and notes about the whole.

    ``ledger`` says where the run stands in the ledger. With one, the stock in ``book`` is what the ledger has of it.
    """

    book: ShopBook
    instruments: tuple[Instrument, ...]
    order: tuple[OrderLine, ...] = ()
    cutting: tuple[CuttingSheet, ...] = ()
    notes: tuple[str, ...] = ()
    ledger: WeekNews | None = None

    def in_state(self, state: State) -> Sequence[Instrument]:
        """List the instruments of one state, in order of their files."""
        return [instrument for instrument in self.instruments if instrument.state == state]
