"""The part list of one instrument."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import lru_cache

from railwright.book.model import HardwareKind, ShopBook
from railwright.computing.results import InstrumentResult, Part, SectionResult, Station
from railwright.survey.records import Survey

#: A screw should hold in this share of a flat's thickness. Common practice, no source.
_GRIP_OF_A_FLAT = 0.6


def parts_of(survey: Survey, result: InstrumentResult, book: ShopBook) -> tuple[Part, ...]:
    """List what one instrument's kit is made of.

    Carriers and felt are given as the sum of their pieces' long-point lengths, for information: what is bought of them
    comes from the cutting plan. Cable is the run with a spare for its ends, adhesive the felt's area times the rate.

    Args:
        survey: the instrument; its cable run.
        result: its segments; any without a carrier leaves the kit incomplete.
        book: the catalogue and rates.

    Returns:
        Parts by item, bars and felt first; empty when a segment could not be sized.
    """
    sections = result.sections
    if not sections or any(not _is_sized(section) for section in sections):
        return ()
    lengths = Counter[str]()
    for section in sections:
        assert section.carrier and section.felt
        lengths[section.carrier.item] += round(section.carrier.length_mm * 10)
        lengths[section.felt.item] += round(section.felt.length_mm * 10)
    pieces = Counter[str]()
    for section in sections:
        pieces.update(_section_hardware(section, book))
    pieces[_first(book, "link")] += len(sections) - 1
    pieces[_first(book, "lever set")] += 1
    bulk = (
        (_first(book, "cable"), cable_mm(survey, book), "mm"),
        (_first(book, "adhesive"), adhesive_g(result, book), "g"),
    )
    return (
        *(Part(item, tenth / 10, "mm") for item, tenth in sorted(lengths.items())),
        *(Part(item, count, "pieces") for item, count in sorted(pieces.items()) if count),
        *(Part(item, quantity, unit) for item, quantity, unit in bulk),
    )


def cable_mm(survey: Survey, book: ShopBook) -> float:
    """Give the cable to cut, in mm: the run that was read, or the shop's usual one, with the spare for the ends."""
    run = survey.cable_run_mm if survey.cable_run_mm is not None else book.value("default_cable_run")
    return round(run + book.value("cable_spare"), 1)


def adhesive_g(result: InstrumentResult, book: ShopBook) -> float:
    """Give the felt adhesive of an instrument, in g: felt area times the shop's rate, rounded to 0.1 g."""
    area_mm2 = sum(section.felt.length_mm * section.felt.width_mm for section in result.sections if section.felt)
    return round(area_mm2 * 1e-6 * book.value("adhesive_rate"), 1)


def shim_leaves(shim_mm: float, leaves_mm: tuple[float, ...]) -> tuple[float, ...] | None:
    """Make a shim up from as few leaves as possible.

    Args:
        shim_mm: thickness wanted, mm, to 0.1 mm.
        leaves_mm: thicknesses to be had, mm, each as often as wanted.

    Returns:
        The leaves from thick to thin, or ``None`` when they cannot make up that thickness.
    """
    tenths = _fewest(round(shim_mm * 10), tuple(sorted(round(leaf * 10) for leaf in leaves_mm)))
    return None if tenths is None else tuple(sorted((leaf / 10 for leaf in tenths), reverse=True))


@lru_cache(maxsize=4096)
def _fewest(total: int, leaves: tuple[int, ...]) -> tuple[int, ...] | None:
    best: list[tuple[int, ...] | None] = [()]
    for amount in range(1, total + 1):
        options = [(*rest, leaf) for leaf in leaves if leaf <= amount and (rest := best[amount - leaf]) is not None]
        best.append(min(options, key=len, default=None))
    return best[total]


def _is_sized(section: SectionResult) -> bool:
    return section.carrier is not None and section.felt is not None and bool(section.stations)


def _section_hardware(section: SectionResult, book: ShopBook) -> Iterator[str]:
    leaf_items = {leaf.size_mm: leaf.item for leaf in reversed(book.parts("shim"))}
    screws = round(book.value("screws_per_station"))
    for station in section.stations:
        if section.foot:
            yield section.foot
        yield from [station_screw(section, station, book)] * screws
        for leaf in shim_leaves(station.shim_mm, tuple(leaf_items)) or ():
            yield leaf_items[leaf]
    if section.crank:
        yield section.crank


def station_screw(section: SectionResult, station: Station, book: ShopBook) -> str:
    """Choose the screw that holds a station: up through foot and shim into the carrier, never into the felt.

    It should reach through a tube's wall, or through most of a flat; where no length does both, the longest that stays
    out of the felt. A shop book that gives no lengths has one screw for all.

    Args:
        section: the segment; its foot and carrier.
        station: its shim.
        book: the screws to be had.

    Returns:
        The item.
    """
    sized = [screw for screw in book.parts("station screw") if screw.size_mm > 0]
    if not sized or section.carrier is None:
        return _first(book, "station screw")
    below = (section.foot_height_mm or 0.0) + station.shim_mm
    wall = next((c.wall_mm for c in book.carriers if c.item == section.carrier.item), 0.0)
    grip = wall or _GRIP_OF_A_FLAT * section.carrier.height_mm
    short = [screw for screw in sized if screw.size_mm <= below + section.carrier.height_mm + 1e-9] or sized[:1]
    return next((screw for screw in short if screw.size_mm >= below + grip - 1e-9), short[-1]).item


def _first(book: ShopBook, kind: HardwareKind) -> str:
    parts = book.parts(kind)
    if not parts:
        raise ValueError(f"the shop book's Hardware sheet has no {kind}")
    return parts[0].item
