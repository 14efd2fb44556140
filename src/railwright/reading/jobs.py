"""The job list: one line an order, from which prefilled survey workbooks are made."""

from __future__ import annotations

import codecs
import io
import re
import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from railwright.reading.parsed import Conventions, Parsed
from railwright.reading.unreadable import Unreadable
from railwright.reading.values import parse_answer
from railwright.survey.fields import MAX_SECTIONS, field_by_key
from railwright.survey.names import safe_name

if TYPE_CHECKING:
    from pandas import DataFrame

#: The columns that a job list may have; only the first must be filled. Any other column is left alone.
COLUMNS = (
    *("order_no", "site", "technician", "needed_by", "maker", "model", "serial", "unit"),
    "sections",
)

MAX_JOBS = 5_000
"""A season's work many times over; more lines than this are not a job list."""

#: A job list is a few hundred lines of text; nothing larger is opened.
MAX_BYTES = 20_000_000


@dataclass(frozen=True, slots=True)
class Job:
    """What is known of an order before the visit; ``None`` where the list does not say."""

    order_no: str
    site: str | None = None
    technician: str | None = None
    needed_by: date | None = None
    maker: str | None = None
    model: str | None = None
    serial: str | None = None
    unit: str | None = None
    sections: int | None = None


@dataclass(frozen=True, slots=True)
class JobList:
    """The jobs that can be used, and a sentence about each line that cannot or that needs a look."""

    jobs: tuple[Job, ...] = ()
    troubles: tuple[str, ...] = ()


class BadJobList(Exception):
    """A job list that cannot be read at all; the message is a sentence for the user."""


@dataclass(frozen=True, slots=True)
class _Text:
    """A cell of the list as the parsers of survey answers see it."""

    kind: str
    value: object
    text: str = field(default="")


def read_jobs(path: Path) -> JobList:
    """Read a job list.

    A ``.csv`` may be separated by commas, semicolons or tabs and come in UTF-8 or the Western Windows code page; of an
    ``.xlsx`` the first sheet is read. The first line names the columns by field key, in any order and capitals.

    Args:
        path: The list.

    Returns:
        The jobs in the order of the list. A line without order number, with an order number that an earlier line has,
        or with a day, unit or section count that cannot be read is left out and named in ``troubles``.

    Raises:
        BadJobList: The file is no list, or it has no column ``order_no``.
    """
    table = _table(path)
    columns = {_plain_heading(str(name)): position for position, name in reversed(list(enumerate(table.columns)))}
    if "order_no" not in columns:
        found = ", ".join(str(name)[:30] for name in list(table.columns)[:12]) or "none"
        raise BadJobList(f"{path.name}: expected a column order_no in the first line, found: {found}.")
    if len(table) > MAX_JOBS:
        raise BadJobList(f"{path.name} has {len(table)} lines; a job list has at most {MAX_JOBS}.")
    known = {name: columns[name] for name in COLUMNS if name in columns}
    lines = ({name: row[position] for name, position in known.items()} for row in table.itertuples(index=False))
    collected = _collected(lines)
    return JobList(collected.jobs, (*_passed_over(columns), *collected.troubles))


def _passed_over(columns: Mapping[str, int]) -> Iterator[str]:
    """Name the columns that the list has and nobody reads: a misspelt one would lose its answers unseen."""
    if strange := [
        name
        for name in sorted(columns, key=columns.__getitem__)
        if name not in COLUMNS and not name.startswith("unnamed")
    ]:
        known = ", ".join(COLUMNS)
        yield f"Not read: column {', '.join(name[:30] for name in strange[:12])}. Columns that are read: {known}."


def _collected(lines: Iterator[Mapping[str, object]]) -> JobList:
    jobs: list[Job] = []
    troubles: list[str] = []
    first_line: dict[str, int] = {}
    for number, line in enumerate(lines, start=2):
        cells = {name: _as_cell(value) for name, value in line.items()}
        if all(cell.kind == "blank" for cell in cells.values()):
            continue
        job, found = _job(cells)
        earlier = first_line.setdefault(safe_name(job.order_no).casefold(), number) if job else number
        if job and earlier != number:
            found = [f"order number {job.order_no} stands in line {earlier} already"]
            job = None
        troubles += [f"Line {number}: {trouble}." for trouble in found]
        if job:
            jobs.append(job)
    return JobList(tuple(jobs), tuple(troubles))


