"""Complete search for small cases: every choice of bars that costs less, every way to fill them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from railwright.shop.cutting.certificate import Choices, arrangement_exists
from railwright.shop.cutting.instance import Instance, Pattern

#: Cases with more pieces than this are not searched.
SMALL = 24
#: Steps of the search for one choice of bars.
SEARCH_NODES = 20_000
_MOST_CHOICES = 300


def cheaper_plan(instance: Instance, cents: int, choices: Choices) -> tuple[bool, list[Pattern] | None]:
    """Look for a plan cheaper than ``cents``.

    Args:
        instance: pieces and stock.
        cents: the money to undercut.
        choices: the choices of bars that are not ruled out by weights.

    Returns:
        Whether the answer is complete, and the plan, if there is one.
    """
    widths = [width for width, count in zip(instance.widths, instance.demand, strict=True) for _ in range(count)]
    for number, choice in enumerate(choices.that_hold()):
        if choice is None or number >= _MOST_CHOICES:
            return False, None
        bars = [k for k, count in enumerate(choice) for _ in range(count)]
        answer = arrangement_exists(widths, [instance.rooms[k] for k in bars], SEARCH_NODES)
        if answer is None:
            return False, None
        if answer:
            places = next(_arrangements(widths, [instance.rooms[k] for k in bars], []))
            return True, _patterns(instance, bars, widths, places)
    return True, None


def _arrangements(widths: Sequence[int], rooms: list[int], places: list[int]) -> Iterator[list[int]]:
    """Yield arrangements: for each piece, by falling width, the bar it is on; equal rooms are tried once."""
    if len(places) == len(widths):
        yield places
        return
    width = widths[len(places)]
    for room in sorted({room for room in rooms if room >= width}):
        bar = rooms.index(room)
        smaller = [*rooms[:bar], room - width, *rooms[bar + 1 :]]
        yield from _arrangements(widths, smaller, [*places, bar])


def _patterns(instance: Instance, bars: Sequence[int], widths: Sequence[int], places: Sequence[int]) -> list[Pattern]:
    """Read an arrangement as patterns."""
    found = []
    for bar, stock in enumerate(bars):
        held = [instance.widths.index(width) for width, place in zip(widths, places, strict=True) if place == bar]
        if held:
            found.append((stock, tuple((kind, held.count(kind)) for kind in sorted(set(held)))))
    return found
