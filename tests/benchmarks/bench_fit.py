"""How long an instrument takes to fit, against bending the same beams one by one with a finite-element library.

Run: ``python tests/benchmarks/bench_fit.py [--carriers 12] [--felts 5] [--repeat 20]``. The instrument has 88 notes in
five sections. The engine rates whole station sets; ``beams`` counts those it rated completely. The plain loop bends a
sample of as many strings on as many stations with PyNite and is scaled up to the same number of beams.
"""

from __future__ import annotations

import argparse
import dataclasses
import statistics
import sys
import time
from decimal import Decimal
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "src"))

from Pynite import FEModel3D

from fit_samples import bass, section, survey
from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import Carrier, Felt, ShopBook, StockLine
from railwright.computing.fit import fit_instrument
from railwright.computing.notes_of_sections import notes_of
from railwright.computing.placement import Search
from railwright.computing.spacing import posterior
from railwright.survey.records import Survey

LIMIT_MS = 50.0


def instrument() -> Survey:
    """Five sections, 68 dampers, 20 undamped notes, screws in the treble."""
    return survey(
        bass(angle=72.0, rest=(7 / 8, 3 / 4)),
        section(2, "tenor", 14, angle=80.0, gauge=5 / 8, rest=3 / 4),
        section(3, "tenor", 12, angle=84.0, gauge=5 / 8, rest=3 / 4),
        section(4, "treble", 9, angle=90.0, gauge=3 / 8, rest=1 / 2, screws=(4,)),
        section(5, "treble", 7, angle=96.0, gauge=3 / 8, rest=(1 / 2, 3 / 8), screws=(2, 5)),
        top_reach_mm=370.0,
    )


def catalogue(carriers: int, felts: int) -> ShopBook:
    """The default shop book, with as many carriers and felts as asked, each of its own size and price."""
    book = default_shop_book()
    more = list(book.carriers)[:carriers]
    bars = [line for line in book.stock if line.item in {carrier.item for carrier in more}]
    for i in range(carriers - len(more)):
        like = book.carriers[i % len(book.carriers)]
        item = f"RC-X{i:02d}"
        more.append(
            Carrier(
                item,
                "",
                like.shape,
                like.width_mm + 0.5 + 0.1 * i,
                like.height_mm,
                like.wall_mm,
                like.modulus_gpa,
                like.density_kg_m3,
            )
        )
        bars.append(StockLine(item, Decimal(2000), Decimal(0), "bar", 1, Decimal(f"{7.1 + 0.37 * i:.2f}"), 0))
    cloth = [Felt(f"FE-X{i}", "", 2.0 + 0.5 * i, 340.0 - 20 * i) for i in range(felts)]
    sheets = [
        StockLine(felt.item, Decimal(1200), Decimal(500), "sheet", 1, Decimal(30 + 4 * i), 0)
        for i, felt in enumerate(cloth)
    ]
    rest = [line for line in book.stock if line.item[:2] not in ("RC", "FE")]
    return dataclasses.replace(book, carriers=tuple(more), felts=tuple(cloth), stock=tuple(bars + sheets + rest))


def beams_rated(run) -> int:
    """Count the complete station sets that a run rates."""
    count, closed = 0, Search._closed

    def counting(self, front, earlier):
        nonlocal count
        count += front.pair.size
        return closed(self, front, earlier)

    Search._closed = counting
    try:
        run()
    finally:
        Search._closed = closed
    return count


def plain_loop(beams: int, strings: int, stations: int) -> float:
    """Processor seconds for one beam in a plain loop with the library."""
    at = np.arange(strings) * 13.9
    held = np.linspace(20.0, at[-1] - 20.0, stations)
    began = time.process_time()
    for _ in range(beams):
        model = FEModel3D()
        model.add_material("bar", 68_900.0, 26_500.0, 0.3, 1e-9)
        model.add_section("bar", 100.0, 60.0, 1.0, 20.0)
        nodes = np.unique(np.concatenate([at, held]))
        for i, x in enumerate(nodes):
            model.add_node(f"N{i}", x, 0.0, 0.0)
        for i in range(nodes.size - 1):
            model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "bar", "bar")
            model.add_member_dist_load(f"M{i}", "Fy", -0.001, -0.001)
        for i, row in enumerate(np.searchsorted(nodes, held)):
            model.def_support(f"N{row}", i == 0, True, True, i == 0, False, False)
        for row in np.searchsorted(nodes, at):
            model.add_node_load(f"N{row}", "FY", -1.8)
        model.analyze_linear()
    return (time.process_time() - began) / beams


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--carriers", type=int, default=12)
    parser.add_argument("--felts", type=int, default=5)
    parser.add_argument("--repeat", type=int, default=20)
    asked = parser.parse_args()
    of, book = instrument(), catalogue(asked.carriers, asked.felts)
    spacings, notes = {part.number: posterior(part, of, book) for part in of.sections}, notes_of(of)

    def run():
        return fit_instrument(of, spacings, notes, {}, book)[0]

    result = run()
    beams = beams_rated(run)
    took, busy = [], []
    for _ in range(asked.repeat):
        began, worked = time.perf_counter(), time.process_time()
        run()
        took.append(time.perf_counter() - began)
        busy.append(time.process_time() - worked)
    ours, processor = statistics.median(took) * 1e3, statistics.median(busy) * 1e3
    strings = round(statistics.mean(len(part.loads) for part in result.sections))
    stations = round(statistics.mean(len(part.stations) for part in result.sections))
    loop = plain_loop(20, strings, stations) * beams
    print(
        f"88 notes, 5 sections, {len(book.carriers)} carriers x {len(book.felts)} felts "
        f"x {len(book.parts('foot'))} feet"
    )
    for part in result.sections:
        at = ", ".join(f"{station.x_mm:.0f}" for station in part.stations)
        print(
            f"  section {part.section}: {part.carrier.item} {part.felt.item} {part.foot} on {at}; "
            f"{part.crank}; {part.cost:.3f}"
        )
    print(
        f"fit: {ours:.1f} ms median of {asked.repeat} "
        f"({processor:.1f} ms of processor time; least {min(took) * 1e3:.1f} ms)"
    )
    print(f"station sets rated completely: {beams}")
    print(f"plain loop with PyNite over as many beams of {strings} strings on {stations} stations: {loop:.2f} s")
    print(f"ratio, in processor time: {loop * 1e3 / processor:.0f}")
    verdict = "met" if ours <= LIMIT_MS else "met in processor time" if processor <= LIMIT_MS else "MISSED"
    print(f"limit of {LIMIT_MS:.0f} ms: {verdict}")


if __name__ == "__main__":
    main()
