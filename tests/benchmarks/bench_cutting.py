"""Benchmark of the cutting plans: published instances, workshop weeks, rivals in the same run.

    python tests/benchmarks/bench_cutting.py --data FOLDER --seeds 50 --rival-seeds 2

``FOLDER`` (or the environment variable ``CUTTING_DATA``) holds the published instances; without it only generated
weeks are planned. Times are processor seconds of this one process; the check of plan and bound is not in them.
"""

from __future__ import annotations

import argparse
import os
import random
import sys
import time
from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "src"))

from cutting_instances import KINDS, Case, falkenauer, read_optima, rolls_5600, scholl, workshop_week

from railwright.shop.cutting.certificate import check
from railwright.shop.cutting.felt import plan_felt
from railwright.shop.cutting.felt_check import check_felt
from railwright.shop.cutting.felt_model import Rect, Sheet
from railwright.shop.cutting.model import Piece, Plan, Stock
from railwright.shop.cutting.solve import plan_bars

_RIVAL_SECONDS = 10.0

T = TypeVar("T")


@dataclass
class Tally:
    """What one family of instances came to."""

    name: str
    seconds: list[float] = field(default_factory=list)
    gaps: list[float] = field(default_factory=list)
    open_ones: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def line(self) -> str:
        """Return one line of the table."""
        number, proven = len(self.seconds), len(self.seconds) - len(self.open_ones)
        mean, slow = sum(self.seconds) / number, sum(second > 10 for second in self.seconds)
        return (
            f"{self.name:22} {number:5} {100 * proven / number:7.2f} % {mean:8.3f} {max(self.seconds):8.2f} {slow:6}"
            f" {100 * max(self.gaps):9.3f} % {len(self.faults):7}"
        )


HEAD = "family                 cases    proven   mean s  worst s > 10 s   worst gap  faults"


def timed_plan(case: Case) -> tuple[Plan, float]:
    """Plan one case and take the processor time."""
    start = time.process_time()
    plan = plan_bars("bar", case.pieces, case.stock, case.kerf, case.trim)
    return plan, time.process_time() - start


def measure(name: str, cases: Iterable[Case]) -> Tally:
    """Plan a family of cases, check each plan, and compare with the published optimum where there is one."""
    tally = Tally(name)
    for case in cases:
        plan, seconds = timed_plan(case)
        tally.seconds.append(seconds)
        tally.gaps.append((plan.cents - plan.bound_cents) / max(1, plan.cents))
        faults = check(plan, case.pieces, case.stock)
        if case.optimum is not None and not plan.bound_cents <= case.optimum <= plan.cents:
            faults.append(f"published optimum {case.optimum}, plan {plan.cents}, bound {plan.bound_cents}")
        tally.faults += [f"{case.name}: {fault}" for fault in faults]
        if not plan.proven:
            tally.open_ones.append(f"{case.name}: {plan.cents} against {plan.bound_cents}, {seconds:.1f} s")
    return tally


#: Bars by the place of their stock, each with its widths and how often.
Filled = list[tuple[int, Counter[int]]]


def first_fit_decreasing(case: Case) -> Filled:
    """Place pieces by falling length into the fullest open bar, offcuts open from the start.

    A new bar is the one with most room for its money.
    """
    bars: Filled = [(k, Counter()) for k, bar in enumerate(case.stock) if bar.offcut]
    rooms = sorted((case.stock[k].length - case.trim + case.kerf, number) for number, (k, _) in enumerate(bars))
    sold = max((k for k, bar in enumerate(case.stock) if not bar.offcut), key=lambda k: _room_for_money(case, k))
    for width in sorted((piece.length + case.kerf for piece in case.pieces), reverse=True):
        place = bisect_left(rooms, (width, -1))
        if place == len(rooms):
            bars.append((sold, Counter()))
            room, number = case.stock[sold].length - case.trim + case.kerf, len(bars) - 1
        else:
            room, number = rooms.pop(place)
        bars[number][1][width] += 1
        insort(rooms, (room - width, number))
    return [bar for bar in bars if bar[1]]


def _room_for_money(case: Case, k: int) -> float:
    return case.stock[k].length / case.stock[k].cents


def money_of(case: Case, bars: Filled) -> int:
    """Add the prices of filled bars up."""
    return sum(case.stock[k].price for k, _ in bars)


