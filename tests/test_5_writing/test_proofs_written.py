"""The proofs as they are written out: whoever has only the files can work the bounds out anew."""

from __future__ import annotations

import itertools
import json
import random
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook, StockLine
from railwright.computing.results import CarrierCut, FeltCut, InstrumentResult, SectionResult, Station
from railwright.shop.order_model import CuttingSheet
from railwright.shop.planning import cutting_sheets
from railwright.writing.cutting_book import write_cutting_book
from railwright.writing.results_file import results_document
from railwright.writing.week import Week


def book() -> ShopBook:
    """Two lengths to buy, two bars and an offcut on the shelf; one felt sheet on the shelf, one to buy."""
    bars = [
        StockLine("RC-S08", Decimal(2500), Decimal(0), "bar", 1, Decimal("10.50"), 2),
        StockLine("RC-S08", Decimal(3000), Decimal(0), "bar", 1, Decimal("12.20"), 0),
        StockLine("RC-S08", Decimal("486.5"), Decimal(0), "bar", 1, None, 1, offcut=True, rack="B2"),
    ]
    sheets = [StockLine("FE-30", Decimal(1200), Decimal(50), "sheet", 1, Decimal("9.00"), 1)]
    return replace(default_shop_book(), stock=(*bars, *sheets))


def segment(length_mm: float) -> InstrumentResult:
    carrier = CarrierCut("RC-S08", length_mm, length_mm, 0.0, "square", 0.0, length_mm, 8.0, 8.0)
    felt = FeltCut("FE-30", length_mm, 8.0, 3.0)
    return InstrumentResult(
        (SectionResult(1, "bass", 1, 20, carrier=carrier, felt=felt, stations=(Station(1, 0, 0),)),)
    )


@pytest.fixture(scope="module")
def run() -> Week:
    rng = random.Random(4)
    made = [(f"O{number}", segment(rng.randint(1500, 9500) / 10)) for number in range(24)]
    return Week(book(), (), cutting=cutting_sheets(made, book()))


def written(run: Week) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(json.dumps(results_document(run)))
    return document


