"""``results.json``: everything that was read, found, decided and planned, for other programs."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from railwright import __version__
from railwright.computing.next_reading import NextReading
from railwright.computing.results import (
    CarrierCut,
    KindVerdict,
    NoteLoad,
    Part,
    Relief,
    SectionResult,
    Slip,
    Spacing,
    Station,
    Turn,
)
from railwright.ledger.standing import Standing
from railwright.shop.order_model import CuttingSheet, DayNeed, OrderLine
from railwright.survey.findings import Finding
from railwright.survey.notes import FIRST_NOTE, LAST_NOTE, note_name
from railwright.writing.proof_entry import proof_entry

if TYPE_CHECKING:
    from railwright.writing.week import Instrument, Week

#: Lengths and forces are written to a thousandth: finer than anything can be measured, coarse enough to read.
_DIGITS = 3


def results_text(week: Week) -> str:
    """Give the text of ``results.json``: keys in a fixed order, numbers finite, an empty line at the end.

    Args:
        week: the whole run.

    Returns:
        JSON text.
    """
    return "".join(results_pieces(week, map(instrument_text, week.instruments)))


def results_pieces(week: Week, instruments: Iterable[str]) -> Iterator[str]:
    """Give the same text piece by piece, so that a large run is never in memory as a whole.

    Args:
        week: the run; what it says of its instruments is not looked at.
        instruments: the text of each instrument, in order.

    Yields:
        Pieces of JSON text.
    """
    yield "{"
    between = "\n "
    for name, content in _contents(week, instruments):
        yield f'{between}"{name}": '
        between = ",\n "
        if name == "instruments":
            yield from _listed(content, "\n")
        elif isinstance(content, Iterator):
            yield from _listed((_spelled(item, "\n  ") for item in content), "\n  ")
        else:
            yield _spelled(content, "\n ")
    yield "\n}\n"


def _listed(texts: Iterable[str], line: str) -> Iterator[str]:
    """Spell a list of what is spelled already, each on a line of its own that begins so."""
    before = f"[{line}"
    for text in texts:
        yield before + text
        before = f",{line}"
    yield "[]" if before[0] == "[" else "\n ]"


def _spelled(value: Any, line: str) -> str:
    """Spell a value whose lines, but for the first, begin so; text has no line ends of its own in JSON."""
    return json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False).replace("\n", line)


def instrument_text(instrument: Instrument) -> str:
    """Give one instrument's part of ``results.json``: one line, so that a large run stays quick to write and search.

    Args:
        instrument: the instrument with everything that was computed.

    Returns:
        JSON text.
    """
    return json.dumps(_instrument(instrument), ensure_ascii=False, allow_nan=False)


def results_document(week: Week) -> dict[str, Any]:
    """Build the document that ``results.json`` holds.

    Args:
        week: the whole run.

    Returns:
        Plain dictionaries, lists, numbers and text.
    """
    contents = _contents(week, map(_instrument, week.instruments))
    return {name: list(content) if isinstance(content, Iterator) else content for name, content in contents}


def _contents(week: Week, instruments: Iterable[Any]) -> Iterator[tuple[str, Any]]:
    """Give what the document holds, by name; long lists one item at a time."""
    yield "railwright", __version__
    yield "shop_book", week.book.name
    yield "instruments", iter(instruments)
    yield "order", map(_order_line, week.order)
    yield "cutting", (bar for sheet in week.cutting for bar in _bars(sheet))
    yield "cutting_proof", map(proof_entry, week.cutting)
    yield "notes", iter(week.notes)
    yield "ledger", {"run": week.ledger.run, "notes": list(week.ledger.notes)} if week.ledger else None


def _number(value: float | None) -> float | None:
    """Round a number; what came to none, which JSON cannot spell, is null like a value that cannot be had."""
    return round(float(value), _DIGITS) if value is not None and math.isfinite(value) else None


def _instrument(instrument: Instrument) -> dict[str, Any]:
    survey, result = instrument.survey, instrument.result
    return {
        "order_no": survey.order_no if survey else None,
        "file": instrument.file,
        "state": instrument.state,
        "technician": survey.technician if survey else None,
        "needed_by": survey.needed_by.isoformat() if survey and survey.needed_by else None,
        "remarks": survey.remarks if survey else None,
        "findings": [_finding(finding) for finding in instrument.findings],
        "sections": [_section(section) for section in result.sections] if result else [],
        "lever_force_N": _number(result.lever_force_n) if result else None,
        "parts": [_part(part) for part in instrument.parts],
        "defaults": [
            {"field": d.field, "source": d.source, "value": d.value, "unit": d.unit} for d in instrument.defaults
        ],
        "made": instrument.made,
        "measure_next": [_next_reading(reading) for reading in instrument.measure_next],
        "ledger": _standing(instrument.standing) if instrument.standing else None,
    }


def _standing(standing: Standing) -> dict[str, Any]:
    return {
        "news": standing.news,
        "other_file": standing.earlier_file or None,
        "recorded": standing.recorded or None,
        "ordered": standing.ordered or None,
        "ordered_run": standing.ordered_run or None,
        "cancelled": standing.cancelled,
        "changes": [asdict(change) for change in standing.changes],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "field": finding.field,
        "sheet": finding.sheet,
        "cell": finding.cell,
        "message": finding.message,
    }


def _next_reading(reading: NextReading) -> dict[str, Any]:
    return {
        "field": reading.field,
        "sheet": reading.sheet or None,
        "cell": reading.cell or None,
        "words": reading.words,
        "gain": _number(reading.settles),
    }


def _part(part: Part) -> dict[str, Any]:
    return {"item": part.item, "quantity": _number(part.quantity), "unit": part.unit}


def _section(section: SectionResult) -> dict[str, Any]:
    first, last = section.first_note, section.last_note
    spacing = section.spacing
    return {
        "section": section.section,
        "register": section.register,
        "first_note": first,
        "last_note": last,
        "note_names": _names(first, last),
        "wires": _wires(first, spacing),
        "pitch_mm": _number(spacing.pitch_mm) if spacing else None,
        "slip": _slip(section.slip),
        "angle_deg": _number(section.theta_deg),
        "side": section.side,
        "centre_line_mm": _number(section.offset_mm),
        "carrier": _carrier(section.carrier),
        "felt": _felt(section),
        "foot": section.foot,
        "stations": [_station(station) for station in section.stations],
        "reliefs": [_relief(relief) for relief in section.reliefs],
        "stack_mm": _number(section.stack_mm),
        "stack_low_mm": _number(section.stack_low_mm),
        "stack_high_mm": _number(section.stack_high_mm),
        "free_mm": _number(section.free_mm),
        "guard_mm": _number(section.guard_mm),
        "crank": section.crank,
        "lift_mm": _number(section.lift_mm),
        "deflection_mm": _number(section.deflection_mm),
        "press_min_mm": _number(section.press_min_mm),
        "press_max_mm": _number(section.press_max_mm),
        "press_force_N": _number(section.press_force_n),
        "contact": _contact(section),
        "pressing": [_pressing(load) for load in section.loads],
        "turning": [_turn(turn) for turn in section.turning],
    } | _kind(section.kind)


def _kind(kind: KindVerdict | None) -> dict[str, Any]:
    """Give how the section compares with earlier ones of its model; nothing where there are none."""
    if kind is None:
        return {}
    return {
        "kind": {
            "verdict": kind.verdict,
            "probability": _number(kind.probability),
            "surveys": kind.surveys,
            "dampers": list(kind.dampers),
        }
    }


def _names(first: int | None, last: int | None) -> list[str]:
    if first is None or last is None:
        return []
    return [note_name(note) for note in range(max(first, FIRST_NOTE), min(last, LAST_NOTE) + 1)]


def _wires(first: int | None, spacing: Spacing | None) -> list[dict[str, Any]]:
    if spacing is None:
        return []
    pairs = zip(spacing.x_mm, spacing.u95_mm, strict=True)
    return [
        {"note": None if first is None else first + index, "x_mm": _number(x), "u95_mm": _number(u95)}
        for index, (x, u95) in enumerate(pairs)
    ]


def _slip(slip: Slip | None) -> dict[str, Any] | None:
    return None if slip is None else {"name": slip.name, "odds": float(f"{slip.odds:.4g}")}


def _carrier(carrier: CarrierCut | None) -> dict[str, Any] | None:
    if carrier is None:
        return None
    return {
        "item": carrier.item,
        "edge_mm": _number(carrier.edge_mm),
        "length_mm": _number(carrier.length_mm),
        "saw_angle_deg": _number(carrier.saw_angle_deg),
        "saw_hand": carrier.saw_hand,
        "start_mm": _number(carrier.start_mm),
        "end_mm": _number(carrier.end_mm),
    }


def _felt(section: SectionResult) -> dict[str, Any] | None:
    felt = section.felt
    if felt is None:
        return None
    return {"item": felt.item, "length_mm": _number(felt.length_mm), "width_mm": _number(felt.width_mm)}


def _station(station: Station) -> dict[str, Any]:
    return {
        "gap": station.gap,
        "x_mm": _number(station.x_mm),
        "shim_mm": _number(station.shim_mm),
        "reaction_N": _number(station.reaction_n),
    }


def _pressing(load: NoteLoad) -> dict[str, Any]:
    return {
        "note": load.note,
        "x_mm": _number(load.x_mm),
        "strings": load.strings,
        "force_N": _number(load.force_n),
        "press_mm": _number(load.press_mm),
    }


def _contact(section: SectionResult) -> dict[str, Any] | None:
    """How many strings the felt reaches, and after how many looks that was settled."""
    if section.contact_rounds is None:
        return None
    reached = sum(load.strings for load in section.loads if load.force_n > 0.0)
    return {"strings_reached": reached, "rounds": section.contact_rounds, "settled": section.contact_settled}


def _turn(turn: Turn) -> dict[str, Any]:
    return {"field": turn.field, "by_mm": _number(turn.change_mm), "to_state": turn.after}


def _relief(relief: Relief) -> dict[str, Any]:
    return {
        "kind": relief.kind,
        "x_mm": _number(relief.x_mm),
        "width_mm": _number(relief.width_mm),
        "depth_mm": _number(relief.depth_mm),
        "u_x_mm": _number(relief.u_x_mm),
        "reach_mm": _number(relief.reach_mm),
        "slot_mm": _number(relief.slot_mm),
    }


def _exact(value: Decimal | None) -> float | int | None:
    if value is None:
        return None
    return int(value) if value == value.to_integral_value() else float(value)


def _order_line(line: OrderLine) -> dict[str, Any]:
    return {
        "item": line.item,
        "name": line.name,
        "need": _exact(line.need),
        "on_hand": _exact(line.on_hand),
        "buy": _exact(line.buy),
        "pack": line.pack,
        "packs": line.packs,
        "unit": line.unit,
        "cost": None if line.cost is None else float(line.cost),
        "orders": list(line.orders),
        "needed_by": line.needed_by.isoformat() if line.needed_by else None,
        "supplier": line.supplier,
        "buy_item": line.buy_item,
        "used": _exact(line.used),
        "by_day": [_day_need(need) for need in line.by_day],
    }


def _day_need(need: DayNeed) -> dict[str, Any]:
    day = need.day.isoformat() if need.day else None
    return {"needed_by": day, "need": _exact(need.quantity), "orders": list(need.orders)}


def _bars(sheet: CuttingSheet) -> Sequence[dict[str, Any]]:
    from railwright.shop.cut_lines import cut_lines

    return [
        {
            "item": sheet.item,
            "stock_mm": line.stock_mm,
            "offcut": line.offcut,
            "bought": line.bought,
            "kerf_mm": line.kerf_mm,
            "width_mm": line.width_mm,
            "pieces": [{"label": label, "length_mm": length} for label, length in line.pieces],
            "remnant_mm": line.remnant_mm,
        }
        for line in cut_lines(sheet)
    ]
