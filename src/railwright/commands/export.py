"""``railwright export``: a ledger as tidy tables for other programs."""

from __future__ import annotations

from pathlib import Path

import click

from railwright.commands.failures import OK, Stop, sentences
from railwright.commands.ledger_option import folder_to_write, ledger_to_read, ledger_trouble


@click.command()
@ledger_to_read
@folder_to_write
@click.option(
    "--format", "form", type=click.Choice(["csv", "parquet"]), default="csv", show_default=True, help="Kind of files."
)
@sentences
def export(ledger: Path, out: Path, form: str) -> int:
    """Export surveys, results, findings and order lines as tidy tables, with a dictionary of all columns.

    Writes one file a table to OUT. The ledger is only read.
    """
    from railwright.commands.outputs import written_to
    from railwright.ledger.connection import opened_to_read
    from railwright.reporting.tidy import DICTIONARY, TABLES
    from railwright.writing.csv_files import write_csv
    from railwright.writing.parquet_files import NoParquet, write_parquet

    write = write_csv if form == "csv" else write_parquet
    counts: dict[str, int] = {}

    try:
        # opened once for all tables, so that they are of one moment
        with ledger_trouble(), opened_to_read(ledger) as connection:

            def build(target: Path) -> None:
                for table in (*TABLES, DICTIONARY):
                    path = target / f"{table.name}.{form}"
                    counts[path.name] = write(table.columns, table.rows(connection), path)

            written_to(out, ledger, build, main=f"{DICTIONARY.name}.")
    except NoParquet as trouble:
        raise Stop(f"{trouble}.") from trouble
    for name, rows in counts.items():
        click.echo(f"{rows:8d}  {out / name}")
    return OK
