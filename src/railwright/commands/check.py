"""``railwright check``: the findings of single workbooks, on the terminal only."""

from __future__ import annotations

from pathlib import Path

import click

from railwright.commands.failures import ASKED_FOR, OK, sentences


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option(
    "--shop-book",
    "shop_book",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The shop's own rules and catalogue; without it the default one.",
)
@sentences
def check(files: tuple[Path, ...], shop_book: Path | None) -> int:
    """Show what is wrong or in doubt in survey workbooks FILES, each alone and all together; nothing is written.

    The exit status is 1 when any of them is on hold or to confirm.
    """
    from railwright import one_file, pipeline
    from railwright.commands.book_option import load_book
    from railwright.commands.screen import show_findings

    book, notes = load_book(shop_book)
    for note in notes:
        click.echo(note, err=True)
    different = list(dict.fromkeys(files))
    examined = [one_file.examine(path, path.as_posix(), book) for path in different]
    instruments = pipeline.compared(examined, book)
    for path, instrument in zip(different, instruments, strict=True):
        show_findings(str(path), instrument)
    return ASKED_FOR if any(instrument.state != "release" for instrument in instruments) else OK
