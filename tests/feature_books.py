"""Workbooks with each thing that technicians and office programs put into them, for tests of flagged copies.

``BOOKS`` maps a feature to a function that gives the file. All have the sheets ``S 1`` and ``Other``; cell B2 of
``S 1`` holds a reading in an input cell with a yellow fill, and C2 is blank. The parts of the features are what a
flagged copy must carry over untouched, so most are opaque bytes behind the links and content types of real files.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable

import openpyxl
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.styles import PatternFill
from openpyxl.worksheet.datavalidation import DataValidation

from workbook_kit import MAIN, REL, STRICT, TYPES, book_parts, relationships, sheet_xml, zipped

ROWS = (
    '<row r="1" spans="1:3"><c r="A1" t="inlineStr"><is><t>Span</t></is></c></row>'
    '<row r="2" spans="1:2"><c r="A2" t="s"><v>0</v></c><c r="B2" s="2"><v>308.5</v></c></row>'
    '<row r="7"><c r="B7" s="2"/></row>'
)
OTHER = sheet_xml('<row r="1"><c r="A1"><f>\'S 1\'!B2*2</f><v>617</v></c></row>')
OPAQUE = bytes(range(256)) * 30
COMMENTS_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
OFFICE = "http://schemas.microsoft.com/office"

COMMENTS = (
    f'<comments xmlns="{MAIN}"><authors><author>A. Technician</author></authors><commentList>'
    '<comment ref="B2" authorId="0"><text><r><rPr><b/><sz val="9"/></rPr><t>A. Technician:</t></r>'
    '<r><t xml:space="preserve">\nread twice</t></r></text></comment></commentList></comments>'
)
# As spreadsheet programs write it: the line break inside the button text is not closed, so this is no XML.
VML = (
    '<xml xmlns:v="urn:schemas-microsoft-com:vml" xmlns:o="urn:schemas-microsoft-com:office:office" '
    'xmlns:x="urn:schemas-microsoft-com:office:excel"><o:shapelayout v:ext="edit"><o:idmap v:ext="edit" data="3"/>'
    '</o:shapelayout><v:shapetype id="_x0000_t202" o:spt="202"/><v:shape id="_x0000_s3073" type="#_x0000_t202" '
    'style="position:absolute"><x:ClientData ObjectType="Note"><x:Anchor>2, 15, 0, 10, 4, 15, 4, 4</x:Anchor>'
    "<x:Row>1</x:Row><x:Column>1</x:Column></x:ClientData></v:shape>"
    '<v:shape id="_x0000_s3074" type="#_x0000_t201"><v:textbox><div><font>Check<br>me</font></div></v:textbox>'
    '<x:ClientData ObjectType="Button"><x:Anchor>6, 0, 6, 0, 8, 0, 8, 0</x:Anchor></x:ClientData></v:shape></xml>'
)


def base(rows: str = ROWS, before: str = "", after: str = "", **more: object) -> dict[str, str | bytes]:
    """Write the parts that all the books share."""
    sheet = sheet_xml(rows, '<dimension ref="A1:B7"/>' + before, after)
    return book_parts({"S 1": sheet, "Other": OTHER}, strings="<si><t>Length</t></si>", **more)  # type: ignore[arg-type]


def attach(parts: dict[str, str | bytes], links: dict[str, tuple[str, str]], **content: str | bytes) -> bytes:
    """Add parts that the sheet links to; underscores in their names stand for strokes, double ones for a point."""
    parts["xl/worksheets/_rels/sheet1.xml.rels"] = relationships(links)
    for name, value in content.items():
        parts[name.replace("__", ".").replace("_", "/")] = value
    return zipped(parts)


def declared(parts: dict[str, str | bytes], name: str, kind: str) -> dict[str, str | bytes]:
    """State the content type of a part."""
    override = f'<Override PartName="/{name}" ContentType="{kind}"/></Types>'
    parts["[Content_Types].xml"] = str(parts["[Content_Types].xml"]).replace("</Types>", override)
    return parts


def plain() -> bytes:
    """Nothing special."""
    return zipped(base())


def photo() -> bytes:
    """A photo and a text box on a drawing."""
    parts = base(after='<drawing r:id="rId1"/>')
    parts["xl/drawings/_rels/drawing1.xml.rels"] = relationships({"rId1": ("image", "../media/image1.jpeg")})
    return attach(
        parts,
        {"rId1": ("drawing", "../drawings/drawing1.xml")},
        xl_drawings_drawing1__xml="<textbox/>",
        xl_media_image1__jpeg=OPAQUE,
    )


def notes() -> bytes:
    """A note of the technician, and a button, on a drawing in the old language."""
    parts = declared(base(after='<legacyDrawing r:id="rId2"/>'), "xl/comments1.xml", COMMENTS_TYPE)
    links = {"rId1": ("comments", "../comments1.xml"), "rId2": ("vmlDrawing", "../drawings/vmlDrawing1.vml")}
    return attach(parts, links, xl_comments1__xml=COMMENTS, xl_drawings_vmlDrawing1__vml=VML.encode())


def notes_without_boxes() -> bytes:
    """A note as programs that draw no box write it."""
    parts = declared(base(), "xl/comments1.xml", COMMENTS_TYPE)
    return attach(parts, {"rId1": ("comments", "../comments1.xml")}, xl_comments1__xml=COMMENTS)


def conversation() -> bytes:
    """A conversation on B2, with the note that stands in for it in older programs."""
    parts = declared(base(after='<legacyDrawing r:id="rId2"/>'), "xl/comments1.xml", COMMENTS_TYPE)
    namespace = f"{OFFICE}/spreadsheetml/2018/threadedcomments"
    thread = f'<ThreadedComments xmlns="{namespace}"><threadedComment ref="B2"/></ThreadedComments>'
    links = {
        "rId1": ("comments", "../comments1.xml"),
        "rId2": ("vmlDrawing", "../drawings/vmlDrawing1.vml"),
        "rId3": (f"{OFFICE}/2017/10/relationships/threadedComment", "../threadedComments/threadedComment1.xml"),
    }
    return attach(
        parts, links, xl_comments1__xml=COMMENTS, xl_drawings_vmlDrawing1__vml=VML.encode(),
        xl_threadedComments_threadedComment1__xml=thread, xl_persons_person__xml="<personList/>",
    )  # fmt: skip


def form_controls() -> bytes:
    """Form controls, with the wrapper that newer programs put around them."""
    after = (
        '<legacyDrawing r:id="rId2"/>'
        '<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006">'
        '<mc:Choice Requires="x14"><controls/></mc:Choice></mc:AlternateContent><tableParts count="0"/><extLst/>'
    )
    links = {"rId2": ("vmlDrawing", "../drawings/vmlDrawing1.vml"), "rId3": ("ctrlProp", "../ctrlProps/ctrlProp1.xml")}
    return attach(
        base(after=after),
        links,
        xl_drawings_vmlDrawing1__vml=VML.encode(),
        xl_ctrlProps_ctrlProp1__xml="<formControlPr/>",
    )


def printing() -> bytes:
    """Printer settings, header, page breaks, and everything else that stands behind the cells of a sheet."""
    after = (
        '<sheetProtection sheet="1" objects="1"/><mergeCells count="1"><mergeCell ref="D1:F1"/></mergeCells>'
        '<conditionalFormatting sqref="B2"><cfRule type="expression" dxfId="0" priority="1">'
        "<formula>B2&gt;9</formula></cfRule>"
        '</conditionalFormatting><dataValidations count="1"><dataValidation type="list" sqref="B7">'
        '<formula1>"yes,no"</formula1></dataValidation></dataValidations>'
        '<pageMargins left="1" right="1" top="1" bottom="1" header="0" footer="0"/>'
        '<pageSetup orientation="portrait" r:id="rId1"/><headerFooter><oddHeader>&amp;LSurvey</oddHeader>'
        '</headerFooter><rowBreaks count="1" manualBreakCount="1"><brk id="20" man="1"/></rowBreaks>'
        '<legacyDrawingHF r:id="rId2"/>'
    )
    links = {
        "rId1": ("printerSettings", "../printerSettings/printerSettings1.bin"),
        "rId2": ("vmlDrawing", "../drawings/vmlDrawing9.vml"),
    }
    return attach(
        base(after=after),
        links,
        xl_printerSettings_printerSettings1__bin=OPAQUE,
        xl_drawings_vmlDrawing9__vml=VML.encode(),
    )


def macros() -> bytes:
    """A macro project; the type of the workbook part says so."""
    parts = base()
    parts["[Content_Types].xml"] = str(parts["[Content_Types].xml"]).replace(
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml",
        "application/vnd.ms-excel.sheet.macroEnabled.main+xml",
    )
    parts["xl/vbaProject.bin"] = OPAQUE
    links = str(parts["xl/_rels/workbook.xml.rels"])
    vba = f'<Relationship Id="rId99" Type="{OFFICE}/2006/relationships/vbaProject" Target="vbaProject.bin"/>'
    parts["xl/_rels/workbook.xml.rels"] = links.replace("</Relationships>", vba + "</Relationships>")
    return zipped(parts)


def custom_xml() -> bytes:
    """Custom XML, an external link, a calculation chain, and a member with a name outside ASCII."""
    parts = base()
    parts |= {
        "customXml/item1.xml": "<a/>",
        "xl/externalLinks/externalLink1.xml": "<x/>",
        "xl/calcChain.xml": "<c/>",
        "docs/Maß.txt": b"mm",
    }
    return zipped(parts)


def signed() -> bytes:
    """A digital signature over the package."""
    parts = base()
    kind = "http://schemas.openxmlformats.org/package/2006/relationships/digital-signature/origin"
    parts["_rels/.rels"] = relationships(
        {"rId1": ("officeDocument", "xl/workbook.xml"), "rId2": (kind, "_xmlsignatures/origin.sigs")}
    )
    parts |= {"_xmlsignatures/origin.sigs": b"", "_xmlsignatures/sig1.xml": "<Signature/>"}
    return zipped(parts)


def strict() -> bytes:
    """The strict form of the format."""
    return zipped({
        name: text.replace(MAIN, STRICT).replace(REL, "http://purl.oclc.org/ooxml/officeDocument/relationships")
        if isinstance(text, str) and TYPES not in text
        else text
        for name, text in base().items()
    })  # fmt: skip


def other_prefix() -> bytes:
    """Another prefix for the spreadsheet namespace, and absolute targets of links."""
    parts = base()
    for name in ("xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/workbook.xml", "xl/sharedStrings.xml"):
        text = str(parts[name]).replace("</", "</x:").replace(f'xmlns="{MAIN}"', f'xmlns:x="{MAIN}"')
        parts[name] = "".join(f"<{'' if piece[0] == '/' else 'x:'}{piece}" for piece in text.split("<")[1:])
    parts["xl/_rels/workbook.xml.rels"] = str(parts["xl/_rels/workbook.xml.rels"]).replace('Target="', 'Target="/xl/')
    return zipped(parts)


def no_styles() -> bytes:
    """No styles part at all."""
    return zipped(base(styles=""))


def counted_addresses() -> bytes:
    """No address on any row or cell."""
    rows = (
        '<row><c t="inlineStr"><is><t>Span</t></is></c></row><row><c/><c s="2"><v>308.5</v></c></row>'
        "<row><c><v>3</v></c></row>"
    )
    return zipped(base(rows=rows))


class _Stream(io.BytesIO):
    """A target that cannot go back, such as a web server's answer."""

    def seekable(self) -> bool:
        """Say so."""
        return False

    def seek(self, *_: int) -> int:
        """Refuse."""
        raise io.UnsupportedOperation

    def tell(self) -> int:
        """Refuse."""
        raise io.UnsupportedOperation


