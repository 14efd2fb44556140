"""``railwright shop-book``: the default shop book, ready to edit."""

from __future__ import annotations

from pathlib import Path

import click

from railwright.commands.failures import OK, sentences


@click.command("shop-book")
@click.option(
    "-o", "--output", required=True, type=click.Path(dir_okay=False, path_type=Path), help="Workbook to write (.xlsx)."
)
@click.option("--force", is_flag=True, help="Replace a file that is already there.")
@sentences
def shop_book(output: Path, force: bool) -> int:
    """Write the default shop book, to be edited and given to `process`.

    It holds every rule with its value, unit and reason, and sample carriers, felts, hardware and stock.
    """
    if output.suffix.lower() != ".xlsx":
        raise click.UsageError(
            f"The shop book is an Excel workbook; give it a name that ends in .xlsx, not {output.name}."
        )
    if output.exists() and not force:
        raise click.UsageError(f"{output} is already there; choose another name, or --force to replace it.")
    from railwright.book.default_catalogue import default_shop_book
    from railwright.shop.book_file import write_shop_book

    write_shop_book(output, default_shop_book())
    click.echo(f"Shop book written: {output}")
    return OK
