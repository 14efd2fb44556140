"""The sheet "Proof" of the cutting list: what a reader needs to work the bounds out anew, without this tool."""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from railwright.shop.cutting.model import Plan
from railwright.shop.order_model import CuttingSheet
from railwright.shop.proof_tables import ProofTable, proof_tables
from railwright.shop.sheet_lines import Lines
from railwright.shop.sheet_look import add_sheet, headings, print_setup, remark, title, widths
from railwright.writing.proof_words import known_words
from railwright.writing.week import Week

_WIDTHS = (18, 11, 13, 18, 18, 18, 18, 18)
_ABOUT = (
    "Every piece has a weight, a whole number. No bar holds more weight than is told for it, whatever is cut from "
    "it; a knapsack programme shows that. So bars that hold all pieces must hold the weight of all pieces, and every "
    "choice of bars that costs less than the bound holds less, by one of the columns. The same goes for the pieces in "
    "strips and sheets of felt: the first weights say how many strips of each width there must be at least."
)
_SHELF = (
    "Tables headed Shelf are about the whole bars or sheets taken from the shelf: the price of each is then its length "
    "or area, and what is bought is there already."
)


def write_proofs(sheet: Worksheet, week: Week) -> None:
    """Write the sheet.

    Args:
        sheet: an empty sheet.
        week: the run.
    """
    widths(sheet, _WIDTHS)
    title(sheet, 1, "Proof")
    remark(sheet, 2, _ABOUT, len(_WIDTHS))
    remark(sheet, 3, _SHELF, len(_WIDTHS))
    row, lines = 4, Lines(sheet)
    for material in week.cutting:
        row = _write_material(sheet, lines, row + 1, material, week)
    print_setup(sheet, 0, "Proof of the cutting plans", landscape=True)


def _write_material(sheet: Worksheet, lines: Lines, row: int, material: CuttingSheet, week: Week) -> int:
    """Write one material's tables; give the next free row."""
    title(sheet, row, f"{material.item}  {material.name}")
    plan = material.plan
    sentences = [known_words(material, week.book), f"Argument: {plan.certificate.explain()}."]
    if isinstance(plan, Plan):
        sentences.append(f"Saw cut {plan.kerf / 10:g} mm, end trim {plan.trim / 10:g} mm; money by the single bar.")
    for words in sentences:
        row += 1
        remark(sheet, row, words, len(_WIDTHS))
    for table in proof_tables(material):
        row = _write_table(sheet, lines, row + 2, table)
    return row + 1


def _write_table(sheet: Worksheet, lines: Lines, row: int, table: ProofTable) -> int:
    """Write one table; give its last row."""
    remark(sheet, row, table.heading, len(_WIDTHS))
    first_is_words = table.columns[0] == "Sheet mm"  # two figures and a cross
    headings(sheet, row + 1, table.columns, table.columns[1:] if first_is_words else table.columns)
    formats = [_format(heading) for heading in table.columns]
    for number, values in enumerate(table.rows, start=row + 2):
        last = number == row + 1 + len(table.rows)
        lines.add(number, list(zip(values, formats, strict=True)), ruled=last, fitted=False)
    return row + 1 + len(table.rows)


def _format(heading: str) -> str:
    if heading == "Price":
        return "#,##0.00"
    return "0.0" if heading.endswith("mm") else "#,##0"


def add_proofs(workbook_sheet: Worksheet, week: Week) -> None:
    """Add the sheet to the workbook of another one, if there is a plan.

    Args:
        workbook_sheet: any sheet of the workbook.
        week: the run.
    """
    if week.cutting and workbook_sheet.parent is not None:
        write_proofs(add_sheet(workbook_sheet.parent, "Proof"), week)