def _job(cells: Mapping[str, _Text]) -> tuple[Job | None, list[str]]:
    """Make one job of a line, or say what is wrong with it."""
    parsed = {name: _parsed(name, cell) for name, cell in cells.items()}
    troubles = [_trouble(name, cells[name], parsed[name]) for name in parsed if parsed[name].problem]
    if not troubles and parsed["order_no"].value is None:
        troubles = ["the order number is missing"]
    values: dict[str, Any] = {name: answer.value for name, answer in parsed.items()}
    return (None, troubles) if troubles else (Job(**values), [])


def _parsed(name: str, cell: _Text) -> Parsed:
    if name != "sections":
        return parse_answer(field_by_key()[name], cell, Conventions())
    answer = parse_answer(field_by_key()["s1_dampers"], cell, Conventions())
    if isinstance(answer.value, int) and not 1 <= answer.value <= MAX_SECTIONS:
        return Parsed(None, "impossible_count")
    return answer


_EXPECTED = {"needed_by": "a day as year-month-day", "unit": "in or mm", "sections": f"1 to {MAX_SECTIONS}"}


def _trouble(name: str, cell: _Text, answer: Parsed) -> str:
    expected = _EXPECTED.get(name, "text")
    return f"{name}: expected {expected}, found “{cell.text[:40]}”. {answer.hint}".rstrip(". ")


def _as_cell(value: object) -> _Text:
    """See a value of the table as a cell; pandas gives missing values as NaN or NaT, which differ from themselves."""
    if value is None or value != value or (isinstance(value, str) and not value.strip()):
        return _Text("blank", None)
    if isinstance(value, datetime | date):
        day = value.date() if isinstance(value, datetime) else value
        return _Text("date", day, day.isoformat())
    if isinstance(value, bool | str):
        return _Text("bool" if isinstance(value, bool) else "text", value, str(value))
    if isinstance(value, timedelta):
        return _Text("text", str(value), str(value))
    number = float(str(value))
    return _Text("number", number, f"{number:.0f}" if number.is_integer() else repr(number))


def _plain_heading(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "_", name.casefold()).strip("_")


def _table(path: Path) -> DataFrame:
    """Load the list with every text as it was typed; only spreadsheets bring numbers and days of their own."""
    if path.stat().st_size > MAX_BYTES:
        raise BadJobList(f"{path.name} is larger than any job list.")
    if path.suffix.lower() == ".csv":
        return _csv_table(path)
    if path.suffix.lower() in (".xlsx", ".xlsm"):
        return _sheet_table(path)
    raise BadJobList(f"{path.name}: a job list is a .csv or an .xlsx file.")


def _csv_table(path: Path) -> DataFrame:
    import pandas

    text = _decoded(path.read_bytes())
    if "\x00" in text or not text.strip():
        raise BadJobList(f"{path.name} holds no list of text.")
    with warnings.catch_warnings():
        warnings.simplefilter("error", pandas.errors.ParserWarning)  # given when a line is longer than the headings
        try:
            return pandas.read_csv(
                io.StringIO(text),
                sep=_separator(text),
                dtype=str,
                keep_default_na=False,
                skip_blank_lines=False,
                index_col=False,
            )
        except (ValueError, pandas.errors.ParserWarning) as error:
            raise BadJobList(f"{path.name} has lines with more columns than its headings; quote commas.") from error


def _decoded(content: bytes) -> str:
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def _separator(text: str) -> str:
    """Take the separator that the line of headings has most of; a comma where it has none."""
    heading = text.splitlines()[0]
    separators: Sequence[str] = (",", ";", "\t")
    return max(separators, key=heading.count)


def _sheet_table(path: Path) -> DataFrame:
    import pandas

    from railwright.reading.package import open_package

    try:
        open_package(path)
        return pandas.read_excel(path, dtype=object, keep_default_na=False, engine="openpyxl")
    except Unreadable as trouble:
        raise BadJobList(f"{path.name}: {trouble.reason} {trouble.remedy}") from trouble
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise BadJobList(f"{path.name} cannot be read as a list: {error}.") from error
