"""Everything that one run writes, in one visible list."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from railwright.reading.unreadable import Unreadable
from railwright.writing.cutting_book import write_cutting_book
from railwright.writing.order_book import write_order_book
from railwright.writing.pages import write_pages
from railwright.writing.results_file import results_text
from railwright.writing.returned import write_returned
from railwright.writing.stock_after import write_stock_after
from railwright.writing.week import Week


def write_outputs(week: Week, folder: Path, target: Path) -> Week:
    """Write every output of a run.

    Args:
        week: the run.
        folder: the input folder that the surveys came from; only read.
        target: an empty folder.

    Returns:
        The run with notes about everything that could not be written as it should.

    Raises:
        OSError: something could not be written.
    """
    notes = tuple(_returned(week, folder, target / "returned"))
    week = replace(week, notes=(*week.notes, *notes))
    write_order_book(week, target / "parts-order.xlsx")
    write_cutting_book(week, target / "cutting-list.xlsx")
    write_stock_after(week, target / "stock-after.xlsx")
    week = replace(week, notes=(*week.notes, *write_pages(week, target)))
    (target / "results.json").write_text(results_text(week), encoding="utf-8", newline="\n")
    return week


def _returned(week: Week, folder: Path, target: Path) -> Iterator[str]:
    target.mkdir()
    for instrument in week.instruments:
        if instrument.survey is not None:
            relative = Path(instrument.file)
            try:
                sentences = write_returned(instrument, folder / relative, target / relative)
            except Unreadable as trouble:
                sentences = [f"could not be flagged, so no copy was made: {trouble.reason}"]
            for sentence in sentences:
                yield f"{instrument.file}: {sentence}"
