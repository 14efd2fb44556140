"""What the papers cannot say before the fitter is at the piano, and the gaps that are known beforehand."""

from __future__ import annotations

from railwright.survey.records import Survey
from railwright.writing.numbers import fixed

#: Nothing of it is surveyed, so nothing of it is drawn. Common practice, no source.
CHOSEN_AT_FITTING = (
    "The places of cranks, links, lever and cable are chosen at fitting: a crank under the middle of its segment, "
    "unless the fitter finds better."
)


def gap_words(survey: Survey) -> str:
    """Say how far it is from each section to the next where that was measured, for the links.

    Args:
        survey: the readings.

    Returns:
        For example ``Gap to the next section: 1 to 2: 41.3 mm, 2 to 3: not measured.``; empty for a single section.
    """
    gaps = [
        f"{one.number} to {following.number}: "
        + ("not measured" if one.gap_next_mm is None else f"{fixed(one.gap_next_mm)} mm")
        for one, following in zip(survey.sections, survey.sections[1:], strict=False)
    ]
    if gaps and all(one.gap_next_mm is None for one in survey.sections[:-1]):
        return "Gaps to the next section were not measured: fit the links to them at the piano."
    return f"Gap to the next section: {', '.join(gaps)}." if gaps else ""
