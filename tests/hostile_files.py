"""Files that are no survey workbook, or a broken or hostile one, and a word of what is said about each.

Every kind is made here from a few lines, so that a reader sees what is wrong with it. ``KINDS`` maps a name to the
bytes and to words that the reason given must contain; the names are good file names too. The workbooks that are damaged
have the names of a survey, so that what is wrong with their cells is met and not passed by.
"""

from __future__ import annotations

import gzip
import io
import struct
import zipfile
import zlib
from collections.abc import Callable

from open_document_kit import content, packed, row, table
from workbook_kit import MAIN, TYPES, book_parts, relationships, sheet_xml, zipped

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504)
ROW = '<row r="1"><c r="A1"><v>1</v></c></row>'
GOOD_SHEET = sheet_xml(ROW)
KEYS = ("order_no", "site", "technician", "maker", "unit")
NAMES = {key: f"'S 1'!$A${row}" for row, key in enumerate(KEYS, start=1)}


def one_sheet(rows: str, after: str = "") -> bytes:
    """Pack a survey with the one sheet ``S 1``."""
    return zipped(book_parts({"S 1": sheet_xml(rows, after=after)}, NAMES))


def good() -> bytes:
    """Give a small workbook in order."""
    return one_sheet(ROW)


def parts(**changed: str | bytes | None) -> bytes:
    """Pack the small workbook with parts changed: short names stand for the usual ones, ``None`` leaves one out."""
    names = {
        "types": "[Content_Types].xml", "root": "_rels/.rels", "book": "xl/workbook.xml", "styles": "xl/styles.xml",
        "links": "xl/_rels/workbook.xml.rels", "sheet": "xl/worksheets/sheet1.xml", "strings": "xl/sharedStrings.xml",
    }  # fmt: skip
    content = book_parts({"S 1": GOOD_SHEET}, NAMES, strings="<si><t>a</t></si>")
    for key, value in changed.items():
        if value is None:
            del content[names[key]]
        else:
            content[names[key]] = value
    return zipped(content)


def with_member(name: str, content: bytes = b"x", twice: bool = False) -> bytes:
    """Pack the small workbook with one more member, under any name."""
    out = io.BytesIO(good())
    with zipfile.ZipFile(out, "a") as archive:
        for _ in range(2 if twice else 1):
            info = zipfile.ZipInfo("placeholder")
            info.filename = name
            archive.writestr(info, content)
    return out.getvalue()


def patched(data: bytes, at: int, value: bytes) -> bytes:
    """Overwrite bytes; a negative place counts from the end."""
    at %= len(data)
    return data[:at] + value + data[at + len(value) :]


def directory_at(data: bytes) -> int:
    """Find where the directory starts."""
    return int(struct.unpack("<L", data[-6:-2])[0])


def in_directory(data: bytes, offset: int, value: bytes) -> bytes:
    """Overwrite bytes of the first entry of the directory."""
    return patched(data, directory_at(data) + offset, value)


def bomb(size: int, copies: int = 1) -> bytes:
    """Pack members of zeros, each of a size."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    packed = packer.compress(bytes(size)) + packer.flush()
    crc = zlib.crc32(bytes(size))
    out, entries = b"", b""
    for number in range(copies):
        name = f"xl/media/image{number}.bin".encode()
        facts = struct.pack("<5H3L2H", 20, 0, 8, 0, 33, crc, len(packed), size, len(name), 0)
        entries += b"PK\x01\x02" + struct.pack("<H", 20) + facts + struct.pack("<3H2L", 0, 0, 0, 0, len(out)) + name
        out += b"PK\x03\x04" + facts + name + packed
    end = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, copies, copies, len(entries), len(out), 0)
    return out + entries + end


def sheet_entry(offset: int, value: bytes) -> bytes:
    """Overwrite bytes of the sheet's entry in the directory."""
    data = good()
    return patched(data, data.index(b"xl/worksheets/sheet1.xml", directory_at(data)) - 46 + offset, value)


def false_size(claimed: int) -> bytes:
    """Claim another unpacked size for the sheet than it has."""
    return sheet_entry(24, struct.pack("<L", claimed))


