"""Cell styles of an OpenDocument spreadsheet: the same look with another fill, and back."""

from __future__ import annotations

from copy import deepcopy

from lxml import etree

from railwright.reading.open_document import OFFICE, STYLE, TABLE, run_length
from railwright.writing.patching.flags import Severity
from railwright.writing.patching.marks import FILLS

FO = "{urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0}"
_PROPERTIES = STYLE + "table-cell-properties"
_BACKGROUND = FO + "background-color"


class OpenDocumentStyles:
    """The automatic styles of a content part. Every style is looked for before it is added."""

    def __init__(self, root: etree._Element) -> None:
        """List the styles.

        Args:
            root: Root of the content part.
        """
        group = root.find(OFFICE + "automatic-styles")
        if group is None:
            group = etree.Element(OFFICE + "automatic-styles")
            body = root.find(OFFICE + "body")
            root.insert(0 if body is None else root.index(body), group)
        self._group = group
        self._cells: dict[str, etree._Element] = {}
        self._columns: dict[str, etree._Element] = {}
        for style in group.iterchildren(STYLE + "style"):
            family = {"table-cell": self._cells, "table-column": self._columns}.get(style.get(STYLE + "family", ""))
            if family is not None:
                family[style.get(STYLE + "name", "")] = style
        self._ours = {"#" + rgb.lower() for rgb in FILLS.values()}

    def shown(self, table: etree._Element, cell: etree._Element, column: int) -> str:
        """Give the style that a cell shows: its own, or that of its row or column; empty for none."""
        row = cell.getparent()
        own = cell.get(TABLE + "style-name") or (None if row is None else row.get(TABLE + "default-cell-style-name"))
        if own:
            return own
        at = 1
        for element in table.iter(TABLE + "table-column"):
            at += run_length(element, "number-columns-repeated")
            if column < at:
                return element.get(TABLE + "default-cell-style-name", "")
        return ""

    def is_flagged(self, name: str) -> bool:
        """Tell whether a style wears one of our fills."""
        style = self._cells.get(name)
        properties = None if style is None else style.find(_PROPERTIES)
        return properties is not None and properties.get(_BACKGROUND, "").lower() in self._ours

    def flagged(self, name: str, severity: Severity) -> str:
        """Give the style that looks like another but for the fill of a severity."""
        new = f"railwright-{severity}-{name}"
        if new not in self._cells:
            self._add_cell_style(new, self._like(name), "#" + FILLS[severity].lower())
        return new

    def without_fill(self, name: str) -> str:
        """Give the style that looks like another but has no fill."""
        new = f"railwright-none-{name}"
        if new not in self._cells:
            self._add_cell_style(new, self._like(name), "transparent")
        return new

    def for_list(self, bold: bool = False, wrap: bool = True, fill: Severity | None = None) -> str:
        """Give a style for the findings sheet.

        Args:
            bold: Whether in bold.
            wrap: Whether long text goes on in the next line.
            fill: Severity whose colour lies behind it.

        Returns:
            Its name.
        """
        name = "railwright-list" + ("-bold" if bold else "") + ("-wrap" if wrap else "") + (f"-{fill}" if fill else "")
        if name not in self._cells:
            style = etree.Element(STYLE + "style", {STYLE + "family": "table-cell"})
            properties = etree.SubElement(style, _PROPERTIES, {STYLE + "vertical-align": "top"})
            if wrap:
                properties.set(FO + "wrap-option", "wrap")
            if bold:
                etree.SubElement(style, STYLE + "text-properties", {FO + "font-weight": "bold"})
            self._add_cell_style(name, style, "#" + FILLS[fill].lower() if fill else "")
        return name

    def column(self, width: str) -> str:
        """Give a column style of a width such as ``7cm``."""
        name = f"railwright-column-{width}"
        if name not in self._columns:
            attributes = {STYLE + "name": name, STYLE + "family": "table-column"}
            style = etree.SubElement(self._group, STYLE + "style", attributes)
            etree.SubElement(style, STYLE + "table-column-properties", {STYLE + "column-width": width})
            self._columns[name] = style
        return name

    def _like(self, name: str) -> etree._Element:
        """Copy an automatic style, or begin one that inherits a named style."""
        if name in self._cells:
            return deepcopy(self._cells[name])
        style = etree.Element(STYLE + "style", {STYLE + "family": "table-cell"})
        if name:
            style.set(STYLE + "parent-style-name", name)
        return style

    def _add_cell_style(self, name: str, style: etree._Element, background: str) -> None:
        style.tail = None
        style.set(STYLE + "name", name)
        if background:
            properties = style.find(_PROPERTIES)
            if properties is None:
                properties = etree.Element(_PROPERTIES)
                style.insert(0, properties)
            properties.set(_BACKGROUND, background)
        self._group.append(style)
        self._cells[name] = style