def most_weight(weights: dict[int, int], number: Counter[int], room: int) -> int:
    """The greatest weight that fits a room; one piece after the other, nothing clever."""
    best = [0] * (room + 1)
    for width, count in number.items():
        for _ in range(min(count, room // width)):
            for space in range(room, width - 1, -1):
                best[space] = max(best[space], best[space - width] + weights.get(width, 0))
    return best[room]


def tenths(written_mm: str | float) -> int:
    return int(Decimal(str(written_mm)) * 10)


def least(entry: dict[str, Any], proof: dict[str, Any], bars: list[dict[str, Any]], price: Any, most: int) -> float:
    """The least price of any bars that hold all weights of a proof, in plain loops over the numbers of bars."""
    kerf, trim = tenths(entry["kerf_mm"]), tenths(entry["trim_mm"])
    number = Counter(tenths(piece["length_mm"]) + kerf for held in bars for piece in held["pieces"])
    sets = [{tenths(length) + kerf: weight for length, weight in each.items()} for each in proof["weights"]]
    stock = entry["stock"]
    holds = [[most_weight(w, number, tenths(s["length_mm"]) - trim + kerf) for s in stock] for w in sets]
    totals = [sum(w.get(width, 0) * count for width, count in number.items()) for w in sets]
    found = []
    for counts in itertools.product(*(range((most if s["available"] is None else s["available"]) + 1) for s in stock)):
        kept = all(sum(map(int.__mul__, h, counts)) >= total for h, total in zip(holds, totals, strict=True))
        if kept:
            found.append(sum(n * price(s) for n, s in zip(counts, stock, strict=True)))
    return min(found)


def test_the_bound_of_the_bars_follows_from_the_file_alone(run: Week) -> None:
    document = written(run)
    entry = next(entry for entry in document["cutting_proof"] if entry["item"] == "RC-S08")
    bars = [held for held in document["cutting"] if held["item"] == "RC-S08"]
    assert (entry["proven"], entry["faults"]) == (True, [])
    assert entry["certificate"]["search_nodes"] == 0
    assert least(entry, entry["certificate"], bars, lambda s: s["price"], 6) >= entry["bound"] - 1e-9
    assert sum(s["price"] for s in entry["stock"]) > 0


def test_the_bound_of_the_shelf_follows_from_the_file_alone(run: Week) -> None:
    document = written(run)
    entry = next(entry for entry in document["cutting_proof"] if entry["item"] == "RC-S08")
    bars = [held for held in document["cutting"] if held["item"] == "RC-S08"]
    bought = Counter(held["stock_mm"] for held in bars if held["bought"])
    given = [
        {**s, "available": s["available"] if s["available"] is not None else bought[s["length_mm"]]}
        for s in entry["stock"]
    ]
    shelf = entry["shelf"]
    entry = {**entry, "stock": given}

    def length(kind: dict[str, Any]) -> float:
        return float(kind["length_mm"]) if not kind["price"] and not kind["offcut"] else 0.0

    assert 0 < shelf["bound"] <= shelf["taken"]
    assert least(entry, shelf["certificate"], bars, length, 9) >= shelf["bound"] - 1e-9


def test_felt_weights_are_written_by_length_and_width(run: Week) -> None:
    entry = next(entry for entry in written(run)["cutting_proof"] if entry["item"] == "FE-30")
    sizes = {
        f"{piece['length_mm']} x {held['width_mm']}"
        for held in written(run)["cutting"]
        if held["item"] == "FE-30"
        for piece in held["pieces"]
    }
    assert entry["certificate"]["piece_weights"]
    assert all(set(weights) <= sizes for weights in entry["certificate"]["piece_weights"])
    assert [each["width_mm"] for each in entry["certificate"]["strip_weights"]] == [8.0]


def test_what_the_check_found_is_written(run: Week) -> None:
    spoiled = [replace(sheet, faults=("bar 1: its pieces are longer than the bar",)) for sheet in run.cutting]
    entries = written(replace(run, cutting=tuple(spoiled)))["cutting_proof"]
    assert [(entry["proven"], len(entry["faults"])) for entry in entries] == [(False, 1)] * 2


def proof_rows(run: Week, folder: Path) -> list[tuple[object, ...]]:
    write_cutting_book(run, folder / "c.xlsx")
    return list(load_workbook(folder / "c.xlsx")["Proof"].iter_rows(values_only=True))


def test_the_sheet_of_proofs_has_the_same_weights(run: Week, tmp_path: Path) -> None:
    rows = proof_rows(run, tmp_path)
    entry = next(entry for entry in written(run)["cutting_proof"] if entry["item"] == "RC-S08")
    start = next(n for n, row in enumerate(rows) if row[0] == "Cost: pieces")
    end = next(n for n, row in enumerate(rows) if n > start and row[0] == "all pieces")
    told = {f"{row[0]:.1f}": row[2] for row in rows[start + 2 : end]}
    assert {length: weight for length, weight in told.items() if weight} == entry["certificate"]["weights"][0]
    assert rows[end][2] == sum(row[1] * row[2] for row in rows[start + 2 : end])  # type: ignore[operator]
    assert any(row[0] == "Shelf: bars" for row in rows)
    assert any(row[0] == "Cost: strips" for row in rows)


def test_a_plan_without_a_bound_has_words_and_no_tables(run: Week, tmp_path: Path) -> None:
    bars: CuttingSheet = next(sheet for sheet in run.cutting if sheet.kind == "bar")
    rows = proof_rows(replace(run, cutting=(replace(bars, stock=()),)), tmp_path)
    assert not any(row[0] == "Cost: pieces" for row in rows)
    assert any(str(row[0]).startswith("Argument: ") for row in rows)
