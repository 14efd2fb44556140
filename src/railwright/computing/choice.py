"""The choice of carrier, felt, foot, stations, shims and crank for one segment: the cheapest that meets every limit.

Designs are tried in the order of their cost, so that the first one that works is the cheapest there is; at equal cost
fewer stations come first, then the stiffer carrier, then the item codes. Whether one of so many stations works is not
guessed: the search over station sets leaves out only what cannot work.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from railwright.book.model import Carrier, Felt, Hardware, ShopBook
from railwright.computing import profiles
from railwright.computing.placement import Bed, Budget, Search, Sets, Spans, spans_of
from railwright.computing.pockets import stiffness_lost
from railwright.computing.reliefs import edge_from_screws, hollow_depth, hollow_reach, hollow_width
from railwright.computing.results import Array, Side
from railwright.computing.screws import head_diameter
from railwright.computing.segment import Segment
from railwright.computing.side import SideChoice, choose_side
from railwright.computing.skew import centre_offset, mitre_mm, shift_along_rail

MOST_STRINGS = 15_000_000
"""Strings of station sets that the searches of one segment look at in all; beyond it they thin out, without proof."""
FEW_STATIONS = 3
"""Up to so many stations, one search around all windows is quicker than one for each."""
NEAR_SUPPORT_MM = 0.3
"""Strings stand within a pitch either side of every foot, and one of them within this of the felt's unbent level."""
BESIDE_MM = 40.0
"""Strings stand within this of every foot, with any shift between wires and strings."""
ROUNDING_MM = 0.1
"""Loads bend a segment down, but for what shims rounded upward add, which is less than this."""
MOST_LOST = 1 / 8
"""A hollow may take this share of the stiffness where it is; being short, it then adds less than 6 % to the deflection.

The beam leaves hollows out for that reason, and a carrier that would lose more is not offered.
"""

Order = Literal["cost", "low", "tall"]


@dataclass(frozen=True, slots=True)
class Bar:
    """A carrier where it would lie: side, distance behind the wires, shift of the strings and long-point length, mm."""

    carrier: Carrier
    side: Side
    sure: bool
    offset_mm: float
    shift_mm: float
    length_mm: float
    mitre_mm: float
    ei: float
    cost: float


@dataclass(frozen=True, slots=True)
class Option:
    """A bar with felt and foot; ``fixed`` is what it costs without stations, ``each`` what one station costs."""

    bar: Bar
    felt: Felt
    foot: Hardware
    fixed: float
    each: float

    @property
    def stack_mm(self) -> float:
        """Foot, carrier and felt without shims, mm."""
        return self.foot.size_mm + self.bar.carrier.height_mm + self.felt.thickness_mm

    def cost(self, stations: int) -> float:
        """What the segment costs with so many stations, rounded so that sums of the same prices are equal."""
        return round(self.fixed + stations * self.each, 6)


@dataclass(frozen=True, slots=True)
class Windows:
    """Lifts and shims that suit an option: for each, how far the felt may be off its level at a string, mm."""

    lift: Array
    shim: Array
    low: Array
    high: Array

    def searched(self, stations: int) -> list[tuple[float, float]]:
        """List the windows to search for so many stations: one around them all for a few, else each, highest first."""
        if stations <= FEW_STATIONS:
            return [(round(float(self.low.min()), 9), round(float(self.high.max()), 9))]
        each = {
            (round(low, 9), round(high, 9)) for low, high in zip(self.low.tolist(), self.high.tolist(), strict=True)
        }
        return sorted(each, key=lambda window: -window[1])


@dataclass(frozen=True, slots=True)
class Design:
    """A chosen design: stations as places of the segment, shims of each, lift; ``off_mm`` as the search foresaw it."""

    option: Option
    places: tuple[int, ...]
    base_shim_mm: float
    lift_mm: float
    off_mm: Array
    cost: float
    proven: bool


@dataclass(frozen=True, slots=True)
class Limits:
    """What a design must meet: the highest untilted stack, the lifts there are, and whether only sure sides count.

    ``lifts`` is ``None`` where any lift will do, to see whether the cranks alone are in the way.
    """

    highest_mm: float
    lifts: tuple[float, ...] | None
    sure: bool


