"""Everything that one run writes about all of its instruments together, in one visible list."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from railwright.writing.cutting_book import write_cutting_book
from railwright.writing.order_book import write_order_book
from railwright.writing.pages import write_week_pages
from railwright.writing.results_file import results_pieces
from railwright.writing.stock_after import write_stock_after
from railwright.writing.week import Week


def write_plans(week: Week, target: Path) -> None:
    """Write what is about the plans of a run: order, cutting list, the shelf after. No instrument's files are needed.

    Args:
        week: the run, as planned.
        target: the output folder.

    Raises:
        OSError: something could not be written.
    """
    write_order_book(week, target / "parts-order.xlsx")
    write_cutting_book(week, target / "cutting-list.xlsx")
    write_stock_after(week, target / "stock-after.xlsx")


def write_for_week(week: Week, instruments: Iterable[str], target: Path) -> None:
    """Write what is about the run as a whole, when all its instruments are written.

    Args:
        week: the run.
        instruments: each instrument's part of ``results.json``, in order.
        target: the output folder.

    Raises:
        OSError: something could not be written.
    """
    (target / "returned").mkdir(exist_ok=True)
    write_week_pages(week, target)
    # A file name that is no text is spelled with JSON's own escapes.
    with (target / "results.json").open("w", encoding="utf-8", errors="backslashreplace", newline="\n") as results:
        results.writelines(results_pieces(week, instruments))