def cp_sat(case: Case, known: Filled) -> int | None:
    """Let the constraint solver of OR-tools look for the least money, with a known plan as its hint.

    One worker, ten seconds; pieces of one width are one type, equal bars are kept in order of their use.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    widths = sorted({piece.length + case.kerf for piece in case.pieces}, reverse=True)
    demand = [sum(piece.length + case.kerf == width for piece in case.pieces) for width in widths]
    placed: list[list[cp_model.IntVar]] = [[] for _ in widths]
    money = []
    cents = money_of(case, known)
    for k, bar in enumerate(case.stock):
        hints = [content for stock, content in known if stock == k]
        room = bar.length - case.trim + case.kerf
        before = None
        for number in range(bar.available if bar.available is not None else cents // bar.cents):
            hint = hints[number] if number < len(hints) else Counter[int]()
            used = model.new_bool_var("")
            counts = [model.new_int_var(0, min(n, room // width), "") for width, n in zip(widths, demand, strict=True)]
            model.add(sum(width * count for width, count in zip(widths, counts, strict=True)) <= room * used)
            model.add_hint(used, bool(hint))
            for held, width, count in zip(placed, widths, counts, strict=True):
                held.append(count)
                model.add_hint(count, hint[width])
            money.append((0 if bar.offcut else bar.cents) * used)
            if before is not None:
                model.add_implication(used, before)
            before = used
    for held, number in zip(placed, demand, strict=True):
        model.add(sum(held) == number)
    model.minimize(sum(money))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = _RIVAL_SECONDS
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    return round(solver.objective_value) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None


def timed(rival: Callable[[], T]) -> tuple[T, float]:
    """Run a rival and take the processor time, the building of its model included."""
    start = time.process_time()
    return rival(), time.process_time() - start


def side_by_side(seeds: int) -> None:
    """Print money and time of the rivals as ratios to ours."""
    print(
        f"\n{'week':16} {'pieces':>6} {'ours':>9} {'s':>6} | {'first fit':>9} {'time':>6} | {'CP-SAT':>9} {'time':>6}"
    )
    for kind in KINDS:
        for seed in range(seeds):
            case = workshop_week(kind, seed)
            plan, seconds = timed_plan(case)
            known, simple_seconds = timed(lambda case=case: first_fit_decreasing(case))
            simple = money_of(case, known)
            solver, solver_seconds = timed(lambda case=case, known=known: cp_sat(case, known))
            found = f"{solver / plan.cents:9.4f}" if solver is not None and plan.cents else f"{'no plan':>9}"
            print(
                f"{case.name:16} {len(case.pieces):6} {plan.cents:9} {seconds:6.2f} |"
                f" {simple / max(1, plan.cents):9.4f} {simple_seconds / seconds:6.3f} |"
                f" {found} {solver_seconds / seconds:6.1f}",
                flush=True,
            )


def big_week() -> None:
    """Plan one week of 1,000 instruments: 8,000 pieces of four materials, and their felt."""
    rng = random.Random("big week")
    start, faults, proven = time.process_time(), [], []
    for material in range(4):
        pieces = [
            Piece(f"{n}", rng.randint(2500, 9500), f"{rng.choice(['left', 'right'])} {rng.randint(2, 30) / 2}")
            for n in range(1000)
        ]
        stock = [Stock(f"M{material}", 60000, 4000, None), Stock(f"M{material}", 30000, 2150, None)]
        plan = plan_bars(f"M{material}", pieces, stock, 26, 50)
        proven.append(plan.proven)
        faults += check(plan, pieces, stock)
    for felt in range(2):
        rects = [Rect(f"{n}", rng.randint(2500, 9500), rng.choice([120, 140, 160, 180])) for n in range(2000)]
        sheets = [Sheet(f"F{felt}", 20000, 14000, 9000, None)]
        plan_of_felt = plan_felt(f"F{felt}", rects, sheets)
        proven.append(plan_of_felt.proven)
        faults += check_felt(plan_of_felt, rects, sheets)
    seconds = time.process_time() - start
    print(
        f"\nweek of 1,000 instruments, 8,000 pieces: {seconds:.1f} s with the checks, proven {proven}, faults {faults}"
    )
    try:
        import resource
    except ImportError:
        return
    print(f"greatest memory of this process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


def published(folder: Path) -> list[Tally]:
    """Plan all published instances."""
    optima = read_optima(folder)
    cases = [*falkenauer(folder, optima), *scholl(folder, optima)]
    families: dict[str, list[Case]] = {"paper rolls": [rolls_5600(folder)]}
    for case in cases:
        family = case.name.rsplit("_", 1)[0] if case.name.startswith("Falkenauer") else case.name[:8]
        families.setdefault(family, []).append(case)
    return [measure(name, members) for name, members in families.items()]


def main() -> int:
    """Run what the options ask for; 1 if a check found a fault."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--data", type=Path, default=os.environ.get("CUTTING_DATA"), help="folder of instances")
    parser.add_argument("--seeds", type=int, default=50, help="workshop weeks of each kind")
    parser.add_argument("--rival-seeds", type=int, default=0, help="weeks of each kind also planned by rivals")
    parser.add_argument("--big-week", action="store_true", help="plan one week of 1,000 instruments")
    options = parser.parse_args()
    if options.big_week:
        big_week()
    tallies: list[Tally] = []
    print(HEAD)
    if options.data:
        tallies += published(Path(options.data))
        for tally in tallies:
            print(tally.line(), flush=True)
        seconds = [second for tally in tallies for second in tally.seconds]
        mean, worst = sum(seconds) / len(seconds), max(seconds)
        print(f"published, all: {len(seconds)} cases, mean {mean:.3f} s, worst {worst:.2f} s")
    for kind in KINDS if options.seeds else ():
        tallies.append(measure(f"week: {kind}", (workshop_week(kind, seed) for seed in range(options.seeds))))
        print(tallies[-1].line(), flush=True)
    for tally in tallies:
        for text in tally.open_ones + tally.faults:
            print(f"  {tally.name}: {text}")
    if options.rival_seeds:
        side_by_side(options.rival_seeds)
    return 1 if any(tally.faults for tally in tallies) else 0


if __name__ == "__main__":
    sys.exit(main())