@dataclass(slots=True)
class Bench:
    """What the designs of one segment share, so that nothing is computed twice.

    ``spans`` and ``beds`` go by the shift of a bar, ``searches`` by carrier, felt and window.
    """

    segment: Segment
    book: ShopBook
    spans: dict[float, Spans] = field(default_factory=dict)
    beds: dict[float, Bed] = field(default_factory=dict)
    searches: dict[tuple[str, str, float, float], Search] = field(default_factory=dict)
    budget: Budget = field(default_factory=lambda: Budget(MOST_STRINGS))

    def under_other_heights(self, segment: Segment, budget: Budget) -> Bench:
        """Give the bench of the same segment under other heights, with what they leave as it is.

        Spans stay in any case, beds and finished searches where the gaps at rest, and so the shims, stay.
        """
        if not self.segment.rests_like(segment):
            return Bench(segment, self.book, spans=self.spans, budget=budget)
        searches = {key: search for key, search in self.searches.items() if search.complete}
        for search in searches.values():
            search.budget = budget
        return Bench(segment, self.book, self.spans, self.beds, searches, budget)

    def bed(self, bar: Bar) -> tuple[Bed, Spans]:
        """Give the bed of a bar; bars of one shift share it."""
        shift = bar.shift_mm
        if shift not in self.beds:
            self.beds[shift] = bed_of(self.segment, shift, self.book)
        if shift not in self.spans:
            self.spans[shift] = spans_of(self.beds[shift])
        return self.beds[shift], self.spans[shift]

    def search(self, option: Option, low: float, high: float) -> Search:
        """Give the search for a bar with its felt and one window of departures."""
        key = (option.bar.carrier.item, option.felt.item, low, high)
        if key not in self.searches:
            bed, spans = self.bed(option.bar)
            window = (low, high)
            self.searches[key] = Search(bed, spans, option.bar.ei, bar_weight(option), window, self.budget)
        return self.searches[key]

    @property
    def searched_whole(self) -> bool:
        """Whether every search so far went through all station sets."""
        return all(search.complete for search in self.searches.values())

    def sets(self, option: Option, windows: Windows, stations: int) -> tuple[list[Sets], bool]:
        """Give the sets of so many stations that suit some window, and whether none was left out.

        A few stations are looked for in all windows at once, more of them window by window: narrow windows keep the
        number of sets small, but each is a search of its own.
        """
        searches = [self.search(option, low, high) for low, high in windows.searched(stations)]
        found = [search.sets(stations) for search in searches]
        return [sets for sets in found if sets is not None], all(search.complete for search in searches)


def bar_weight(option: Option) -> float:
    """Weight of carrier and felt, N/mm."""
    carrier, felt = option.bar.carrier, option.felt
    own = profiles.weight_per_mm(profiles.area(carrier), carrier.density_kg_m3)
    return own + profiles.weight_per_mm(carrier.width_mm * felt.thickness_mm, felt.density_kg_m3)


def bed_of(segment: Segment, shift_mm: float, book: ShopBook) -> Bed:
    """Lay a segment out for the search; stations move against the strings by the shift."""
    places = segment.places.x_mm - shift_mm
    levelling = segment.levelling
    gap = segment.heights.rest(segment.share(segment.strings))
    left = gap - levelling.gap_mm - levelling.line(segment.strings)
    settlement = levelling.line(places) - levelling.steps(places)
    foot, overhang = book.value("foot_width"), book.value("overhang_max")
    return Bed(
        segment.strings, segment.forces, segment.start_mm, segment.end_mm, places, settlement, left, foot, overhang
    )


def bars_of(segment: Segment, book: ShopBook) -> list[tuple[Carrier, SideChoice, Bar | None]]:
    """Lay every carrier that can be bought beside the wires.

    Args:
        segment: the section's segment.
        book: carriers, prices and rule values.

    Returns:
        Carrier, side, and the bar where there is a side for it.
    """
    return [(carrier, *_bar(carrier, segment, book)) for carrier in book.carriers if _price(carrier.item, book)]


def _price(item: str, book: ShopBook) -> bool:
    return book.price_per_mm(item) is not None


def _bar(carrier: Carrier, segment: Segment, book: ShopBook) -> tuple[SideChoice, Bar | None]:
    clearance = book.value("wire_clearance")
    choice = choose_side(carrier.width_mm, clearance, segment.side_room)
    price = book.price_per_mm(carrier.item)
    if choice.side is None or price is None:
        return choice, None
    offset = centre_offset(carrier.width_mm, segment.wire_mm, clearance, choice.side == "rear")
    mitre = mitre_mm(carrier.width_mm, segment.theta_deg, book.value("square_below"))
    length = segment.end_mm - segment.start_mm + mitre
    shift = shift_along_rail(offset, segment.theta_deg)
    ei = profiles.stiffness(carrier)
    return choice, Bar(carrier, choice.side, choice.sure, offset, shift, length, mitre, ei, length * price)


