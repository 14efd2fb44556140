"""Every design of small random segments, tried one by one: carrier, felt, foot, station set, shim and lift.

Nothing but the segment's readings is shared with the engine; beams are bent by a solver of their own.
"""

from __future__ import annotations

import itertools
from decimal import Decimal

import numpy as np

from fit_samples import section, segments, survey, with_rules
from railwright.book.default_catalogue import default_shop_book
from railwright.book.model import Carrier, Felt, Hardware, ShopBook, StockLine
from railwright.computing.profiles import GRAVITY


def random_book(rng: np.random.Generator, cranks: int = 6) -> ShopBook:
    """Two to four flats of two widths, one to three felts, one or two feet, a few cranks, prices at random."""
    book = default_shop_book()
    widths = rng.choice([8.0, 10.0, 12.0], 2, replace=False)
    carriers, felts, hardware, stock = [], [], [], []
    for i in range(int(rng.integers(2, 5))):
        height = float(rng.choice([1.5, 2.0, 3.0, 4.0]))
        carriers.append(Carrier(f"C{i}", "", "flat", float(widths[i % 2]), height, 0.0, 68.9, 2700.0))
        stock.append(_line(f"C{i}", 1000, 0, rng.uniform(2, 9)))
    for i in range(int(rng.integers(1, 4))):
        felts.append(Felt(f"F{i}", "", float(rng.choice([2.0, 2.5, 3.0, 4.0])), 300.0))
        stock.append(_line(f"F{i}", 1000, 500, rng.uniform(20, 80)))
    for i in range(int(rng.integers(1, 3))):
        hardware.append(Hardware(f"H{i}", "", "foot", float(rng.choice([1.0, 2.0, 3.0]))))
        stock.append(_line(f"H{i}", 0, 0, rng.uniform(0.3, 1.5)))
    for i, lift in enumerate(rng.choice(np.arange(2.0, 12.0, 0.5), cranks, replace=False)):
        hardware.append(Hardware(f"K{i}", "", "crank", float(lift)))
        stock.append(_line(f"K{i}", 0, 0, 3.0))
    small = ShopBook("small", book.rules, tuple(carriers), tuple(felts), tuple(hardware), tuple(stock))
    rules = {
        "overhang_max": rng.uniform(20, 60),
        "shim_max": rng.choice([6.5, 1.0]),
        "press_treble": rng.uniform(0.6, 6),
    }
    return with_rules(small, **{key: float(value) for key, value in rules.items()})


def _line(item: str, length: int, width: int, price: float) -> StockLine:
    return StockLine(item, Decimal(length), Decimal(width), "pieces", 1, Decimal(f"{price:.2f}"), 0)


def small_section(rng: np.random.Generator, number: int = 1, least_rest: float = 0.25, **more: object):
    """A treble of four to ten dampers with gaps that may or may not fit."""
    dampers = int(rng.choice([4, 5, 6, 7, 8, 9, 10], p=[0.2, 0.2, 0.2, 0.2, 0.1, 0.05, 0.05]))
    rest = float(rng.uniform(least_rest, 0.6))
    return section(
        number,
        "treble",
        dampers,
        angle=float(rng.uniform(65, 115)),
        rest=(rest, rest + float(rng.choice([0.0, rng.uniform(-0.1, 0.1)]))),
        pitch=float(rng.uniform(12.5, 15.0)),
        screws=tuple(sorted(rng.choice(dampers, int(rng.integers(0, 2)), replace=False).tolist())),
        **more,
    )


def random_segment(rng: np.random.Generator, book: ShopBook):
    """A small section beside a second one that takes the remaining notes."""
    return segments(survey(small_section(rng), section(2, "treble", 8, notes=8, rest=0.5), step=0.5), book)[0]


