"""A report as a workbook: a sheet a table, and charts where a picture says it quicker."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from openpyxl.chart import BarChart, LineChart, Reference
from openpyxl.chart.legend import Legend
from openpyxl.chart.shapes import GraphicalProperties
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
    title,
    widths,
)
from railwright.shop.workbook_file import save_workbook
from railwright.writing.order_words import DAY, MONEY

_HEADING_ROW = 4
_FORMATS: dict[Kind, str] = {
    "words": "",
    "day": DAY,
    "count": "#,##0",
    "number": "#,##0.0##",
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
#: Rows of a sheet that a chart takes up.
_CHART_ROWS = 20
#: Charts by table: its title, what goes up, and the column of names along the foot with the columns that are drawn.
_CHARTS = {
    "weeks": ("Surveys by run and state", "surveys", 1, (5, 6, 7), True),
    "lead_times_by_month": ("Middle days by month", "days", 1, (4, 5), False),
    "slips_by_kind": ("Slips found most often", "surveys", 1, (2,), True),
}


def write_report_book(tables: Sequence[Table], on: date, path: Path) -> None:
    """Write a report; numbers are numbers and days are days, so that they can be sorted and summed.

    Args:
        tables: in the order of the sheets; at least one. Charts come last, on a sheet of their own.
        on: the day of the report.
        path: the workbook to write.
    """
    workbook, sheet = new_workbook(tables[0].title, "Report")
    drawn = []
    for number, table in enumerate(tables):
        sheet = sheet if number == 0 else add_sheet(workbook, table.title)
        _write_table(sheet, table, on)
        if table.name in _CHARTS and table.rows:
            drawn.append(_chart(sheet, table))
    if drawn:
        _write_charts(add_sheet(workbook, "Charts"), drawn, on)
    save_workbook(workbook, path)


def _write_charts(sheet: Worksheet, charts: Sequence[BarChart | LineChart], on: date) -> None:
    title(sheet, 1, "Charts")
    for number, chart in enumerate(charts):
        sheet.add_chart(chart, f"A{3 + _CHART_ROWS * number}")
    print_setup(sheet, 0, _foot("Charts", on))


def _foot(words: str, on: date) -> str:
    return f"{words}, report on {on.isoformat()}"


def _write_table(sheet: Worksheet, table: Table, on: date) -> None:
    sizes = _widths(table)
    widths(sheet, sizes)
    title(sheet, 1, table.title)
    remark(sheet, 2, f"Report on {on.isoformat()}. {table.about}", len(table.columns))
    if explained := table.explained:
        remark(sheet, 3, explained, len(table.columns))
    figures = {column.heading for column in table.columns if column.kind != "words"}
    headings(sheet, _HEADING_ROW, [column.heading for column in table.columns], figures)
    fit_height(sheet, _HEADING_ROW)
    for row, values in enumerate(table.rows, start=_HEADING_ROW + 1):
        for column, (value, shown) in enumerate(zip(values, table.columns, strict=True), start=1):
            put(sheet, row, column, value, _FORMATS[shown.kind] if not isinstance(value, str) else "")
        fit_height(sheet, row)
        hairline(sheet, row, len(table.columns))
    if not table.rows:
        put(sheet, _HEADING_ROW + 1, 1, "None.")
    sheet.freeze_panes = f"B{_HEADING_ROW + 1}"
    print_setup(sheet, _HEADING_ROW, _foot(table.title, on), landscape=sum(sizes) > _ACROSS)


def _widths(table: Table) -> list[float]:
    return [
        min(_WIDEST, max(_NARROWEST, _heading_width(column.heading), *(_width(row[number]) for row in table.rows), 0))
        for number, column in enumerate(table.columns)
    ]


def _heading_width(heading: str) -> float:
    """A heading may break between words, not within one, and into three lines at most."""
    return max(*(len(word) for word in heading.split()), math.ceil(len(heading) / 3)) + 4


def _width(value: object) -> float:
    return len(value) + 2 if isinstance(value, str) else 11 if value is not None else 0


def _chart(sheet: Worksheet, table: Table) -> BarChart | LineChart:
    """Draw what stands in the sheet of a table."""
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
        if isinstance(chart, LineChart):  # a single month is a point, which a line alone does not show
            series.marker.symbol, series.marker.size = "circle", 7
            series.marker.graphicalProperties = GraphicalProperties(solidFill=hue)
    chart.title, chart.y_axis.title = heading, up
    chart.y_axis.numFmt, chart.x_axis.number_format = "0", DAY if table.columns[names - 1].kind == "day" else "General"
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.legend = Legend() if len(drawn) > 1 else None
    if chart.legend:
        chart.legend.position = "b"
    chart.width, chart.height = 24, 9
    return chart
