"""``railwright ledger``: look into the ledger, and tell it what happened between two weeks."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import click

from railwright.commands.failures import OK, USAGE, Stop, sentences

_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.group()
def ledger() -> None:
    """Look into the ledger, and tell it what happened: deliveries, cancelled orders."""


@ledger.command()
@click.argument("file", type=_FILE)
@sentences
def show(file: Path) -> int:
    """Show the runs, what is on the way, and the shelf of the ledger FILE. It is only read."""
    from railwright.commands.ledger_option import ledger_trouble
    from railwright.commands.ledger_screen import show_ledger
    from railwright.ledger.connection import opened_to_read

    with ledger_trouble(), opened_to_read(file) as connection:
        show_ledger(connection)
    return OK


@ledger.command()
@click.argument("file", type=_FILE)
@click.argument("runs", type=int, nargs=-1, required=True)
@click.option("--item", "items", multiple=True, metavar="ITEM[=AMOUNT]", help="Only this item, or so much of it.")
@sentences
def delivered(file: Path, runs: tuple[int, ...], items: tuple[str, ...]) -> int:
    """Say that what the runs number RUNS ordered has come; it is on the shelf from then on."""
    from railwright.ledger.orders import delivered as entered

    return _told(file, lambda connection: entered(connection, runs, _amounts(items)))


@ledger.command("not-coming")
@click.argument("file", type=_FILE)
@click.argument("runs", type=int, nargs=-1, required=True)
@click.option("--item", "items", multiple=True, metavar="ITEM[=AMOUNT]", help="Only this item, or so much of it.")
@sentences
def not_coming(file: Path, runs: tuple[int, ...], items: tuple[str, ...]) -> int:
    """Say that what the runs number RUNS ordered will not come, and that no instrument counts on it."""
    from railwright.ledger.orders import not_coming as entered

    return _told(file, lambda connection: entered(connection, runs, _amounts(items)))


@ledger.command()
@click.argument("file", type=_FILE)
@click.argument("orders", nargs=-1, required=True, metavar="ORDER_NO...")
@sentences
def cancel(file: Path, orders: tuple[str, ...]) -> int:
    """Say that the orders ORDER_NO are cancelled; what can be used again goes back to the shelf."""
    from railwright.ledger.orders import cancel as entered

    return _told(file, lambda connection: entered(connection, orders))


@ledger.command()
@click.argument("file", type=_FILE)
@click.argument("orders", nargs=-1, required=True, metavar="ORDER_NO...")
@sentences
def resume(file: Path, orders: tuple[str, ...]) -> int:
    """Take cancelled orders up again."""
    from railwright.ledger.orders import resume as entered

    return _told(file, lambda connection: entered(connection, orders))


@ledger.command()
@click.argument("file", type=_FILE)
@click.argument("run", type=int)
@sentences
def withdraw(file: Path, run: int) -> int:
    """Take the last run back, of which nothing has been ordered or cut yet."""
    from railwright.ledger.orders import withdraw as entered

    return _told(file, lambda connection: entered(connection, run))


@ledger.command()
@click.argument("file", type=_FILE)
@click.option("--stands/--gone", required=True, help="Whether its output folder was written.")
@sentences
def settle(file: Path, stands: bool) -> int:
    """Say what became of a run that was broken off on a machine that cannot be asked."""
    from railwright.commands.ledger_option import ledger_trouble
    from railwright.ledger.connection import opened
    from railwright.ledger.entries import settle as entered

    with ledger_trouble(), opened(file, tell=_say) as connection:
        entered(connection, lambda out, token, here: stands, click.echo)
    return OK


def _told(file: Path, enter: Callable[[sqlite3.Connection], list[str]]) -> int:
    """Enter something in one transaction, and say what was entered."""
    from railwright.commands.ledger_option import ledger_at
    from railwright.ledger.connection import transaction
    from railwright.ledger.orders import CannotBe

    try:
        with ledger_at(file, _say) as connection, transaction(connection, tell=_say):
            told = enter(connection)
    except CannotBe as trouble:
        raise Stop(f"{trouble}. Nothing was changed.") from trouble
    for sentence in told:
        click.echo(sentence)
    return OK


def _say(sentence: str) -> None:
    click.echo(sentence, err=True)


def _amounts(items: tuple[str, ...]) -> dict[str, int | None]:
    amounts: dict[str, int | None] = {}
    for written in items:
        item, given, amount = written.partition("=")
        if given and not (amount.isdecimal() and int(amount)):
            raise Stop(f"{written}: expected an item, or an item and a whole number above 0, such as HF-10=20.", USAGE)
        amounts[item] = int(amount) if given else None
    return amounts