def options_of(segment: Segment, bars: Sequence[Bar], book: ShopBook) -> list[Option]:
    """Combine bars with every felt and foot that can be bought, leaving out hollows that a carrier cannot bear."""
    screw = min((book.price_each(part.item) or 0.0 for part in book.parts("station screw")), default=0.0)
    screws = screw * book.value("screws_per_station")
    felts = [(felt, price) for felt in book.felts if (price := book.price_per_mm2(felt.item)) is not None]
    feet = [(foot, price) for foot in book.parts("foot") if (price := book.price_each(foot.item)) is not None]
    return [
        Option(bar, felt, foot, bar.cost + bar.length_mm * bar.carrier.width_mm * by_area, each + screws)
        for bar in bars
        for foot, each in feet
        if _hollow_fits(bar, foot, segment, book)
        for felt, by_area in felts
    ]


def in_one_piece(options: Sequence[Option], book: ShopBook) -> list[Option]:
    """Leave out the options whose carrier or felt is to be had in shorter pieces only."""
    items = {item for option in options for item in (option.bar.carrier.item, option.felt.item)}
    longest = {item: book.longest_mm(item) for item in items}
    return [
        option
        for option in options
        if option.bar.length_mm <= min(longest[option.bar.carrier.item], longest[option.felt.item])
    ]


def _hollow_fits(bar: Bar, foot: Hardware, segment: Segment, book: ShopBook) -> bool:
    """Say whether the hollow over a screw, reckoned without shims, leaves wall over it and most of the stiffness."""
    if not segment.screws:
        return True
    depth = hollow_depth(book.value("guide_screw_proud"), foot.size_mm, book.value("screw_clearance"))
    reach, carrier = reach_of_hollows(bar, book), bar.carrier
    if depth == 0.0 or reach == 0.0:
        return True
    wall = carrier.height_mm if carrier.shape == "flat" else carrier.wall_mm
    return depth < wall and stiffness_lost(carrier, reach, depth) <= MOST_LOST


def reach_of_hollows(bar: Bar, book: ShopBook) -> float:
    """How far the hollows over guide-rail screws reach into a bar from its edge at the wires, mm; 0 for none needed."""
    diameter = hollow_width(head_diameter(book.text("guide_screw")), book.value("screw_clearance"))
    edge = edge_from_screws(bar.offset_mm, bar.carrier.width_mm, book.value("guide_screw_line"))
    return hollow_reach(diameter, edge, bar.carrier.width_mm)


def windows_of(option: Option, segment: Segment, limits: Limits, book: ShopBook) -> Windows:
    """List the lifts and shims that leave the felt of an option pressed somewhere between least and most.

    Args:
        option: carrier, felt and foot.
        segment: the section's segment.
        limits: the highest stack and the lifts to choose from.
        book: shims and pressing.

    Returns:
        The pairs of lift and shim, from the least shim; empty where the stack does not fit.
    """
    levelling, step = segment.levelling, book.value("shim_step")
    spare = min(limits.highest_mm - option.stack_mm, book.value("shim_max") - abs(levelling.shimmed_mm))
    if spare < -1e-9:
        return Windows(*(np.empty(0) for _ in range(4)))
    shims = np.arange(int(spare / step + 1e-6) + 1) * step if limits.lifts is not None else np.zeros(1)
    lifts = np.array(limits.lifts) if limits.lifts is not None else _any_lift(option, levelling.gap_mm, book)
    shim, lift = np.repeat(shims, lifts.size), np.tile(lifts, shims.size)
    raised = lift + shim + (option.stack_mm - levelling.gap_mm)
    low = raised - book.value("working") * option.felt.thickness_mm
    high = raised - book.value("delta_min")
    least, most = _near_supports(segment, book)
    some = (low <= most) & (high >= least) & (low <= high)
    return Windows(lift[some], shim[some], low[some], high[some])


