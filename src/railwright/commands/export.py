"""``railwright export``: a ledger as tidy tables for other programs."""

from __future__ import annotations

from pathlib import Path
from sqlite3 import Connection

import click

from railwright.commands.failures import OK, Stop, sentences


@click.command()
@click.option(
    "--ledger",
    required=True,
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The ledger that railwright process keeps.",
)
@click.option("-o", "--out", required=True, type=click.Path(path_type=Path), help="Folder to write; made new.")
@click.option(
    "--format", "form", type=click.Choice(["csv", "parquet"]), default="csv", show_default=True, help="Kind of files."
)
@sentences
def export(ledger: Path, out: Path, form: str) -> int:
    """Export surveys, results, findings and order lines as tidy tables, with a dictionary of all columns.

    Writes one file a table to OUT. The ledger is only read.
    """
    from railwright.commands.ask_ledger import read_from
    from railwright.commands.outputs import written_to
    from railwright.reporting.tidy import DICTIONARY, TABLES
    from railwright.writing.csv_files import write_csv
    from railwright.writing.parquet_files import NoParquet, write_parquet

    write = write_csv if form == "csv" else write_parquet
    counts: dict[str, int] = {}

    def tell_all(connection: Connection) -> None:
        def build(target: Path) -> None:
            for table in (*TABLES, DICTIONARY):
                path = target / f"{table.name}.{form}"
                counts[path.name] = write(table.columns, table.rows(connection), path)

        written_to(out, ledger, build, main=f"{DICTIONARY.name}.")

    try:
        read_from(ledger, tell_all)  # once for all tables, so that they are of one moment
    except NoParquet as trouble:
        raise Stop(f"{trouble}.") from trouble
    for name, rows in counts.items():
        click.echo(f"{rows:8d}  {out / name}")
    return OK
