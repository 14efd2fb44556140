"""Marks on what is made although a reading of its instrument is still in doubt: plain words on every paper."""

from __future__ import annotations

from collections.abc import Collection

from railwright.shop.cut_lines import order_of
from railwright.writing.week import Instrument, Week

#: Words, so that they survive a grey printer and a photocopy.
TO_CONFIRM = "TO CONFIRM"


def is_unconfirmed(instrument: Instrument) -> bool:
    """Tell whether an instrument is made while something about it is still to confirm."""
    return instrument.made and instrument.state == "confirm"


def unconfirmed_orders(week: Week) -> frozenset[str]:
    """Name the orders that are made unconfirmed."""
    return frozenset(instrument.order_no for instrument in week.instruments if is_unconfirmed(instrument))


def marked_order(order_no: str, unconfirmed: Collection[str]) -> str:
    """Name an order, with the mark where it is unconfirmed."""
    return f"{order_no} {TO_CONFIRM}" if order_no in unconfirmed else order_no


def marked_piece(label: str, unconfirmed: Collection[str]) -> str:
    """Name a piece of the cutting list, with the mark where its order is unconfirmed."""
    return f"{label} {TO_CONFIRM}" if order_of(label) in unconfirmed else label


def unconfirmed_words(week: Week) -> str:
    """Say how many of the instruments that are made are unconfirmed, and which; empty for none."""
    some = sorted(unconfirmed_orders(week))
    count = sum(is_unconfirmed(instrument) for instrument in week.instruments)
    if not count:
        return ""
    made = sum(instrument.made for instrument in week.instruments)
    return f"{count} of {made} {TO_CONFIRM}, a reading is still in doubt: {', '.join(some)}."
