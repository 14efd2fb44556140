"""Everything that one run writes about one instrument, in one visible list."""

from __future__ import annotations

from pathlib import Path

from railwright.book.model import ShopBook
from railwright.reading.unreadable import Unreadable
from railwright.survey.fields import MAX_SECTIONS
from railwright.writing.instrument_pages import write_instrument_pages
from railwright.writing.places import Places
from railwright.writing.returned import write_asked, write_returned
from railwright.writing.week import Instrument


def write_for_instrument(
    instrument: Instrument, book: ShopBook, places: Places, folder: Path, target: Path
) -> tuple[str, ...]:
    """Write everything that is about one instrument only; nothing else needs to be known for it.

    Args:
        instrument: with all its findings.
        book: the shop book.
        places: where its files lie.
        folder: the input folder; only read.
        target: the output folder, the same for every instrument of a run.

    Returns:
        Sentences about anything that could not be written as it should.

    Raises:
        OSError: something could not be written.
    """
    copies = _copies(instrument, places, folder, target) if instrument.survey else ()
    return (*copies, *write_instrument_pages(instrument, book, places, target))


def remove_for_instrument(instrument: Instrument, places: Places, target: Path) -> None:
    """Remove whatever was written for an instrument before it had to be given up; only when nobody writes any more.

    Args:
        instrument: the instrument.
        places: where its files lie.
        target: the output folder.

    Raises:
        OSError: something could not be removed.
    """
    for path in places.of_instrument(instrument, MAX_SECTIONS):
        (target / path).unlink(missing_ok=True)
    for copy in (target / places.returned(instrument), target / places.asked(instrument)):
        for unfinished in copy.parent.glob(".*.part") if copy.parent.is_dir() else ():
            unfinished.unlink(missing_ok=True)


def _copies(instrument: Instrument, places: Places, folder: Path, target: Path) -> tuple[str, ...]:
    source, returned = folder / instrument.file, target / places.returned(instrument)
    if returned.exists():  # names differ, but not to the disk of the output
        return (
            f"{instrument.file}: no flagged copy was made, because the output has room for one only of two files whose "
            "names differ in nothing but capitals. Rename one of them, and run again.",
        )
    try:
        sentences = write_returned(instrument, source, returned)
        more = write_asked(instrument, source, returned, target / places.asked(instrument))
        sentences = list(dict.fromkeys([*sentences, *more]))
    except Unreadable as trouble:
        sentences = [f"could not be flagged, so no copy was made: {trouble.reason}"]
    except OSError:
        raise
    except Exception as fault:  # told, with its kind, for whoever mends it; the rest of the week is still written
        sentences = [f"could not be flagged, so no copy was made ({type(fault).__name__}: {fault})."]
    return tuple(f"{instrument.file}: {sentence}" for sentence in sentences)