def _near_supports(segment: Segment, book: ShopBook) -> tuple[float, float]:
    """Departures that some string beside a foot has at the most and at the least, mm, whatever the stations.

    Where shims cannot level the whole tilt, the rest of it stands at the last foot in nearly full.
    """
    levelling = segment.levelling
    left = abs(levelling.tilt_mm) - abs(levelling.shimmed_mm)
    beyond = (book.value("overhang_max") + BESIDE_MM) / float(segment.strings[-1] - segment.strings[0])
    return left * max(1.0 - beyond, 0.0) - ROUNDING_MM, left + NEAR_SUPPORT_MM


def _any_lift(option: Option, gap_mm: float, book: ShopBook) -> Array:
    """Lifts in steps of a shim that would press an option's felt, whether or not there is a crank for them, mm."""
    step, most = book.value("shim_step"), book.value("working") * option.felt.thickness_mm
    level = gap_mm - option.stack_mm
    least = max(math.ceil((level + book.value("delta_min") - ROUNDING_MM) / step), 0)
    greatest = math.floor((level + most + NEAR_SUPPORT_MM) / step)
    return np.array([count * step for count in range(least, greatest + 1)], dtype=float)


def best_of(sets: Sets, windows: Windows) -> tuple[int, int] | None:
    """Find the set whose felt departs least from its level, among those that some lift and shim suit.

    Args:
        sets: candidate station sets.
        windows: lifts and shims to choose from.

    Returns:
        Row of the set and of the window (least shim, then pressing furthest from its limits, then least lift);
        ``None`` where no set suits.
    """
    if sets.chosen.shape[0] == 0 or windows.lift.size == 0:
        return None
    least, most = sets.off.min(axis=1), sets.off.max(axis=1)
    margin = np.minimum(least[:, None] - windows.low[None, :], windows.high[None, :] - most[:, None])
    suits = margin >= -1e-9
    rows = np.flatnonzero(suits.any(axis=1))
    if rows.size == 0:
        return None
    worst = np.round(sets.worst[rows], 9)
    row = int(rows[np.lexsort((*sets.chosen[rows].T[::-1], worst))[0]])
    columns = np.flatnonzero(suits[row])
    order = np.lexsort((windows.lift[columns], -np.round(margin[row, columns], 9), np.round(windows.shim[columns], 6)))
    return row, int(columns[order[0]])


def cheapest(bench: Bench, options: Sequence[Option], limits: Limits, order: Order = "cost") -> Design | None:
    """Choose among the options of one segment.

    Args:
        bench: the segment and what is known of it already.
        options: what can be combined.
        limits: what the design must meet.
        order: what to prefer, the lowest cost, the lowest stack or the tallest.

    Returns:
        The best design; ``None`` where there is none.
    """
    queue = [
        _entry(place, option, 2, order)
        for place, option in enumerate(options)
        if option.stack_mm <= limits.highest_mm + 1e-9 and (option.bar.sure or not limits.sure)
    ]
    heapq.heapify(queue)
    windows: dict[int, Windows] = {}
    proven = True
    while queue:
        *_, stations, place = heapq.heappop(queue)
        option = options[place]
        if place not in windows:
            windows[place] = windows_of(option, bench.segment, limits, bench.book)
        if windows[place].lift.size == 0:
            continue
        sets, whole = bench.sets(option, windows[place], stations)
        proven = proven and whole
        found = best_of(joined(sets), windows[place]) if sets else None
        if found is not None:
            return _design(option, joined(sets), windows[place], found, proven)
        if sets:
            heapq.heappush(queue, _entry(place, option, stations + 1, order))
    return None


def joined(parts: Sequence[Sets]) -> Sets:
    """Put the sets of several windows together; a set may come more than once."""
    return Sets(np.concatenate([part.chosen for part in parts]), np.concatenate([part.off for part in parts]))


def _entry(
    place: int, option: Option, stations: int, order: Order
) -> tuple[float, float, int, float, str, str, str, int, int]:
    stack = {"cost": 0.0, "low": 1.0, "tall": -1.0}[order] * round(option.stack_mm, 6)
    codes = (option.bar.carrier.item, option.felt.item, option.foot.item)
    return (stack, option.cost(stations), stations, -option.bar.ei, *codes, stations, place)


def _design(option: Option, sets: Sets, windows: Windows, found: tuple[int, int], proven: bool) -> Design:
    row, column = found
    places = tuple(int(place) for place in sets.chosen[row])
    shim, lift = float(windows.shim[column]), float(windows.lift[column])
    return Design(option, places, shim, lift, sets.off[row], option.cost(len(places)), proven)
