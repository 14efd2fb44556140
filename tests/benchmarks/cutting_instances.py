"""Instances for the cutting benchmark: published ones read from a folder, and workshop weeks made from a seed."""

from __future__ import annotations

import csv
import random
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from railwright.shop.cutting.model import Piece, Stock, tenths


@dataclass(frozen=True)
class Case:
    """One question with its known least cost, where one is published."""

    name: str
    pieces: tuple[Piece, ...]
    stock: tuple[Stock, ...]
    kerf: int
    trim: int
    optimum: int | None = None


def counting_case(name: str, room: int, lengths: list[int], optimum: int | None) -> Case:
    """Make a case that counts bars: price 1, no kerf."""
    pieces = tuple(Piece(str(number), length) for number, length in enumerate(lengths))
    return Case(name, pieces, (Stock("bar", room, 1, None),), 0, 0, optimum)


def read_optima(folder: Path) -> dict[str, int]:
    """Read the proven optima: name, lower bound, upper bound, tab-separated."""
    rows = (line.split("\t") for line in (folder / "optima.tsv").read_text().splitlines() if line.strip())
    return {row[0]: int(row[2]) for row in rows if row[1] == row[2]}


def falkenauer(folder: Path, optima: dict[str, int]) -> Iterator[Case]:
    """Read Falkenauer's files (E. Falkenauer, J. Heuristics 2, 1996): count; name; room, number, best; lengths."""
    for path in sorted((folder / "falkenauer").glob("binpack*.txt")):
        if path.stem == "binpackinfo":
            continue
        tokens = iter(path.read_text().split())
        for _ in range(int(next(tokens))):
            name = f"Falkenauer_{next(tokens)}"
            room, number, _ = tenths(Decimal(next(tokens))), int(next(tokens)), next(tokens)
            lengths = [tenths(Decimal(next(tokens))) for _ in range(number)]
            yield counting_case(name, room, lengths, optima.get(name))


def scholl(folder: Path, optima: dict[str, int]) -> Iterator[Case]:
    """Read Scholl's files (Scholl, Klein, Juergens, Computers & OR 24, 1997): number, room, lengths."""
    for path in sorted((folder / "scholl").glob("bin*data.zip")):
        with zipfile.ZipFile(path) as archive:
            for name in sorted(archive.namelist()):
                number, room, *lengths = (int(token) for token in archive.read(name).split())
                stem = f"Scholl_{path.stem[3]}_{Path(name).stem}"
                yield counting_case(stem, room, lengths[:number], optima.get(Path(name).stem))


def rolls_5600(folder: Path) -> Case:
    """Read the paper rolls of 5600 mm; 73 rolls are least."""
    with (folder / "gilmore_gomory_5600.csv").open(newline="") as stream:
        rows = [(int(row["length"]), int(row["quantity"])) for row in csv.DictReader(stream)]
    return counting_case("rolls 5600 mm", 5600, [length for length, count in rows for _ in range(count)], 73)


KINDS = ("short", "long", "mixed", "repeated", "two prices", "offcuts")


def workshop_week(kind: str, seed: int) -> Case:
    """Make one week's need of one bar: 100 to 2000 pieces, saw kerf 2.6 mm, end trim 5 mm.

    Args:
        kind: one of ``KINDS``.
        seed: another week each.

    Returns:
        The case; its least cost is not known beforehand.
    """
    rng = random.Random(f"{kind} {seed}")
    number = rng.choice([100, 200, 400, 700, 1000, 1500, 2000])
    spans = {"short": (1500, 6000), "long": (9000, 31000), "two prices": (2000, 16000)}
    low, high = spans.get(kind, (1500, 22000))
    lengths = [rng.randint(low, high) for _ in range(number)]
    if kind == "repeated":
        models = [rng.randint(low, high) for _ in range(rng.randint(8, 30))]
        lengths = [rng.choice(models) for _ in range(number)]
    pieces = tuple(
        Piece(f"{index}", length, f"{rng.choice(['left', 'right'])} {rng.randint(2, 30) / 2}")
        for index, length in enumerate(lengths)
    )
    stock = [Stock("bar", 60000, 4200, None)]
    if kind in ("two prices", "offcuts"):
        stock.append(Stock("bar", 36000, rng.choice([2450, 2600, 2700]), None))
    offcuts = rng.randint(0, 30) if kind in ("mixed", "offcuts", "two prices") else 0
    stock += [Stock("bar", rng.randint(3000, 35000), 0, 1, True, f"R{rack}") for rack in range(offcuts)]
    return Case(f"{kind} {seed}", pieces, tuple(stock), 26, 50)
