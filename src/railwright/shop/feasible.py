"""Can the shop have what the design asks for?"""

from __future__ import annotations

from collections.abc import Iterator

from railwright.book.model import ShopBook
from railwright.computing.results import Conflict, InstrumentResult, SectionResult


def stock_conflicts(result: InstrumentResult, book: ShopBook) -> Iterator[Conflict]:
    """Find pieces that no bar or sheet of the shop book is long enough for.

    Args:
        result: the instrument as designed.
        book: the stock lines.

    Yields:
        One conflict a piece.
    """
    for section in result.sections:
        yield from _too_long(section, book)


def _too_long(section: SectionResult, book: ShopBook) -> Iterator[Conflict]:
    for cut in (section.carrier, section.felt):
        if cut is None:
            continue
        longest = max((float(line.length_mm) for line in book.stock if line.item == cut.item), default=0.0)
        if cut.length_mm > longest:
            facts = {"item": cut.item, "length": f"{cut.length_mm:.1f}", "longest": f"{longest:.1f}"}
            yield Conflict("piece_longer_than_stock", section.section, f"s{section.section}_span", facts)
