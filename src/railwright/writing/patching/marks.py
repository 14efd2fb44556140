"""How marks of ours are told from everything else when a flagged copy comes back.

A copy may have been saved by any office program in between, which renumbers styles, moves texts between parts and
follows moved rows. So nothing relies on numbers or part names:

- a flagged cell is found through a hidden defined name, which every program moves along with the cell;
- its former fill is kept alive by a cell of the findings sheet that wears the former style and holds that name's text,
  with the place of the cell in case a program drops the names;
- our lines in notes and remarks begin with the word of a severity and end with ``MARK``; what a person writes before
  or after them stays;
- as a last resort the three fill colours, which nothing else uses, are recognised by themselves.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from railwright.writing.patching.flags import WORDS, Severity

MARK = "[railwright]"
AUTHOR = "railwright"
FLAG_NAME = "railwright_flag_"
FINDINGS_NAME = "railwright_findings"

FILLS: dict[Severity, str] = {"fix": "F5B5A7", "confirm": "FBE29D", "note": "CDE3F5"}
"""Fill colours as red, green, blue; dark text keeps a contrast above 10 to 1 on each."""

OUR_LINE = re.compile(r"^(?:Fix|Confirm|Note): [^\n]*?\[railwright\]", re.MULTILINE)

MAX_LINE = 2_000
"""Signs of one line in a note: more than a screen full is not read, and notes may hold 32,767."""


def our_line(severity: Severity, text: str) -> str:
    """Write one line that can be recognised later.

    Args:
        severity: Gives the word in front.
        text: What it says; line breaks become spaces.

    Returns:
        The line, without a line break at its end.
    """
    flat = " ".join(text.replace(MARK, "").split())
    if len(flat) > MAX_LINE:
        flat = flat[: MAX_LINE - 1] + "…"
    return f"{WORDS[severity]}: {flat} {MARK}"


def our_spans(text: str) -> list[tuple[int, int]]:
    """Find our lines in a text, each with one line break beside it.

    Args:
        text: Of a note or a cell.

    Returns:
        Start and end of each piece to take out, in order, without overlaps.
    """
    spans: list[tuple[int, int]] = []
    for found in OUR_LINE.finditer(text):
        start, end = found.span()
        taken = spans[-1][1] if spans else 0
        if start > taken and text[start - 1] == "\n":
            start -= 1
        elif text[end : end + 1] == "\n":
            end += 1
        spans.append((start, end))
    return spans


def without_spans(text: str, spans: Iterable[tuple[int, int]]) -> str:
    """Take pieces out of a text."""
    kept, at = [], 0
    for start, end in spans:
        kept.append(text[at:start])
        at = end
    return "".join([*kept, text[at:]])


def is_ours(text: str) -> bool:
    """Tell whether a text consists of our lines and nothing else."""
    return MARK in text and not without_spans(text, our_spans(text)).strip()
