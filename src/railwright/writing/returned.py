"""Flagged copies of the survey workbooks, to send back to the technicians."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path

from railwright.checking.base import catalogue
from railwright.reading.addresses import address, parse_address
from railwright.reading.defined_names import NameTarget
from railwright.reading.workbook import read_workbook
from railwright.survey.fields import field_by_key
from railwright.survey.findings import Finding
from railwright.writing.patching.flag_copy import flag_copy
from railwright.writing.patching.flags import FindingRow, FindingsSheet, Flag
from railwright.writing.week import Instrument

#: The name of the heading of the column that the blank survey keeps free for the office.
REMARK_COLUMN = "office_remarks"

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
    remarks = read_workbook(source).names.get(REMARK_COLUMN)
    flags = list(_flags(instrument.findings, remarks))
    return flag_copy(source, target, flags, _findings_sheet(instrument))


def _flags(findings: Sequence[Finding], remarks: NameTarget | None) -> Iterator[Flag]:
    by_cell: dict[str | None, list[str]] = defaultdict(list)
    placed = [finding for finding in findings if finding.sheet and finding.cell]
    for finding in placed:
        text = short_remark(finding)
        cell = _remark_cell(finding, remarks)
        if text not in by_cell[cell]:
            by_cell[cell].append(text)
    for finding in placed:
        cell = _remark_cell(finding, remarks)
        note = f"{finding.message} [{finding.rule}]"
        yield Flag(finding.sheet or "", finding.cell or "", finding.severity, note, cell, " ".join(by_cell[cell]))


def short_remark(finding: Finding) -> str:
    """Say in one short sentence what to do, with the section where there is one."""
    section = finding.field[1] if finding.field and _is_section_key(finding.field) else None
    todo = catalogue()[finding.rule].rule.do
    return f"Section {section}: {todo}" if section else todo


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
