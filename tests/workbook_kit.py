"""Workbooks for tests, written part by part so that a test shows exactly what the file holds."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from pathlib import Path

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
STRICT = "http://purl.oclc.org/ooxml/spreadsheetml/main"
REL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
STRICT_REL = "http://purl.oclc.org/ooxml/officeDocument/relationships"
PACKAGE_REL = "http://schemas.openxmlformats.org/package/2006/relationships"
TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"
TYPE_BASE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
SHEET_TYPE = f"{TYPE_BASE}.worksheet+xml"
DECLARATION = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'

STYLES = (
    f'<styleSheet xmlns="{MAIN}"><numFmts count="2"><numFmt numFmtId="164" formatCode="yyyy\\-mm\\-dd"/>'
    '<numFmt numFmtId="165" formatCode="0.0&quot; days&quot;"/></numFmts>'
    '<fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>'
    '<fills count="3"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
    '<fill><patternFill patternType="solid"><fgColor rgb="FFFFFF99"/><bgColor indexed="64"/></patternFill></fill>'
    "</fills>"
    '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="6">'
    '<xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '<xf numFmtId="164" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
    '<xf numFmtId="49" fontId="0" fillId="2" borderId="0" xfId="0" applyFill="1"><protection locked="0"/></xf>'
    '<xf numFmtId="165" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '<xf numFmtId="14" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '<xf numFmtId="12" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '</cellXfs><dxfs count="1"><dxf><font><b/></font></dxf></dxfs></styleSheet>'
)


def relationships(links: Mapping[str, tuple[str, str]], base: str = REL) -> str:
    """Write a list of links from identity to kind and target."""
    rows = "".join(
        f'<Relationship Id="{key}" Type="{kind if ":" in kind else f"{base}/{kind}"}" Target="{target}"/>'
        for key, (kind, target) in links.items()
    )
    return f'<Relationships xmlns="{PACKAGE_REL}">{rows}</Relationships>'


def sheet_xml(rows: str, before: str = "", after: str = "", ns: str = MAIN) -> str:
    """Write a sheet part around its rows."""
    return f'<worksheet xmlns="{ns}" xmlns:r="{REL}">{before}<sheetData>{rows}</sheetData>{after}</worksheet>'


def book_parts(
    sheets: Mapping[str, str],
    names: Mapping[str, str] | None = None,
    strings: str = "",
    styles: str = STYLES,
    properties: str = "",
) -> dict[str, str | bytes]:
    """Write the parts of a small workbook.

    ``sheets`` maps names to whole sheet parts, ``names`` defined names to what they refer to, ``strings`` holds the
    items of the shared table; an empty ``styles`` leaves that part out.
    """
    links = {f"rId{n}": ("worksheet", f"worksheets/sheet{n}.xml") for n in range(1, len(sheets) + 1)}
    entries = "".join(f'<sheet name="{name}" sheetId="{n}" r:id="rId{n}"/>' for n, name in enumerate(sheets, 1))
    defined = "".join(f'<definedName name="{key}">{text}</definedName>' for key, text in (names or {}).items())
    parts: dict[str, str | bytes] = {
        "[Content_Types].xml": f'<Types xmlns="{TYPES}"><Default Extension="rels" ContentType="application/vnd.'
        'openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/>'
        '<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.'
        'spreadsheetml.sheet.main+xml"/>'
        + "".join(
            f'<Override PartName="/xl/worksheets/sheet{n}.xml" ContentType="{SHEET_TYPE}"/>'
            for n in range(1, len(sheets) + 1)
        )
        + "</Types>",
        "_rels/.rels": relationships({"rId1": ("officeDocument", "xl/workbook.xml")}),
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{REL}">{properties}<sheets>{entries}</sheets>'
        + (f"<definedNames>{defined}</definedNames>" if defined else "")
        + "</workbook>",
    }
    if styles:
        links["rId90"] = ("styles", "styles.xml")
        parts["xl/styles.xml"] = styles
    if strings:
        links["rId91"] = ("sharedStrings", "sharedStrings.xml")
        parts["xl/sharedStrings.xml"] = f'<sst xmlns="{MAIN}">{strings}</sst>'
    parts["xl/_rels/workbook.xml.rels"] = relationships(links)
    for name in ("styles", "sharedStrings"):
        if f"xl/{name}.xml" in parts:
            override = f'<Override PartName="/xl/{name}.xml" ContentType="{TYPE_BASE}.{name}+xml"/></Types>'
            parts["[Content_Types].xml"] = str(parts["[Content_Types].xml"]).replace("</Types>", override)
    for number, content in enumerate(sheets.values(), 1):
        parts[f"xl/worksheets/sheet{number}.xml"] = content
    return parts


def zipped(parts: Mapping[str, str | bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Pack parts into a zip file."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for name, content in parts.items():
            archive.writestr(name, DECLARATION + content if isinstance(content, str) else content)
    return out.getvalue()


def one_sheet(rows: str, **more: object) -> bytes:
    """Pack a workbook with the one sheet ``S 1``."""
    return zipped(book_parts({"S 1": sheet_xml(rows)}, **more))  # type: ignore[arg-type]


def saved(folder: Path, data: bytes, name: str = "survey.xlsx") -> Path:
    """Put bytes into a file."""
    path = folder / name
    path.write_bytes(data)
    return path


def members(path: Path) -> dict[str, bytes]:
    """Unpack a file with the standard library, which checks every checksum."""
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}
