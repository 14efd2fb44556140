"""Where each output of a run lies, relative to the output folder, and links between them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePosixPath
from urllib.parse import quote

from railwright.survey.names import safe_names
from railwright.writing.week import Instrument, Week

ORDER_BOOK, STOCK_BOOK, CUTTING_BOOK, CUTTING_PAGE, LABELS_PAGE, WEEK_PAGE = (
    "parts-order.xlsx",
    "stock-after.xlsx",
    "cutting-list.xlsx",
    "cutting-list.html",
    "labels.html",
    "week.html",
)


@dataclass(frozen=True, slots=True)
class Places:
    """File names of a run: ``names`` by survey file, ``technicians`` by name. None of them can leave its folder."""

    names: dict[str, str]
    technicians: dict[str, str]

    def sheet(self, instrument: Instrument) -> str:
        """The shop sheet of an instrument."""
        return f"sheets/{self.names[instrument.file]}.html"

    def fit_card(self, instrument: Instrument) -> str:
        """The fit card of an instrument."""
        return f"fit-cards/{self.names[instrument.file]}.html"

    def drawing(self, instrument: Instrument, section: int) -> str:
        """The drawing of one segment."""
        return f"drawings/{self.names[instrument.file]}-{section}.svg"

    def pattern(self, instrument: Instrument, section: int) -> str:
        """The full-scale pattern of one segment, as one long drawing."""
        return f"patterns/{self.names[instrument.file]}-{section}.svg"

    def patterns(self, instrument: Instrument) -> str:
        """The full-scale patterns of an instrument, as a page of tiles."""
        return f"patterns/{self.names[instrument.file]}.html"

    def questions(self, technician: str) -> str:
        """The question sheet of a technician."""
        return f"questions/{self.technicians[technician]}.html"

    def asked(self, instrument: Instrument) -> str:
        """The copy of a survey in which only the cells to read again are marked, beside its technician's questions."""
        return f"{self.asked_folder(technician_of(instrument))}/{instrument.file}"

    def asked_folder(self, technician: str) -> str:
        """The folder of a technician's copies; no page of questions can have its name."""
        return f"questions/{self.technicians[technician]}-workbooks"

    def returned(self, instrument: Instrument) -> str:
        """The flagged copy of a survey."""
        return f"returned/{instrument.file}"

    def only(self, instrument: Instrument) -> Places:
        """Keep what the places of one instrument need, small enough to travel."""
        whose = technician_of(instrument)
        return Places({instrument.file: self.names[instrument.file]}, {whose: self.technicians[whose]})

    def of_instrument(self, instrument: Instrument, sections: int) -> list[str]:
        """List every file that an instrument with so many sections may have."""
        segments = [self.drawing(instrument, number) for number in range(1, sections + 1)]
        return [
            self.returned(instrument),
            self.asked(instrument),
            self.sheet(instrument),
            self.fit_card(instrument),
            self.patterns(instrument),
            *(self.pattern(instrument, number) for number in range(1, sections + 1)),
            *segments,
            *(str(PurePosixPath(drawing).with_suffix(".dxf")) for drawing in segments),
        ]


def places_of(week: Week) -> Places:
    """Give every output of a run its file name.

    Args:
        week: the run.

    Returns:
        Names that differ even where upper and lower case are one, the same on every run.
    """
    orders = [instrument.order_no for instrument in week.instruments]
    technicians = sorted({technician_of(instrument) for instrument in week.instruments})
    return Places(
        dict(zip((i.file for i in week.instruments), safe_names(orders), strict=True)),
        dict(zip(technicians, safe_names([name.replace(" ", "-") for name in technicians]), strict=True)),
    )


def technician_of(instrument: Instrument) -> str:
    """Name whoever measured, for the question sheets."""
    name = " ".join((instrument.survey.technician or "").split()) if instrument.survey else ""
    return name or "an unnamed technician"


def link(path: str, from_folder: bool = False) -> str:
    """Spell a path below the output folder as a link of a page.

    Args:
        path: a path with forward slashes.
        from_folder: the page lies in one of the output's folders, not beside them.

    Returns:
        A relative link in which every sign that could mean something else is quoted.
    """
    return ("../" if from_folder else "./") + quote(path, safe="/", errors="replace")
