"""``railwright calibrate``: propose spacing values from wires that were measured at fitting."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from railwright.commands.failures import OK, Stop, sentences

if TYPE_CHECKING:
    from railwright.book.model import ShopBook
    from railwright.computing.calibration import Calibration, Proposal
    from railwright.survey.confirmed import ConfirmedWires


@click.command()
@click.argument(
    "folders",
    nargs=-1,
    required=True,
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    metavar="FOLDER...",
)
@click.option(
    "--shop-book",
    "shop_book",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The shop's own rules; without it the default ones.",
)
@click.option("--json", "as_json", is_flag=True, help="Write the proposal as JSON.")
@sentences
def calibrate(folders: tuple[Path, ...], shop_book: Path | None, as_json: bool) -> int:
    """Propose pitch, its spread, drift and scatter from the wires confirmed at fitting in all surveys of FOLDER.

    The shop book is not changed: whoever keeps it decides.
    """
    from railwright.commands.book_option import load_book
    from railwright.computing.calibration import calibrate as propose
    from railwright.computing.calibration import confirmed_section

    book, notes = load_book(shop_book)
    wires, troubles = _collect(folders)
    for sentence in (*notes, *troubles):
        click.echo(sentence, err=True)
    try:
        found = propose([confirmed_section(each, book) for each in wires], book)
    except ValueError as trouble:
        raise Stop(f"no proposal: {trouble}.") from trouble
    click.echo(_as_json(found, book) if as_json else _as_text(found, wires, book))
    return OK


def _collect(folders: tuple[Path, ...]) -> tuple[list[ConfirmedWires], list[str]]:
    """Read every survey of the folders; what cannot be read is a sentence."""
    from railwright.pipeline import find_files
    from railwright.reading.confirmed_wires import read_confirmed_wires
    from railwright.reading.survey import NotASurvey
    from railwright.reading.unreadable import Unreadable

    wires: list[ConfirmedWires] = []
    troubles: list[str] = []
    for folder in folders:
        for path in find_files(folder)[0]:
            relative = path.relative_to(folder).as_posix()
            try:
                found, unusable = read_confirmed_wires(path, relative)
            except (Unreadable, NotASurvey) as trouble:
                troubles.append(f"{relative}: {trouble.reason} {trouble.remedy}")
                continue
            wires += found
            troubles += unusable
    return wires, troubles


def _as_text(found: Calibration, wires: list[ConfirmedWires], book: ShopBook) -> str:
    lines = [
        f"{found.wires} confirmed wires in {found.sections} sections of {len({each.file for each in wires})} surveys.",
        "",
        f"{'key':<10} {'proposed':>9}   {'give or take':>12}   {book.name} now",
    ]
    lines += [f"{p.key:<10} {p.value:>9.3f}   {p.u:>12.3f}   {p.now:g} {p.unit}{_caution(p)}" for p in found.proposals]
    lines += ["", "Nothing was changed. To use a value, write it into the sheet Rules of the shop book."]
    return "\n".join(lines)


def _caution(proposal: Proposal) -> str:
    """Warn of a spread that the wires measured so far do not tell from none at all."""
    unsure = proposal.key != "pitch" and proposal.value < 2.0 * proposal.u
    return "  (too unsure to use: measure more sections, or to a finer step)" if unsure else ""


def _as_json(found: Calibration, book: ShopBook) -> str:
    proposals = [{"key": p.key, "value": p.value, "u": p.u, "now": p.now, "unit": p.unit} for p in found.proposals]
    facts = {"shop_book": book.name, "sections": found.sections, "wires": found.wires, "proposals": proposals}
    return json.dumps(facts, indent=1)
