"""How long the plan, the order and the shelf after take for a large week, and how much memory they need.

Run: ``python tests/benchmarks/bench_week_plan.py [--instruments 1000] [--sections 4] [--seed 1]``. The instruments are
generated: each segment has a carrier and a felt strip, so 1000 instruments of 4 sections make 8000 pieces. Every plan
is checked by the separate checker, as in every run. The time of writing the three workbooks is printed apart.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
import time
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "src"))

from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import ShopBook
from railwright.computing.results import CarrierCut, FeltCut, InstrumentResult, SectionResult, Station
from railwright.shop.order import order_lines
from railwright.shop.order_model import InstrumentNeed
from railwright.shop.parts import parts_of
from railwright.shop.planning import cutting_sheets
from railwright.shop.stock_after import stock_after
from railwright.survey.records import Survey
from railwright.writing.cutting_book import write_cutting_book
from railwright.writing.order_book import write_order_book
from railwright.writing.stock_after import write_stock_after
from railwright.writing.week import Instrument, Week

LIMIT_S, LIMIT_MB = 30.0, 500.0
#: The carriers that a week mostly uses, with felt, foot and width.
KINDS = (("RC-S08", 8.0, "FE-30", "HF-30"), ("RC-S06", 6.0, "FE-20", "HF-10"), ("RC-F15", 12.0, "FE-20", "HF-10"))


def segment(number: int, rng: random.Random) -> SectionResult:
    """A segment 15 to 75 cm long, its angle in half degrees."""
    item, width, felt, foot = rng.choice(KINDS)
    length = rng.randint(1500, 7500) / 10
    angle = rng.randint(0, 40) / 2
    hand = "square" if angle < 1 else rng.choice(("left", "right"))
    carrier = CarrierCut(item, length - 1, length, angle, hand, 0.0, length - 1, width, 8.0)
    stations = tuple(Station(k, 100.0 * k, rng.randint(0, 12) / 10) for k in (1, 2, 3))
    return SectionResult(
        number, "tenor", 1, 20, carrier=carrier, felt=FeltCut(felt, length - 1, width, 3.0), foot=foot,
        foot_height_mm=1.0, stations=stations, crank=f"HK-{5 * rng.randint(2, 24):03d}",
    )  # fmt: skip


def instruments(count: int, sections: int, seed: int, book: ShopBook) -> list[Instrument]:
    """Instruments whose days fall into four weeks."""
    rng = random.Random(seed)
    made = []
    for number in range(count):
        result = InstrumentResult(tuple(segment(k, rng) for k in range(1, sections + 1)))
        survey = Survey(
            file=f"{number}.xlsx", order_no=f"B-{number:04d}", site="hall",
            needed_by=date(2031, 4, 1) + timedelta(days=rng.randint(0, 27)),
        )  # fmt: skip
        made.append(Instrument(survey.file, survey, (), result, parts_of(survey, result, book), made=True))
    return made


def peak_mb() -> float | None:
    """The most memory this process has held, in MB; ``None`` where the system does not tell."""
    try:
        import resource
    except ImportError:
        return None
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (2**20 if sys.platform == "darwin" else 2**10)


def planned(made: list[Instrument], book: ShopBook) -> Week:
    """Plan and order, printing the seconds of each step."""
    start, work = time.perf_counter(), time.process_time()
    cutting = cutting_sheets([(i.order_no, i.result) for i in made if i.result], book)
    cut = time.perf_counter()
    needs = [InstrumentNeed(i.order_no, "hall", i.survey.needed_by if i.survey else None, i.parts) for i in made]
    order, notes = order_lines(needs, cutting, book)
    stock_after(book, cutting, order)
    end = time.perf_counter()
    work = time.process_time() - work
    print(f"plan and check {cut - start:.2f} s, order and shelf {end - cut:.2f} s; processor time of both {work:.2f} s")
    for sheet in cutting:
        gap = 100 * (sheet.plan.cents - sheet.plan.bound_cents) / sheet.plan.cents if sheet.plan.cents else 0.0
        print(f"  {sheet.item}: cost {sheet.plan.cents / 100:.2f}, proven {sheet.proven}, gap {gap:.3f} %")
        assert not sheet.faults, sheet.faults
    verdict = "within" if end - start < LIMIT_S else "BEYOND"
    print(f"{verdict} the limit of {LIMIT_S:.0f} s")
    return Week(book, tuple(made), order, cutting, notes)


def main() -> None:
    """Plan one large week and print what it took."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--instruments", type=int, default=1000)
    parser.add_argument("--sections", type=int, default=4)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    book = default_shop_book()
    book = replace(book, stock=tuple(replace(line, on_hand=line.on_hand or 3) for line in book.stock))
    made = instruments(options.instruments, options.sections, options.seed, book)
    print(f"{len(made)} instruments, {2 * options.sections * len(made)} pieces")
    week = planned(made, book)
    memory = peak_mb()
    if memory is not None:
        print(
            f"peak memory {memory:.0f} MB, {'within' if memory < LIMIT_MB else 'BEYOND'} the limit of {LIMIT_MB:.0f} MB"
        )
    start = time.process_time()
    with tempfile.TemporaryDirectory() as folder:
        write_order_book(week, Path(folder) / "order.xlsx")
        write_cutting_book(week, Path(folder) / "cutting.xlsx")
        write_stock_after(week, Path(folder) / "stock.xlsx")
    print(f"three workbooks {time.process_time() - start:.2f} s of processor time, peak memory {peak_mb() or 0:.0f} MB")


if __name__ == "__main__":
    main()
