"""The sheets and columns of the shop-book workbook, each declared once for its writer and its reader."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from railwright.book.model import HardwareKind, Shape

#: How a cell is read: text; a number above zero; a number that may be zero; a whole number; money; yes or blank.
Kind = Literal["text", "choice", "positive", "not_negative", "whole_positive", "whole_not_negative", "money", "yes"]


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the record's attribute it fills, how its cells are read, and what belongs there.

    A sheet may lack a column that is not ``expected``; its cells then count as blank.
    """

    heading: str
    attribute: str
    kind: Kind
    width: float
    help: str
    required: bool = True
    choices: tuple[str, ...] = ()
    number_format: str = ""
    expected: bool = True


@dataclass(frozen=True, slots=True)
class Table:
    """One sheet of records, with a sentence about it."""

    sheet: str
    about: str
    columns: tuple[Column, ...]


def _may_lack(heading: str, attribute: str, kind: Kind, width: float, help: str, number_format: str = "") -> Column:
    """Declare a column whose cells may be blank and that a sheet may lack."""
    return Column(heading, attribute, kind, width, help, False, number_format=number_format, expected=False)


_ITEM = Column("Item", "item", "text", 12, "The shop's own code; the Stock sheet uses the same.")
_NAME = Column("Name", "name", "text", 40, "What people call it; printed on lists and orders.")

CARRIERS = Table(
    "Carriers",
    "Bars that segments are cut from. Every bar also needs a line on the Stock sheet.",
    (
        _ITEM,
        _NAME,
        Column("Shape", "shape", "choice", 14, "flat, round tube or square tube.", choices=get_args(Shape)),
        Column("Width mm", "width_mm", "positive", 11, "Along the strings.", number_format="0.0##"),
        Column("Height mm", "height_mm", "positive", 11, "Standing up.", number_format="0.0##"),
        Column("Wall mm", "wall_mm", "not_negative", 11, "Of a tube; 0 for a flat.", number_format="0.0##"),
        Column("Modulus GPa", "modulus_gpa", "positive", 13, "Young's modulus of the metal.", number_format="0.0##"),
        Column("Density kg/m3", "density_kg_m3", "positive", 14, "Of the metal.", number_format="0"),
    ),
)

FELTS = Table(
    "Felts",
    "Felt that facing strips are cut from. Every felt also needs a line on the Stock sheet.",
    (
        _ITEM,
        _NAME,
        Column("Thickness mm", "thickness_mm", "positive", 13, "Uncompressed.", number_format="0.0##"),
        Column("Density kg/m3", "density_kg_m3", "positive", 14, "Of the felt.", number_format="0"),
    ),
)

HARDWARE = Table(
    "Hardware",
    "Small parts. The size is a foot's height, a crank's lift, a shim leaf's thickness, a screw's length; 0: none.",
    (
        _ITEM,
        _NAME,
        Column("Kind", "kind", "choice", 16, "What the part does.", choices=get_args(HardwareKind)),
        Column(
            "Size mm", "size_mm", "not_negative", 11, "Height, lift, thickness, length; 0: none.", number_format="0.0##"
        ),
    ),
)

STOCK = Table(
    "Stock",
    "Ways to have an item: bars, sheets and packs to buy, and offcuts on the shelf. Without price: used, not bought.",
    (
        Column("Item", "item", "text", 12, "A code of the Carriers, Felts or Hardware sheet."),
        Column("Length mm", "length_mm", "not_negative", 12, "Of a bar or sheet; 0 for a pack.", number_format="0.0##"),
        Column("Width mm", "width_mm", "not_negative", 12, "Of a felt sheet; 0 otherwise.", number_format="0.0##"),
        Column("Unit", "unit", "choice", 10, "What is counted.", choices=("bar", "sheet", "pieces", "mm", "g")),
        Column("Pack", "pack", "whole_positive", 9, "How many units one purchase brings.", number_format="0"),
        Column(
            "Price", "price", "money", 11, "Of one pack; blank: cannot be bought.", False, number_format="#,##0.00##"
        ),
        Column("On hand", "on_hand", "whole_not_negative", 10, "Units on the shelf.", number_format="0"),
        Column("Offcut", "offcut", "yes", 9, "yes for an offcut on the shelf.", False, choices=("yes",)),
        Column("Rack", "rack", "text", 10, "Where the offcut lies.", False),
        Column("Supplier", "supplier", "text", 16, "Supplier group, for the order's sheets.", False),
        _may_lack("Least packs", "least_packs", "whole_positive", 9, "Fewest packs sold at once; blank: one.", "0"),
        _may_lack("Break at packs", "break_packs", "whole_positive", 9, "From so many packs on each is cheaper.", "0"),
        _may_lack("Break price", "break_price", "money", 11, "Of one pack from the break on.", "#,##0.00##"),
        _may_lack("Same as", "same_as", "text", 18, "Any words; packed items with the same words serve alike."),
    ),
)

TABLES = (CARRIERS, FELTS, HARDWARE, STOCK)

RULES_SHEET = "Rules"
RULES_HEADINGS = ("Group", "Key", "Value", "Unit", "Why")
RULES_WIDTHS = (30, 25, 15, 13, 100)
#: The row of the Rules sheet that carries the shop book's name.
NAME_GROUP, NAME_KEY = "This shop book", "name"
HEADING_ROW = 1