def assembled(segment, shift: float):
    """Nodes at the ends, the strings and every place; stiffness for EI = 1; the strings' forces and a unit weight."""
    places = segment.places.x_mm - shift
    nodes = np.unique(np.concatenate([[segment.start_mm, segment.end_mm], segment.strings, places]))
    size = 2 * nodes.size
    stiff, load = np.zeros((size, size)), np.zeros((size, 2))
    for i, a in enumerate(np.diff(nodes)):
        shear, turn = [12, 6 * a, -12, 6 * a], [6 * a, 4 * a * a, -6 * a, 2 * a * a]
        k = np.array([shear, turn, [-v for v in shear], [6 * a, 2 * a * a, -6 * a, 4 * a * a]])
        stiff[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += k / a**3
        load[2 * i : 2 * i + 4, 1] += [a / 2, a * a / 12, a / 2, -a * a / 12]
    at = 2 * np.searchsorted(nodes, segment.strings)
    load[at, 0] = segment.forces
    target = segment.levelling.slope * (places - segment.levelling.from_mm)
    settlement = target - np.floor(target / 0.1 + 0.5 + 1e-9) * 0.1
    return stiff, load, at, 2 * np.searchsorted(nodes, places), settlement


def deflections(parts, chosen: tuple[int, ...]):
    """Per unit flexibility: by the strings, by a unit weight per mm, and by settlements alone (of any stiffness)."""
    stiff, load, at, held, settlement = parts
    held, settlement = held[list(chosen)], settlement[list(chosen)]
    free = np.ones(stiff.shape[0], dtype=bool)
    free[held] = False
    moved = np.zeros((stiff.shape[0], 3))
    right = np.column_stack([load[free], -stiff[np.ix_(free, held)] @ settlement])
    moved[free] = np.linalg.solve(stiff[np.ix_(free, free)], right)
    moved[held, 2] = settlement
    return moved[at].T


def station_sets(segment, shift: float, overhang: float, foot: float):
    """All sets of two or more admissible places whose outer ones are near enough to the ends."""
    x = segment.places.x_mm - shift
    for size in range(2, x.size + 1):
        for chosen in itertools.combinations(range(x.size), size):
            lead, tail = x[chosen[0]] - segment.start_mm, segment.end_mm - x[chosen[-1]]
            if foot / 2 <= min(lead, tail) and max(lead, tail) <= overhang:
                yield chosen


def heights_at(segment, book: ShopBook, z_p: float):
    """Gap at rest over the strings, and the highest untilted stack, by the wording of the rules."""
    low, high = segment.heights.low, segment.heights.high
    first, last = segment.strings[0], segment.strings[-1]

    def along(a: float, b: float, x: float) -> float:
        return a + (b - a) * min(max((x - first) / (last - first), 0.0), 1.0)

    def room(x: float) -> float:
        free = along(low.free_mm, high.free_mm, x) - z_p * along(low.u_free_mm, high.u_free_mm, x)
        tilted = segment.levelling.slope * (x - segment.levelling.from_mm)
        return free - book.value("rest_clearance") - tilted - (0.05 if segment.levelling.slope else 0.0)

    rest = np.array([along(low.rest_mm, high.rest_mm, x) for x in segment.strings])
    return rest, min(room(x) for x in (segment.start_mm, *segment.strings, segment.end_mm))


def hollowed_too_far(flat: Carrier, depth: float, wire: float) -> bool:
    """A hollow of 9.4 mm about a screw between the wires leaves no height, or less than 7/8 of the stiffness.

    What is left is two flats side by side, a whole one and one thinned from below: parallel-axis theorem.
    """
    if depth >= flat.height_mm:
        return True
    reach = 9.4 / 2 - wire / 2 - 1.0
    pieces = ((flat.width_mm - reach, flat.height_mm, flat.height_mm / 2),)
    pieces += ((reach, flat.height_mm - depth, (flat.height_mm + depth) / 2),)
    middle = sum(b * h * z for b, h, z in pieces) / sum(b * h for b, h, _ in pieces)
    left = sum(b * h**3 / 12 + b * h * (z - middle) ** 2 for b, h, z in pieces)
    return left < 7 / 8 * flat.width_mm * flat.height_mm**3 / 12


def cheapest_of_all(segment, book: ShopBook, z_p: float, cranks=None, bent=None):
    """Try everything: least (cost, stations), with the least departure from level among those.

    ``cranks`` are the lifts to try, all of the book where not given; ``bent`` keeps the beams for the next call.
    """
    rest, highest = heights_at(segment, book, z_p)
    tilted = segment.levelling.slope * (segment.strings - segment.levelling.from_mm)
    cranks = [part.size_mm for part in book.parts("crank")] if cranks is None else cranks
    most_shim = book.value("shim_max") - abs(segment.levelling.shimmed_mm)
    cotangent = 1 / np.tan(np.radians(segment.theta_deg))
    saw = abs(cotangent) if abs(90 - segment.theta_deg) >= 1 else 0.0
    best = (np.inf, np.inf, np.inf)
    bent = {} if bent is None else bent
    for carrier in book.carriers:
        shift = (segment.wire_mm / 2 + 1.0 + carrier.width_mm / 2) * cotangent
        if carrier.width_mm not in bent:
            sets = station_sets(segment, shift, book.value("overhang_max"), book.value("foot_width"))
            parts = assembled(segment, shift)
            bent[carrier.width_mm] = [(chosen, deflections(parts, chosen)) for chosen in sets]
        ei = 68_900.0 * carrier.width_mm * carrier.height_mm**3 / 12
        length = segment.end_mm - segment.start_mm + carrier.width_mm * saw
        for felt, foot in itertools.product(book.felts, book.parts("foot")):
            if segment.screws and foot.size_mm < 1.5 and hollowed_too_far(carrier, 2.0 - foot.size_mm, segment.wire_mm):
                continue
            stack = foot.size_mm + carrier.height_mm + felt.thickness_mm
            weight = (carrier.height_mm * 2700 + felt.thickness_mm * 300) * carrier.width_mm * 1e-9 * GRAVITY
            bars, sheets = book.price_per_mm(carrier.item) or 0.0, book.price_per_mm2(felt.item) or 0.0
            fixed = length * (bars + carrier.width_mm * sheets)
            spare = min(highest - stack, most_shim)
            if spare < -1e-9:
                continue
            tops = np.array([stack + 0.1 * i + lift for i in range(int(spare / 0.1 + 1e-6) + 1) for lift in cranks])
            for chosen, (strings, own, settled) in bent[carrier.width_mm]:
                cost = round(fixed + len(chosen) * (book.price_each(foot.item) or 0.0), 6)
                if (cost, len(chosen)) > best[:2]:
                    continue
                off = (strings + weight * own) / ei + settled
                gap = rest - tilted + off
                least, most = gap.max() + 0.3, gap.min() + 0.4 * felt.thickness_mm
                if ((tops >= least - 1e-9) & (tops <= most + 1e-9)).any():
                    worst = float(np.abs(gap - segment.levelling.gap_mm).max())
                    best = min(best, (cost, len(chosen), worst))
    return best
