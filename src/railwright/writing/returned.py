"""Flagged copies of the survey workbooks: with every finding for the office, and with what is asked to send out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from shutil import copyfile

from railwright.checking.base import catalogue
from railwright.reading.addresses import address, parse_address
from railwright.reading.defined_names import NameTarget
from railwright.reading.workbook import read_workbook
from railwright.survey.fields import field_by_key
from railwright.survey.findings import Finding
from railwright.writing.patching.flag_copy import flag_workbook
from railwright.writing.patching.flags import FindingRow, FindingsSheet, Flag
from railwright.writing.week import Instrument

#: The name of the heading of the column that the blank survey keeps free for the office.
REMARK_COLUMN = "office_remarks"

#: More than so many characters do not fit beside a row of the survey; the notes and the list have every word.
_REMARK_ROOM = 80

_HEADINGS = {
    "release": "Nothing stands in the way: this survey goes to the shop.",
    "confirm": "Please look at the marked cells again and confirm or correct them.",
    "hold": "This survey waits: please fill in or correct the marked cells and send it again.",
}


def write_returned(instrument: Instrument, source: Path, target: Path) -> list[str]:
    """Write one flagged copy; everything that is not flagged stays as it is.

    Args:
        instrument: a survey that could be read, with its findings.
        source: the technician's workbook; only read.
        target: the copy to write; its folder is made.

    Returns:
        Sentences about anything that could not be kept or written.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    book = read_workbook(source)
    flags = list(_flags(instrument.findings, book.named(REMARK_COLUMN)))
    return flag_workbook(book, target, flags, _findings_sheet(instrument))


def write_asked(instrument: Instrument, source: Path, returned: Path, target: Path) -> list[str]:
    """Write a copy in which only the cells to read again are marked: no notes, which ask for nothing.

    Args:
        instrument: a survey that could be read, with its findings.
        source: the technician's workbook; only read.
        returned: its flagged copy.
        target: the copy to write, if anything is asked; its folder is made.

    Returns:
        Sentences about anything that could not be kept or written.
    """
    asked = tuple(finding for finding in instrument.findings if finding.severity != "note")
    if not asked:
        return []
    if len(asked) < len(instrument.findings):
        return write_returned(replace(instrument, findings=asked), source, target)
    target.parent.mkdir(parents=True, exist_ok=True)
    copyfile(returned, target)
    return []


def _flags(findings: Sequence[Finding], remarks: NameTarget | None) -> Iterator[Flag]:
    placed = [finding for finding in findings if finding.sheet and finding.cell]
    beside: dict[str | None, list[Finding]] = defaultdict(list)
    for finding in placed:
        beside[_remark_cell(finding, remarks)].append(finding)
    for finding in placed:
        cell = _remark_cell(finding, remarks)
        yield Flag(
            finding.sheet or "", finding.cell or "", finding.severity, finding.message, cell, remark(beside[cell])
        )


def remark(findings: Sequence[Finding]) -> str:
    """Say in a few words what to do in one row, rule by rule, and in which sections.

    Args:
        findings: the findings on cells of one row of the sheet.

    Returns:
        Such as ``Section 3: fill it in, or ask the technician. Sections 1, 2: read the angle again.``
    """
    sections: dict[str, list[str]] = defaultdict(list)
    for finding in findings:
        number = _section_of(finding.field)
        if number not in sections[finding.rule]:
            sections[finding.rule].append(number)
    first, *others = [_to_do(rule, sorted(of)) for rule, of in sections.items()]
    whole = " ".join((first, *others))
    return whole if len(whole) <= _REMARK_ROOM or not others else f"{first} More in the notes."


def _to_do(rule: str, numbers: list[str]) -> str:
    """Give a rule's instruction, begun with the sections that it is about."""
    do = catalogue()[rule].rule.do
    if not any(numbers):
        return do
    return f"Section{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}: {do[0].lower()}{do[1:]}"


def _section_of(key: str | None) -> str:
    return key[1] if key and _is_section_key(key) else ""


def _is_section_key(key: str) -> bool:
    field = field_by_key().get(key)
    return field is not None and field.scope == "section"


def _remark_cell(finding: Finding, remarks: NameTarget | None) -> str | None:
    """Give the cell in the office's column beside a flagged cell, where the workbook has that column on its sheet."""
    if remarks is None or remarks.problem or remarks.sheet != finding.sheet:
        return None
    heading, flagged = parse_address(remarks.cell), parse_address(finding.cell or "")
    return address(flagged[0], heading[1]) if heading and flagged else None


def _findings_sheet(instrument: Instrument) -> FindingsSheet:
    rows = [
        FindingRow(
            finding.severity, finding.sheet or "", finding.cell or "", _field_words(finding.field), finding.message
        )
        for finding in instrument.findings
    ]
    return FindingsSheet(f"{instrument.order_no}: {_HEADINGS[instrument.state]}", rows)


def _field_words(key: str | None) -> str:
    field = field_by_key().get(key or "")
    if field is None:
        return key or ""
    return f"{field.label} (section {field.key[1]})" if field.scope == "section" else field.label
