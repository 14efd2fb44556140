"""Cell styles: the same look with another fill, and back."""

from __future__ import annotations

from copy import deepcopy
from typing import TypeAlias

from lxml import etree

from railwright.writing.patching.draft import Draft, child_in_order, new_root
from railwright.writing.patching.flags import Severity
from railwright.writing.patching.marks import FILLS

STYLES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
_ORDER = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors",
    "extLst",
)  # fmt: skip
#: The lists that are added to, by what they hold.
_ITEMS = {"fonts": "font", "fills": "fill", "cellXfs": "xf"}
_XF_ORDER = ("alignment", "protection", "extLst")

_EMPTY = (
    '<styleSheet xmlns="{}"><fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
    '</fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    '<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs></styleSheet>'
)


Look: TypeAlias = tuple[str, frozenset[tuple[str | bytes, str | bytes]], str, tuple["Look", ...]]


class Styles:
    """The styles part of a draft. Every style is looked for before it is added, so that none pile up."""

    def __init__(self, draft: Draft, workbook_part: str) -> None:
        """Open the styles part, or begin one where the workbook has none.

        Args:
            draft: The package.
            workbook_part: Name of the workbook part, which links to the styles.
        """
        self._draft, self._ns = draft, draft.ns
        links = [link for link in draft.links(workbook_part) if link.kind == "styles" and draft.has(link.target)]
        self._part = links[0].target if links else ""
        self._workbook_part = workbook_part
        self.root = draft.xml(self._part) if links else new_root(_EMPTY.format(draft.ns.strip("{}")))
        self._xfs = self._list("cellXfs").findall(self._ns + "xf")
        self._index: dict[Look, int] = {}
        for number, xf in enumerate(self._xfs):
            self._index.setdefault(_look(xf), number)
        self._our_fills = self._find_our_fills()
        self._flagged: dict[tuple[int, Severity], int] = {}
        self._bold = ""

    def _list(self, name: str) -> etree._Element:
        return child_in_order(self.root, self._ns, name, _ORDER)

    def _changed(self) -> None:
        if not self._part:
            self._part = self._draft.free_name("xl/styles{}.xml").replace("styles1.", "styles.")
            self._draft.put_xml(self._part, self.root)
            self._draft.link(self._workbook_part, "styles", self._part)
            self._draft.declare(self._part, STYLES_TYPE)
        self._draft.touch(self._part)

    def _find_our_fills(self) -> dict[str, Severity]:
        """Find our fills by their colour, whatever their number is by now."""
        found: dict[str, Severity] = {}
        for number, fill in enumerate(self._list("fills").iterchildren(self._ns + "fill")):
            color = fill.find(f"{self._ns}patternFill/{self._ns}fgColor")
            rgb = "" if color is None else color.get("rgb", "")[-6:].upper()
            for severity, ours in FILLS.items():
                if rgb == ours:
                    found[str(number)] = severity
        return found

    def is_flagged(self, style: int) -> bool:
        """Tell whether a style wears one of our fills."""
        return self._xf(style).get("fillId", "0") in self._our_fills

    def any_flagged(self) -> bool:
        """Tell whether the workbook knows any of our fills."""
        return bool(self._our_fills)

    def flagged(self, style: int, severity: Severity) -> int:
        """Give the style that looks the same but for the fill of a severity."""
        if (style, severity) not in self._flagged:
            self._flagged[style, severity] = self._with_fill(style, self._fill(severity), "1")
        return self._flagged[style, severity]

    def restored(self, style: int, former: int | None) -> int:
        """Give the style that looks the same but for the fill of another one.

        Args:
            style: A flagged style.
            former: The style whose fill it is to have again; ``None`` for no fill.

        Returns:
            The style number; ``former`` itself where nothing else was changed since.
        """
        if former is None:
            return self._with_fill(style, "0", None)
        model = self._xf(former)
        found = self._with_fill(style, model.get("fillId", "0"), model.get("applyFill"))
        return former if _look(self._xf(found)) == _look(model) else found

    def for_list(self, bold: bool = False, wrap: bool = True, fill: Severity | None = None) -> int:
        """Give a style for the findings sheet: text from the top, in the workbook's first font.

        Args:
            bold: Whether in bold.
            wrap: Whether long text goes on in the next line.
            fill: Severity whose colour lies behind it.

        Returns:
            The style number.
        """
        xf = etree.Element(self._ns + "xf", numFmtId="0", fontId="0", fillId="0", borderId="0", xfId="0")
        if bold:
            self._bold = self._bold or self._bold_font()
            xf.set("fontId", self._bold)
            xf.set("applyFont", "1")
        if fill is not None:
            xf.set("fillId", self._fill(fill))
            xf.set("applyFill", "1")
        xf.set("applyAlignment", "1")
        alignment = child_in_order(xf, self._ns, "alignment", _XF_ORDER)
        alignment.set("vertical", "top")
        if wrap:
            alignment.set("wrapText", "1")
        return self._find_or_add(xf)

    def _xf(self, style: int) -> etree._Element:
        if not self._xfs:
            self._begin("cellXfs")
        return self._xfs[style] if style < len(self._xfs) else self._xfs[0]

    def _with_fill(self, style: int, fill: str, apply: str | None) -> int:
        xf = deepcopy(self._xf(style))
        xf.set("fillId", fill)
        if apply is not None:
            xf.set("applyFill", apply)
        elif xf.get("applyFill") is not None:
            del xf.attrib["applyFill"]
        return self._find_or_add(xf)

    def _find_or_add(self, xf: etree._Element) -> int:
        look = _look(xf)
        if look not in self._index:
            self._add(xf)
        return self._index[look]

    def _add(self, xf: etree._Element) -> None:
        self._index[_look(xf)] = self._append("cellXfs", xf)
        self._xfs.append(xf)

    def _fill(self, severity: Severity) -> str:
        for number, ours in self._our_fills.items():
            if ours == severity:
                return number
        fill = etree.Element(self._ns + "fill")
        pattern = etree.SubElement(fill, self._ns + "patternFill")
        pattern.set("patternType", "solid")
        etree.SubElement(pattern, self._ns + "fgColor").set("rgb", "FF" + FILLS[severity])
        etree.SubElement(pattern, self._ns + "bgColor").set("indexed", "64")
        number = str(self._append("fills", fill))
        self._our_fills[number] = severity
        return number

    def _bold_font(self) -> str:
        """Find or add the first font of the workbook in bold."""
        self._begin("fonts")
        fonts = self._list("fonts").findall(self._ns + "font")
        bold = deepcopy(fonts[0])
        if bold.find(self._ns + "b") is None:
            bold.insert(0, etree.Element(self._ns + "b"))
        for number, font in enumerate(fonts):
            if _look(font) == _look(bold):
                return str(number)
        return str(self._append("fonts", bold))

    def _begin(self, name: str) -> None:
        """Put what a list of the part begins with into an empty one: the first is what everything without a number has.

        Ours must never come first, or the whole workbook would wear it.
        """
        items = self._list(name)
        if items.find(self._ns + _ITEMS[name]) is not None:
            return
        plain = new_root(_EMPTY.format(self._ns.strip("{}"))).find(self._ns + name)
        assert plain is not None
        items.set("count", str(len(plain)))
        items.extend(plain)
        if name == "cellXfs":
            self._xfs = items.findall(self._ns + "xf")
            self._index[_look(self._xfs[0])] = 0
        self._changed()

    def _append(self, name: str, item: etree._Element) -> int:
        """Add an item to a list of the part and give its number there."""
        self._begin(name)
        items = self._list(name)
        item.tail = None
        items.append(item)
        count = len(items.findall(str(item.tag)))
        items.set("count", str(count))
        self._changed()
        return count - 1


def _look(element: etree._Element) -> Look:
    """Give what an element says, so that it can be compared: prefixes, order of attributes and blanks do not count."""
    children = tuple([_look(child) for child in element if isinstance(child.tag, str)]) if len(element) else ()
    return str(element.tag), frozenset(element.items()), (element.text or "").strip(), children
