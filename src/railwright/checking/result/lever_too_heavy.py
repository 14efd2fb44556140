"""the hand lever would need too much force."""

from __future__ import annotations

from railwright.checking.base import Rule

RULE = Rule(
    severity="fix",
    catches=(
        "Segments that together need more force at the lever than a hand should give, even with the smallest lifts."
    ),
    why="Nobody would use the rail.",
    do="Ask the shop for a longer lever.",
)

MESSAGE = (
    "the hand lever would need {least_n:.1f} N even with the smallest lifts, and {most_n:.1f} N is the limit. A "
    "lever ratio of {ratio_needed:.1f} (now {ratio:g}) would do: choose a longer lever, and put its ratio into the "
    "shop book."
)