def overlapping() -> bytes:
    """Let two entries of the directory share the bytes of one member."""
    data = with_member("xl/a.bin")
    first, second = (data.index(b"PK\x01\x02", directory_at(data) + skip) for skip in (0, 4))
    return patched(data, second + 42, data[first + 42 : first + 46])


def damaged_content() -> bytes:
    """Turn over bits inside the packed sheet."""
    data = good()
    at = data.index(b"xl/worksheets/sheet1.xml") + 60
    return patched(data, at, bytes(byte ^ 0x55 for byte in data[at : at + 8]))


def entities(text: str, encoding: str = "UTF-8") -> bytes:
    """Write a sheet that defines entities."""
    body = f'<?xml version="1.0" encoding="{encoding}"?>{text}<worksheet xmlns="{MAIN}"><sheetData/></worksheet>'
    return body.encode("utf-16" if encoding == "UTF-16" else "utf-8")


LAUGHS = "<!DOCTYPE a [" + '<!ENTITY l0 "ha">' + "".join(
    f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10)
) + "]>"  # fmt: skip

LONG = " ".join(map(str, range(1_000_000)))
MERGE = '<mergeCell ref="C1:D2"/>'
NAMED_RANGES = "".join(
    f'<table:named-range table:name="{key}" table:cell-range-address="$\'S 1\'.$A${row}"/>'
    for row, key in enumerate(KEYS, start=1)
)
MANY_CELLS = '<table:table-cell table:number-columns-repeated="16384" table:formula="of:=1"/>'

Kind = tuple[Callable[[], bytes], str]

