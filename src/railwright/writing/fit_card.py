"""The fit card: what to check before fitting, where each station goes, what to test after (common practice)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from railwright.book.model import ShopBook
from railwright.computing.results import SectionResult
from railwright.shop.parts import shim_leaves
from railwright.writing.drawings.end_views import end_stacks
from railwright.writing.drawings.segment_case import SegmentCase, between_words, wire_label
from railwright.writing.numbers import fixed, plain, several
from railwright.writing.templates import spell_note
from railwright.writing.week import Instrument

_USUAL_PT, _LEAST = 8.3, 0.75
"""Size of the letters in print, and the least share of it that can still be read."""
_USUAL_LINES, _OTHER_LINES = 30, 40
"""So many lines of stations and open questions fit with that size, beside so many of everything else."""


@dataclass(frozen=True, slots=True)
class CardStation:
    """One station as the fitter finds it: its place in words and its shim."""

    number: int
    place: str
    shim: str


@dataclass(frozen=True, slots=True)
class CardSegment:
    """One segment as the fitter needs it."""

    heading: str
    stations: tuple[CardStation, ...]
    heights: str
    lift: str
    side: str


@dataclass(frozen=True, slots=True)
class FitCard:
    """Everything on the card."""

    open: tuple[str, ...]
    remarks: str
    before: tuple[str, ...]
    segments: tuple[CardSegment, ...]
    after: tuple[str, ...]

    @property
    def print_pt(self) -> float:
        """Size of the letters with which the card prints on one page: a crowded card has smaller ones, pt."""
        lines = (
            3 * len(self.open)
            + len(self.remarks) // 110
            + sum(max(len(segment.stations), 3) for segment in self.segments)
        )
        return round(_USUAL_PT * max(min((_OTHER_LINES + _USUAL_LINES) / (_OTHER_LINES + lines), 1.0), _LEAST), 2)


def fit_card_of(instrument: Instrument, cases: Sequence[SegmentCase], book: ShopBook) -> FitCard:
    """Gather the fit card of one instrument.

    Args:
        instrument: an instrument with at least one segment.
        cases: its segments, bass first.
        book: the shop book; gives shim leaves, trim and slot.

    Returns:
        The card's sentences.
    """
    remarks = (instrument.survey.remarks if instrument.survey else None) or ""
    segments = tuple(_segment(case, book) for case in cases)
    return FitCard(_open(instrument), remarks, _before(instrument, cases, book), segments, _after(instrument, book))


def _open(instrument: Instrument) -> tuple[str, ...]:
    """List what is still to confirm, for the fitter to settle at the piano; the same at both ends is said once."""
    told = [finding.message for finding in instrument.findings if finding.severity == "confirm"]
    twins = {one: one.replace("the low end", "the high end") for one in told if "the low end" in one}
    both = {one: twin for one, twin in twins.items() if twin in told}
    once = [one for one in told if one not in both.values()]
    return tuple(one.replace("the low end", "the low and the high end") if one in both else one for one in once)


def kit_words(instrument: Instrument, cases: Sequence[SegmentCase], book: ShopBook) -> str:
    """Sum the kit up, for a look into the box before leaving.

    Args:
        instrument: gives the part list.
        cases: its segments; each is a carrier and a felt.
        book: says what each item is.

    Returns:
        For example ``3 carriers with felt (1 notch), 2 links, 1 lever set, cable 2400 mm``.
    """
    kinds = {part.item: part.kind for part in book.hardware}
    counts = Counter[str]()
    for part in instrument.parts:
        counts[kinds.get(part.item, "")] += round(part.quantity)
    cuts = Counter("hollow" if relief.kind == "screw" else "notch" for one in cases for relief in one.section.reliefs)
    reliefs = [several(cuts[kind], kind, plural) for kind, plural in (("hollow", "hollows"), ("notch", "notches"))]
    told = [f"{several(len(cases), 'carrier')} with felt ({', '.join(reliefs)})"]
    told += [
        several(counts[kind], kind, plural)
        for kind, plural in (("foot", "feet"), ("crank", ""), ("link", ""), ("lever set", ""))
        if counts[kind]
    ]
    if counts["cable"]:
        told.append(f"cable {counts['cable']} mm")
    return ", ".join(told)


def screw_words(cases: Sequence[SegmentCase]) -> str:
    """Say between which wires guide-rail screws stand; empty for none that are known."""
    return "; ".join(_screw(case, x) for case in cases for x in case.section.screws_x_mm)


def _screw(case: SegmentCase, x_mm: float) -> str:
    section = case.section
    below = int((case.spacing.x_mm < x_mm).sum()) if case.spacing else 0
    if case.spacing is None:
        return f"in section {section.section}"
    if below == 0:
        return f"before {wire_label(section, 0)}"
    if below == len(case.spacing.x_mm):
        return f"beyond {wire_label(section, below - 1)}"
    return f"between {wire_label(section, below - 1)} and {wire_label(section, below)}"


def _before(instrument: Instrument, cases: Sequence[SegmentCase], book: ShopBook) -> tuple[str, ...]:
    survey = instrument.survey
    serial = (survey.serial if survey else None) or "as on the order"
    counts = ", ".join(f"{case.section.section}: {case.section.dampers}" for case in cases if case.section.dampers)
    screws = screw_words(cases)
    return (
        f"The kit is whole: {kit_words(instrument, cases, book)}.",
        f"The serial number on the plate is {serial}.",
        f"Dampers counted from the bass, section by section: {counts}.",
        "Every damper rises and falls freely before anything is fitted.",
        f"The guide rail is clean; its screws stand {screws}."
        if screws
        else "The guide rail is clean, without screws.",
        "At both ends of every section, a gauge block as high as the stack below, with the clearance, stays untouched "
        "on the hardest blow.",
    )


def _segment(case: SegmentCase, book: ShopBook) -> CardSegment:
    leaves = tuple(part.size_mm for part in book.parts("shim"))
    stations = tuple(
        CardStation(number, between_words(case.section, station), shim_words(station.shim_mm, leaves))
        for number, station in enumerate(case.section.stations, start=1)
    )
    side = {"rear": "behind the wires", "front": "in front of the wires"}.get(
        case.section.side or "", "side not decided"
    )
    return CardSegment(_heading(case.section), stations, _heights(case, book), _lift(case.section), side)


def _heading(section: SectionResult) -> str:
    notes = f"{spell_note(section.first_note)} to {spell_note(section.last_note)}"
    return f"{section.section} {section.register or ''} {notes}".replace("  ", " ")


def shim_words(shim_mm: float, leaves_mm: tuple[float, ...]) -> str:
    """Say how a shim is made up: ``0.7 = 0.5 + 0.2``; ``none`` for no shim."""
    if round(shim_mm * 10) == 0:
        return "none"
    leaves = shim_leaves(shim_mm, leaves_mm)
    if leaves is None or len(leaves) == 1:
        return fixed(shim_mm)
    return f"{fixed(shim_mm)} = " + " + ".join(plain(leaf) for leaf in leaves)


def _heights(case: SegmentCase, book: ShopBook) -> str:
    low, high = end_stacks(case)
    clearance = book.value("rest_clearance")
    return (
        f"stack {fixed(low.height)} / {fixed(high.height)}; with the clearance {fixed(low.height + clearance)} / "
        f"{fixed(high.height + clearance)}"
    )


def _lift(section: SectionResult) -> str:
    if section.lift_mm is None:
        return "no crank chosen"
    press = ""
    if section.press_min_mm is not None and section.press_max_mm is not None:
        press = f", felt pressed {fixed(section.press_min_mm)} to {fixed(section.press_max_mm)}"
    return f"{section.crank}: lift {fixed(section.lift_mm)}{press}; trim"


def _after(instrument: Instrument, book: ShopBook) -> tuple[str, ...]:
    force = instrument.result.lever_force_n if instrument.result else None
    expected = f" About {plain(force)} N is expected." if force is not None else ""
    return (
        "Lowered: strike the ends and the middle of every section as hard as it is ever played. No string touches the "
        "felt, heard or felt.",
        "Lowered and lifted: work the pedal through its whole travel. No damper wire touches a foot, a notch or the "
        f"carrier; feet slide {plain(book.value('station_slot'))} mm either way.",
        "Lifted: play every note. Each is muted, the undamped ones too; trim the link of a segment that does not mute, "
        f"up to {plain(book.value('trim'))} mm either way.",
        f"Pull the lever with one hand; it moves without effort and stays.{expected}",
        "Slide the action out and in, no key down: nothing is in its way.",
        "Lower the rail, play softly: no buzz. Note trims and changed shims on this card and send it back.",
    )