def streamed() -> bytes:
    """Written in one go: the sizes of members stand behind their content."""
    out = _Stream()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in base().items():
            archive.writestr(name, content)
    return out.getvalue()


def wide_sizes() -> bytes:
    """The fields for large archives, which some programs write into small ones too."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in base().items():
            with archive.open(zipfile.ZipInfo(name), "w", force_zip64=True) as member:
                member.write(content.encode() if isinstance(content, str) else content)
    return out.getvalue()


def utf_16() -> bytes:
    """Parts in UTF-16, the other encoding that the format allows."""
    parts = base()
    for name in ("xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml"):
        parts[name] = ('<?xml version="1.0" encoding="UTF-16"?>' + str(parts[name])).encode("utf-16")
    return zipped(parts)


def by_openpyxl() -> bytes:
    """Saved by openpyxl, with a chart, a dropdown, a note and a picture-less drawing."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "S 1"
    other = book.create_sheet("Other")
    sheet["A1"], sheet["B2"], other["A1"] = "Span", 308.5, "='S 1'!B2*2"
    sheet["B2"].fill = PatternFill("solid", fgColor="FFFFFF99")
    sheet["B7"].comment = Comment("left by hand", "A. Technician")
    choice = DataValidation(type="list", formula1='"yes,no"')
    choice.add("B7")
    sheet.add_data_validation(choice)
    chart = BarChart()
    chart.add_data(Reference(sheet, min_col=2, min_row=1, max_row=7))
    other.add_chart(chart, "C3")
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


BOOKS: dict[str, Callable[[], bytes]] = {
    function.__name__.replace("_", "-"): function
    for function in (
        plain, photo, notes, notes_without_boxes, conversation, form_controls, printing, macros, custom_xml, signed,
        strict, other_prefix, no_styles, counted_addresses, streamed, wide_sizes, utf_16, by_openpyxl,
    )
}  # fmt: skip
