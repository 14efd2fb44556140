"""OpenDocument spreadsheets for tests, written element by element."""

from __future__ import annotations

import io
import zipfile

SPACES = " ".join(
    f'xmlns:{prefix}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for prefix, name in (
        ("office", "office"), ("table", "table"), ("text", "text"), ("style", "style"), ("fo", "xsl-fo-compatible"),
        ("svg", "svg-compatible"),
    )
)  # fmt: skip
MORE = (
    'xmlns:dc="http://purl.org/dc/elements/1.1/" '
    'xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
)
MIMETYPE = b"application/vnd.oasis.opendocument.spreadsheet"
_ENTRIES = (
    ("/", MIMETYPE.decode()),
    ("content.xml", "text/xml"),
    ("styles.xml", "text/xml"),
    ("Pictures/photo.jpg", ""),
)
MANIFEST = (
    '<m:manifest xmlns:m="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" m:version="1.2">'
    + "".join(f'<m:file-entry m:full-path="{path}" m:media-type="{kind}"/>' for path, kind in _ENTRIES)
    + "</m:manifest>"
).encode()

STYLES = (
    '<style:style style:name="ta9" style:family="table"><style:table-properties table:display="false"/></style:style>'
    '<style:style style:name="ce1" style:family="table-cell" style:parent-style-name="Default">'
    '<style:table-cell-properties fo:background-color="#ffff99" style:cell-protect="none"/></style:style>'
)


def content(tables: str, names: str = "", styles: str = STYLES) -> str:
    """Write the content part around its tables."""
    named = f"<table:named-expressions>{names}</table:named-expressions>" if names else ""
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {SPACES} {MORE} office:version="1.2">'
        f"<office:automatic-styles>{styles}</office:automatic-styles><office:body><office:spreadsheet>{tables}{named}"
        "<table:database-ranges/></office:spreadsheet></office:body></office:document-content>"
    )


def table(rows: str, name: str = "S 1", more: str = "") -> str:
    """Write one sheet."""
    return f'<table:table table:name="{name}"{more}>{rows}</table:table>'


def row(*cells: str, repeated: int = 1) -> str:
    """Write one row."""
    count = f' table:number-rows-repeated="{repeated}"' if repeated > 1 else ""
    return f"<table:table-row{count}>{''.join(cells)}</table:table-row>"


def text(*lines: str) -> str:
    """Write a cell with text."""
    paragraphs = "".join(f"<text:p>{line}</text:p>" for line in lines)
    return f'<table:table-cell office:value-type="string">{paragraphs}</table:table-cell>'


def number(value: str, style: str = "") -> str:
    """Write a cell with a number."""
    named = f' table:style-name="{style}"' if style else ""
    return (
        f'<table:table-cell{named} office:value-type="float" office:value="{value}"><text:p>{value}</text:p>'
        "</table:table-cell>"
    )


def gap(columns: int, style: str = "") -> str:
    """Write a run of blank cells."""
    named = f' table:style-name="{style}"' if style else ""
    return f'<table:table-cell{named} table:number-columns-repeated="{columns}"/>'


def packed(part: str | bytes, **more: bytes) -> bytes:
    """Pack the content with what belongs to it; the kind of the file comes first, and is not compressed."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", MIMETYPE, zipfile.ZIP_STORED)
        archive.writestr("content.xml", part)
        archive.writestr("styles.xml", f'<office:document-styles {SPACES} office:version="1.2"/>')
        archive.writestr("Pictures/photo.jpg", bytes(range(256)) * 20)
        archive.writestr("META-INF/manifest.xml", more.get("manifest", MANIFEST))
        for name in more.keys() - {"manifest"}:
            archive.writestr(name.replace("__", "."), more[name])
    return out.getvalue()


def survey() -> bytes:
    """Give a small survey: a span in B2, a blank input in B7, a run of blank rows, and a second sheet."""
    rows = (
        row(text("Span"), gap(1023))
        + row(text("Length"), number("308.5", "ce1"), gap(1022))
        + row(gap(1024), repeated=4)
        + row(gap(1), gap(1, "ce1"), gap(1022))
        + row(gap(1024), repeated=1_048_569)
    )
    names = (
        '<table:named-range table:name="s1_span" table:base-cell-address="$\'S 1\'.$A$1" '
        "table:cell-range-address=\"$'S 1'.$B$2\"/>"
    )
    return packed(content(table(rows) + table(row(number("617")), "Other"), names))


#: A point of one colour.
PICTURE = "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="


def flat() -> str:
    """Write a survey as one XML file, from which an office program makes any format of its own.

    It has a text box, a picture, a check box and a note on ``S 1``, and a formula on ``Other``.
    """
    spaces = f'{SPACES} xmlns:draw="urn:oasis:names:tc:opendocument:xmlns:drawing:1.0" xmlns:form="urn:oasis:names:tc:'
    spaces += 'opendocument:xmlns:form:1.0" xmlns:dc="http://purl.org/dc/elements/1.1/"'
    place = 'svg:width="4cm" svg:height="1cm" svg:x="9cm" svg:y='
    box = f'<draw:frame {place}"1cm"><draw:text-box><text:p>Read from the tail.</text:p></draw:text-box></draw:frame>'
    picture = f'<draw:frame {place}"3cm"><draw:image><office:binary-data>{PICTURE}</office:binary-data></draw:image>'
    control = (
        '<office:forms><form:form form:name="F"><form:checkbox form:id="c1" xml:id="c1" form:label="read twice" '
        'form:control-implementation="ooo:com.sun.star.form.component.CheckBox"/></form:form></office:forms>'
    )
    shapes = f'{box}{picture}</draw:frame><draw:control {place}"5cm" draw:control="c1"/>'
    note = "<office:annotation><dc:creator>A. T.</dc:creator><text:p>read twice</text:p></office:annotation>"
    rows = row(text("Span")) + row(text("Length"), number("308.5").replace("<text:p>", note + "<text:p>"))
    formula = "<table:table-cell table:formula=\"of:=[$'S 1'.B2]*2\"/>"
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document {spaces} office:version="1.2" office:mimetype='
        f'"{MIMETYPE.decode()}"><office:body><office:spreadsheet>'
        + table(f"{control}<table:shapes>{shapes}</table:shapes>{rows}")
        + table(row(formula), "Other")
        + "</office:spreadsheet></office:body></office:document>"
    )
