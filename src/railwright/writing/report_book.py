"""A report as a workbook: a sheet a table, with a chart where a picture says it quicker."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from openpyxl.chart import BarChart, LineChart, Reference
from openpyxl.chart.legend import Legend
from openpyxl.worksheet.worksheet import Worksheet

from railwright.reporting.tables import Kind, Table
from railwright.shop.sheet_look import (
    add_sheet,
    fit_height,
    hairline,
    headings,
    new_workbook,
    print_setup,
    put,
    remark,
    save_workbook,
    title,
    widths,
)
from railwright.writing.order_words import DAY, MONEY

_HEADING_ROW = 4
_FORMATS: dict[Kind, str] = {
    "words": "",
    "day": DAY,
    "count": "#,##0",
    "number": "#,##0.0",
    "share": "0.0 %",
    "money": MONEY,
    "flag": "",
}
#: Characters: the narrowest and the widest column, and what a sheet across the paper holds before print is too small.
_NARROWEST, _WIDEST = 8, 46
_ACROSS = 90
#: Points and hues of the charts, dark enough on white and apart in grey.
_HUES = ("14532D", "C98A00", "8C1D0F", "0B5C7A")
#: So many kinds of slip, the most frequent, are drawn; more names find no room along the foot.
_MOST_KINDS = 10
#: Charts by table: its title, what goes up, and the column of names along the foot with the columns that are drawn.
_CHARTS = {
    "weeks": ("Surveys by state", "surveys", 1, (5, 6, 7), True),
    "lead_times_by_month": ("Days by month", "days", 1, (4, 5), False),
    "slips_by_kind": ("Slips found", "surveys", 1, (2,), True),
}


def write_report_book(tables: Sequence[Table], path: Path) -> None:
    """Write a report; numbers are numbers and days are days, so that they can be sorted and summed.

    Args:
        tables: in the order of the sheets; at least one.
        path: the workbook to write.
    """
    workbook, sheet = new_workbook(tables[0].title, "Report")
    for number, table in enumerate(tables):
        _write_table(sheet if number == 0 else add_sheet(workbook, _sheet_name(table)), table)
    sheet.title = _sheet_name(tables[0])
    save_workbook(workbook, path)


def _sheet_name(table: Table) -> str:
    """Name a sheet after its table, the same every day."""
    words = table.name.replace("_", " ")
    return words[:1].upper() + words[1:]


def _write_table(sheet: Worksheet, table: Table) -> None:
    sizes = _widths(table)
    widths(sheet, sizes)
    title(sheet, 1, table.title)
    remark(sheet, 2, table.about, len(table.columns))
    figures = {column.heading for column in table.columns if column.kind != "words"}
    headings(sheet, _HEADING_ROW, [column.heading for column in table.columns], figures)
    for row, values in enumerate(table.rows, start=_HEADING_ROW + 1):
        for column, (value, shown) in enumerate(zip(values, table.columns, strict=True), start=1):
            put(sheet, row, column, value, _FORMATS[shown.kind] if not isinstance(value, str) else "")
        fit_height(sheet, row)
        hairline(sheet, row, len(table.columns))
    if not table.rows:
        put(sheet, _HEADING_ROW + 1, 1, "None.")
    sheet.freeze_panes = f"B{_HEADING_ROW + 1}"
    print_setup(sheet, _HEADING_ROW, table.title, landscape=sum(sizes) > _ACROSS)
    if table.name in _CHARTS and table.rows:
        _draw(sheet, table)


def _widths(table: Table) -> list[float]:
    return [
        min(_WIDEST, max(_NARROWEST, _heading_width(column.heading), *(_width(row[number]) for row in table.rows), 0))
        for number, column in enumerate(table.columns)
    ]


def _heading_width(heading: str) -> float:
    """A heading may break between words, not within one."""
    return max(len(word) for word in heading.split()) + 3


def _width(value: object) -> float:
    return len(value) + 2 if isinstance(value, str) else 11 if value is not None else 0


def _draw(sheet: Worksheet, table: Table) -> None:
    """Put a chart under the table."""
    heading, up, names, drawn, stacked = _CHARTS[table.name]
    last = _HEADING_ROW + (min(len(table.rows), _MOST_KINDS) if table.name == "slips_by_kind" else len(table.rows))
    chart = BarChart() if stacked else LineChart()
    if isinstance(chart, BarChart):
        chart.type, chart.overlap = "col", 100
        chart.grouping = "stacked"
    for column in drawn:
        chart.add_data(Reference(sheet, min_col=column, min_row=_HEADING_ROW, max_row=last), titles_from_data=True)
    chart.set_categories(Reference(sheet, min_col=names, min_row=_HEADING_ROW + 1, max_row=last))
    for series, hue in zip(chart.series, _HUES, strict=False):
        series.graphicalProperties.solidFill = hue
        series.graphicalProperties.line.solidFill = hue
        series.smooth = False
    chart.title, chart.y_axis.title = heading, up
    chart.y_axis.numFmt, chart.x_axis.number_format = "0", DAY if table.columns[names - 1].kind == "day" else "General"
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.legend = Legend() if len(drawn) > 1 else None
    if chart.legend:
        chart.legend.position = "b"
    chart.width, chart.height = 24, 9
    sheet.add_chart(chart, f"A{_HEADING_ROW + len(table.rows) + 3}")