KINDS: dict[str, Kind] = {
    # Not a workbook at all, whatever its name says.
    "empty": (lambda: b"", "empty"),
    "zeros": (lambda: bytes(5000), "zero bytes"),
    "old-xls": (lambda: OLE + "Workbook".encode("utf-16-le"), "old .xls"),
    "password": (lambda: OLE + "EncryptedPackage".encode("utf-16-le"), "password"),
    "old-word": (lambda: OLE + "WordDocument".encode("utf-16-le"), "Word"),
    "old-powerpoint": (lambda: OLE + "PowerPoint Document".encode("utf-16-le"), "PowerPoint"),
    "html": (lambda: b"<html><table><tr><td>12 1/8</td></tr></table></html>", "web page"),
    "html-with-doctype": (lambda: b"\xef\xbb\xbf\n<!DOCTYPE html><html></html>", "web page"),
    "csv": (lambda: b"order_no;site\n17;Hall\n", "plain text (CSV)"),
    "csv-utf-16": (lambda: "order_no\tsite\n".encode("utf-16"), "plain text (CSV)"),
    "text": (lambda: b"please find the numbers below", "plain text"),
    "json": (lambda: b'{"url": "https://example.invalid"}', "JSON"),
    "xml-2003": (
        lambda: b'<?xml version="1.0"?><?mso-application progid="Excel.Sheet"?><Workbook/>',
        "XML form of 2003",
    ),
    "xml-other": (lambda: b'<?xml version="1.0"?><survey/>', "XML text"),
    "pdf": (lambda: b"%PDF-1.7\n", "PDF"),
    "jpeg": (lambda: b"\xff\xd8\xff\xe0" + bytes(100), "photograph"),
    "heic": (lambda: b"\0\0\0\x18ftypheic" + bytes(100), "photograph"),
    "png": (lambda: b"\x89PNG\r\n\x1a\n", "picture"),
    "rtf": (lambda: b"{\\rtf1}", "RTF"),
    "mac-side-file": (lambda: b"\x00\x05\x16\x07" + bytes(100), "Mac"),
    "gzip": (lambda: gzip.compress(good()), "gzip"),
    "rar": (lambda: b"Rar!\x1a\x07\x00", "RAR"),
    "7z": (lambda: b"7z\xbc\xaf\x27\x1c", "7z"),
    "noise": (lambda: bytes(range(1, 250)) * 4, "no known kind"),
    # Zip files of another kind.
    "empty-zip": (lambda: zipped({}), "empty zip"),
    "zip-of-photos": (lambda: zipped({"a.jpg": b"x"}), "no workbook"),
    "zip-of-workbook": (lambda: zipped({"week/survey.xlsx": good()}), "workbook inside"),
    "word": (
        lambda: zipped(
            {"_rels/.rels": relationships({"r": ("officeDocument", "word/document.xml")}), "word/document.xml": "<d/>"}
        ),
        "Word",
    ),
    "powerpoint": (lambda: zipped({"ppt/presentation.xml": "<p/>"}), "PowerPoint"),
    "xlsb": (lambda: zipped({"xl/workbook.bin": b"x"}), ".xlsb"),
    "numbers": (lambda: zipped({"Index/Document.iwa": b"x"}), "Numbers"),
    "opendocument-text": (lambda: zipped({"mimetype": b"application/vnd.oasis.opendocument.text"}), "OpenDocument"),
    "opendocument-password": (lambda: packed(b"x", manifest=b"<m><encryption-data/></m>"), "password"),
    "opendocument-broken": (lambda: packed("<a"), "not whole"),
    "opendocument-million-cells": (
        lambda: packed(content(table(row(MANY_CELLS, repeated=1_000_000)), NAMED_RANGES)),
        "cells",
    ),
    "opendocument-entities": (lambda: packed(LAUGHS + "<a/>"), "entities"),
    "opendocument-large-manifest": (lambda: packed(content(""), manifest=LONG.encode()), "MB"),
    "opendocument-without-content": (
        lambda: zipped({"mimetype": b"application/vnd.oasis.opendocument.spreadsheet"}),
        "without its content",
    ),
    # Damaged on the way.
    "cut-short": (lambda: good()[:-200], "end is missing"),
    "cut-in-half": (lambda: good()[: len(good()) // 2], "end is missing"),
    "first-bytes-only": (lambda: good()[:10], "end is missing"),
    "bytes-inserted-in-front": (lambda: b"\r\n" + good(), "no known kind"),
    "bytes-lost-in-the-middle": (lambda: good()[:300] + good()[340:], "table of contents"),
    "broken-directory": (lambda: in_directory(good(), 0, b"XX"), "table of contents"),
    "directory-too-short": (lambda: patched(good(), -12, b"\x01\x00"), "table of contents"),
    "content-damaged": (damaged_content, "does not unpack"),
    "checksum-wrong": (lambda: sheet_entry(16, b"\0\0\0\0"), "does not unpack"),
    "sheet-cut-short": (lambda: parts(sheet=GOOD_SHEET[:-30]), "not whole"),
    "sheet-empty": (lambda: parts(sheet=b""), "not whole"),
    "sheet-binary": (lambda: parts(sheet=bytes(range(256))), "not whole"),
    "sheet-of-another-kind": (
        lambda: parts(sheet='<html xmlns="http://www.w3.org/1999/xhtml"/>'),
        "not a spreadsheet part",
    ),
    "sheet-missing": (lambda: parts(sheet=None), "no sheet"),
    "links-missing": (lambda: parts(links=None), "no sheet"),
    "book-broken": (lambda: parts(book="<workbook"), "not whole"),
    "book-without-sheets": (lambda: parts(book=f'<workbook xmlns="{MAIN}"/>'), "no sheet"),
    "strings-broken": (
        lambda: zipped(
            book_parts({"S 1": sheet_xml('<row r="1"><c r="A1" t="s"><v>0</v></c></row>')}, NAMES)
            | {
                "xl/_rels/workbook.xml.rels": relationships(
                    {"rId1": ("worksheet", "worksheets/sheet1.xml"), "r2": ("sharedStrings", "s.xml")}
                ),
                "xl/s.xml": "<sst",
            }
        ),
        "not whole",
    ),
    "styles-broken": (lambda: parts(styles="<styleSheet"), "not whole"),
    "wrong-encoding": (lambda: parts(sheet=b'<?xml version="1.0" encoding="UTF-8"?><a>\xff\xfe\xff</a>'), "not whole"),
    "address-that-is-none": (lambda: one_sheet('<row r="1"><c r="ZZZZ9"/></row>'), "address"),
    "address-twice": (lambda: one_sheet('<row r="1"><c r="A1"/><c r="A1"/></row>'), "address"),
    # Made to do harm.
    "name-with-parent": (lambda: with_member("../../evil.txt"), "outside"),
    "name-with-parent-backslash": (lambda: with_member("..\\..\\evil.txt"), "outside"),
    "name-absolute": (lambda: with_member("/etc/evil"), "outside"),
    "name-with-drive": (lambda: with_member("C:/evil.txt"), "outside"),
    "name-twice": (lambda: with_member("xl/a.bin", twice=True), "same name"),
    "name-twice-by-capitals": (lambda: with_member("XL/Workbook.xml"), "same name"),
    "two-names": (lambda: patched(good(), 30, b"<"), "different names"),
    "overlapping-members": (overlapping, "same place"),
    "size-bomb": (lambda: bomb(60 * 2**20), "unpack"),
    "many-bombs": (lambda: bomb(7 * 2**20, 80), "unpack"),
    "many-members": (lambda: zipped({f"a{n}": b"" for n in range(5001)}), "parts"),
    "false-size-small": (lambda: false_size(10), "does not unpack"),
    "false-size-large": (lambda: false_size(9999), "does not unpack"),
    "false-size-huge": (lambda: false_size(2**31), "unpack"),
    "zip-password": (lambda: in_directory(good(), 8, b"\x01\x00"), "password"),
    "zip-method": (lambda: in_directory(good(), 10, b"\x0e\x00"), "no office program"),
    "zip-divided": (lambda: patched(good(), -18, b"\x01\x00"), "divided"),
    "entities-billion-laughs": (lambda: parts(sheet=entities(LAUGHS)), "entities"),
    "entities-file": (
        lambda: parts(sheet=entities('<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]>')),
        "entities",
    ),
    "entities-network": (
        lambda: parts(book=entities('<!DOCTYPE a SYSTEM "http://example.invalid/a.dtd">')),
        "entities",
    ),
    "entities-utf-16": (lambda: parts(sheet=entities(LAUGHS, "UTF-16")), "entities"),
    "entities-in-strange-encoding": (
        lambda: parts(sheet=b'<?xml version="1.0" encoding="UTF-7"?>+ADwAIQ-DOCTYPE a>'),
        "entities",
    ),
    "deep-xml": (lambda: parts(sheet="<a>" * 5000 + "</a>" * 5000), "not whole"),
    "million-formatted-rows": (
        lambda: one_sheet("".join(f'<row r="{n}" s="1" customFormat="1" spans="1:16384"/>' for n in range(1, 200_001))),
        "format",
    ),
    "many-merges": (
        lambda: one_sheet(ROW, "<mergeCells>" + MERGE * 2_001 + "</mergeCells>"),
        "merged areas",
    ),
    "many-tiny-tags": (
        lambda: zipped(
            book_parts(
                {f"S {n}": sheet_xml("<a/>" * 500_000) for n in range(1, 6)},
                {key: f"'S {n}'!$A$1" for n, key in enumerate(KEYS, start=1)},
            )
        ),
        "MB",
    ),
    "many-cells": (lambda: one_sheet("".join(f"<row>{'<c/>' * 1000}</row>" for _ in range(201))), "cells"),
    "many-names": (
        lambda: zipped(book_parts({"S 1": GOOD_SHEET}, NAMES | {f"n{n}": "'S 1'!$A$1" for n in range(5_001)})),
        "names",
    ),
    "long-text": (
        lambda: one_sheet(f'<row><c t="inlineStr"><is><t>{LONG}</t></is></c></row>'),
        "format",
    ),
    "workbook-outside": (
        lambda: zipped(
            {
                "_rels/.rels": relationships({"r": ("officeDocument", "../../../etc/passwd")}),
                "[Content_Types].xml": f'<Types xmlns="{TYPES}"/>',
            }
        ),
        "no workbook",
    ),
}
