"""``railwright report``: what a ledger tells, as workbook, page and text."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import click

from railwright.commands.failures import OK, sentences
from railwright.commands.ledger_option import folder_to_write, ledger_to_read, ledger_trouble


@click.command()
@ledger_to_read
@folder_to_write
@click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DAY",
    default=None,
    help="Day to reckon ages for, year-month-day; without it today.",
)
@sentences
def report(ledger: Path, out: Path, on: datetime | None) -> int:
    """Report from a ledger: open questions with their age, lead times, yield and rests, slips.

    Writes report.html, report.xlsx and a text file a table to OUT. The ledger is only read.
    """
    from railwright.commands.outputs import written_to
    from railwright.ledger.connection import opened_to_read
    from railwright.reporting.report import report as ask
    from railwright.writing.csv_files import write_csv_files
    from railwright.writing.report_book import write_report_book
    from railwright.writing.report_page import write_report_page

    day = on.date() if on else date.today()
    with ledger_trouble(), opened_to_read(ledger) as connection:
        tables = ask(connection, day)

    def build(target: Path) -> None:
        write_report_book(tables, day, target / "report.xlsx")
        write_report_page(tables, ledger.name, day, target / "report.html")
        write_csv_files(tables, target / "csv")

    written_to(out, ledger, build, main="report.html")
    click.echo(f"Report on {day.isoformat()}:")
    for table in tables:
        click.echo(f"  {len(table.rows):6d}  {table.title}")
    click.echo(f"Open {out / 'report.html'} next.")
    return OK
