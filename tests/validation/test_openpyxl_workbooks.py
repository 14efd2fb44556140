"""Reading and schema order against openpyxl, an independent library for the same format.

openpyxl 3.1 keeps its own lists of the children that ISO/IEC 29500-1 puts in order, and writes the same cells.
"""

from __future__ import annotations

import io
from datetime import date, datetime, time

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.comments import Comment
from openpyxl.drawing.image import Image
from openpyxl.formatting.rule import FormulaRule
from openpyxl.packaging.workbook import WorkbookPackage
from openpyxl.styles.stylesheet import Stylesheet
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.table import Table
from PIL import Image as Drawing

from railwright.reading.workbook import read_workbook
from railwright.writing.patching import styles, workbook_draft
from railwright.writing.patching.sheet_draft import WORKSHEET_ORDER
from workbook_kit import members, saved

TEXT = st.text(st.characters(codec="utf-8"), min_size=1, max_size=30).filter(
    lambda text: not ILLEGAL_CHARACTERS_RE.search(text) and text[0] != "=" and "_x" not in text and "\r" not in text
)
NUMBERS = st.integers(-(10**9), 10**9) | st.floats(-1e300, 1e300)
DAYS = st.dates(date(1900, 3, 1), date(9999, 12, 31))
MOMENTS = st.datetimes(datetime(1900, 3, 1), datetime(9999, 12, 30)).map(lambda moment: moment.replace(microsecond=0))


def packed(book: openpyxl.Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_children_of_workbook_and_styles_stand_in_the_same_order():
    assert (*WorkbookPackage.__elements__, "extLst") == workbook_draft._ORDER
    assert (*Stylesheet.__elements__, "extLst") == styles._ORDER


def test_children_of_a_sheet_stand_in_the_order_in_which_openpyxl_writes_them(tmp_path):
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["a", "b"])
    sheet.append(["1", "2"])
    sheet.column_dimensions["A"].width = 20
    sheet.protection.sheet = True
    sheet.auto_filter.ref = "D1:E2"
    sheet.merge_cells("G1:H1")
    sheet.conditional_formatting.add("A1", FormulaRule(["A1>1"]))
    sheet.add_data_validation(DataValidation(type="list", formula1='"a,b"', sqref="A9"))
    sheet["A5"].hyperlink = "#A1"
    sheet.print_options.gridLines = True
    sheet.oddHeader.left.text = "x"
    sheet.row_breaks.append(Break(5))
    sheet.col_breaks.append(Break(5))
    picture = io.BytesIO()
    Drawing.new("RGB", (4, 4)).save(picture, "PNG")
    sheet.add_image(Image(picture), "J9")
    sheet["A2"].comment = Comment("x", "y")
    sheet.add_table(Table(displayName="T", ref="A1:B2"))
    parts = members(saved(tmp_path, packed(book)))
    names = [etree.QName(child).localname for child in etree.fromstring(parts["xl/worksheets/sheet1.xml"])]
    assert len(set(names)) > 18
    places = [WORKSHEET_ORDER.index(name) for name in names]
    assert places == sorted(places)


@settings(max_examples=25, deadline=None)
@given(st.lists(TEXT | NUMBERS | st.booleans() | DAYS | MOMENTS | st.none(), min_size=1, max_size=12))
def test_cells_that_openpyxl_writes_are_read_as_they_were(tmp_path_factory, values):
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "It's"
    for row, value in enumerate(values, 1):
        sheet.cell(row, 2, value)
        book.defined_names[f"n_{row}"] = DefinedName(f"n_{row}", attr_text=f"'It''s'!$B${row}")
    found = read_workbook(saved(tmp_path_factory.mktemp("book"), packed(book)))
    for row, value in enumerate(values, 1):
        target = found.names[f"n_{row}"]
        read = found.cell(target.sheet, target.cell).value
        if isinstance(value, datetime):
            value = value.date() if value.time() == time() else value
        # openpyxl writes 16 figures of a number, one less than tell all doubles apart.
        assert read == (pytest.approx(value, rel=1e-15, abs=0) if type(value) is float else value)
        assert isinstance(read, bool) == isinstance(value, bool)
