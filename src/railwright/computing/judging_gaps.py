"""What is to be said of gaps at rest that cannot be levelled as they were read."""

from __future__ import annotations

import numpy as np

from railwright.book.model import ShopBook
from railwright.computing.choice import Design
from railwright.computing.easing import Easing
from railwright.computing.heights import EndHeights, highest_stack
from railwright.computing.readings import End
from railwright.computing.results import Conflict, spelled
from railwright.computing.segment import Segment

Facts = dict[str, float | int | str]


def eased_gaps(segment: Segment, easing: Easing) -> Conflict:
    """Say that the gaps at rest were eased, and whether clear gauges settle it.

    Args:
        segment: the segment, which holds the eased gaps.
        easing: what was read and what it was eased to.

    Returns:
        A note where clear gauges at both ends bear the eased gaps out, else a doubt, at the gap that moved most.
    """
    low, high = easing.heights.low, easing.heights.high
    moved = low if abs(low.eased_mm) >= abs(high.eased_mm) else high
    facts: Facts = {
        "low_mm": low.read_rest_mm,
        "high_mm": high.read_rest_mm,
        "low_from": low.rest_field,
        "high_from": high.rest_field,
        "low_eased_mm": low.rest_mm,
        "high_eased_mm": high.rest_mm,
        "low_eased": spelled(low.rest_mm),
        "high_eased": spelled(high.rest_mm),
    }
    rule = "rest_gaps_eased" if easing.settled else "rest_gaps_in_doubt"
    return Conflict(rule, segment.section.number, moved.rest_field, facts)


def uneven_gaps(
    segment: Segment, design: Design, end: End, heights: EndHeights, stack_mm: float, book: ShopBook
) -> Conflict | None:
    """Say that parts which would fit by themselves are lifted into the strings by the shims that level the gaps.

    Args:
        segment: the segment.
        design: its lowest design.
        end: the end at which the stack is too tall.
        heights: heights at that end.
        stack_mm: the stack there, shims and all.
        book: clearance and guard factor.

    Returns:
        The conflict with what the gaps would have to be; ``None`` where the parts are too tall without such shims.
    """
    highest = highest_stack(heights.free_mm, heights.u_free_mm, book.value("rest_clearance"), book.value("z_p"))
    at = segment.strings[0] if end == "low" else segment.strings[-1]
    rise = float(segment.levelling.line(np.array([at]))[0])
    spare = highest - (stack_mm - rise)
    if rise <= 0.0 or spare < 0.0:
        return None
    both = segment.heights
    other = both.high if end == "low" else both.low
    facts: Facts = {
        "end": end,
        "other": "high" if end == "low" else "low",
        "low_mm": both.low.rest_mm,
        "high_mm": both.high.rest_mm,
        "rise_mm": rise,
        "most_mm": other.rest_mm + spare,
        "least_mm": heights.rest_mm - spare,
        "gauge_mm": stack_mm + book.value("rest_clearance") + book.value("z_p") * book.value("gauge_tol"),
        "rise": spelled(rise),
        "stack": spelled(stack_mm),
        "free": spelled(heights.free_mm),
        "most": spelled(other.rest_mm + spare),
        "least": spelled(heights.rest_mm - spare),
        "carrier": design.option.bar.carrier.item,
    }
    return Conflict("rest_gaps_too_uneven", segment.section.number, heights.rest_field, facts)
