"""The notes of a sheet (its comments part): ours are added to a person's own, and taken out again."""

from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from railwright.reading.addresses import address, parse_address, whole_number
from railwright.reading.strings import joined_text, unescape
from railwright.writing.patching.draft import new_root
from railwright.writing.patching.marks import AUTHOR, MARK, our_spans
from railwright.writing.patching.planning import Place
from railwright.writing.patching.sheet_draft import SheetDraft
from railwright.writing.patching.text import SPACE, add_text, escape

COMMENTS_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
_EMPTY = '<comments xmlns="{}"><authors/><commentList/></comments>'


class Notes:
    """The notes of one sheet."""

    def __init__(self, sheet: SheetDraft) -> None:
        """Open the comments part of a sheet, if it has one.

        Args:
            sheet: The sheet.
        """
        self._sheet, self._draft, self._ns = sheet, sheet.draft, sheet.ns
        links = [link for link in self._draft.links(sheet.part) if link.kind == "comments" and not link.external]
        self._link = links[0] if links and self._draft.has(links[0].target) else None
        self._root = self._draft.xml(self._link.target) if self._link else None
        self._by_place = {parse_address(element.get("ref", "")): element for element in self._elements()}
        self._own_number = ""
        self.conversations = _conversations(sheet)

    def places(self) -> list[Place]:
        """List the cells that have a note."""
        return [place for place in self._by_place if place is not None]

    def text(self, place: Place) -> str:
        """Give the text of the note on a cell; empty where there is none."""
        element = self._find(place)
        item = None if element is None else element.find(self._ns + "text")
        return "" if item is None else joined_text(item, self._ns)

    def add(self, place: Place, lines: Sequence[str]) -> None:
        """Add our lines to the note of a cell, or begin one.

        Args:
            place: Row and column.
            lines: As ``our_line`` writes them.
        """
        self._begin()
        element = self._find(place)
        text = "\n".join(lines)
        if element is None:
            element = self._new(place)
        elif self.text(place):
            text = "\n" + text
        item = element.find(self._ns + "text")
        if item is None:
            item = etree.SubElement(element, self._ns + "text")
        _add_run(item, self._ns, text)
        self._touch()

    def remove_ours(self) -> None:
        """Take our lines out of every note, and the notes that held nothing else."""
        for element in self._elements():
            item = element.find(self._ns + "text")
            if item is None or MARK not in joined_text(item, self._ns):
                continue
            _take_out(item, self._ns)
            self._touch()
            if not joined_text(item, self._ns).strip() and self._author(element) in (AUTHOR, ""):
                parent = element.getparent()
                if parent is not None:
                    parent.remove(element)
                    self._by_place.pop(parse_address(element.get("ref", "")), None)

    def finish(self) -> None:
        """Leave the part out where its last note went."""
        if self._link is not None and self._root is not None and not self._elements():
            self._draft.unlink(self._sheet.part, self._link.id)
            self._draft.drop(self._link.target)

    def _elements(self) -> list[etree._Element]:
        if self._root is None:
            return []
        return self._root.findall(f"{self._ns}commentList/{self._ns}comment")

    def _find(self, place: Place) -> etree._Element | None:
        return self._by_place.get(place)

    def _begin(self) -> None:
        if self._root is not None:
            return
        part = self._draft.free_name("xl/comments{}.xml")
        self._root = new_root(_EMPTY.format(self._ns.strip("{}")))
        self._draft.put_xml(part, self._root)
        identity = self._draft.link(self._sheet.part, "comments", part)
        self._draft.declare(part, COMMENTS_TYPE)
        self._link = next(link for link in self._draft.links(self._sheet.part) if link.id == identity)

    def _touch(self) -> None:
        if self._link is not None:
            self._draft.touch(self._link.target)

    def _new(self, place: Place) -> etree._Element:
        assert self._root is not None
        self._own_number = self._own_number or self._our_author()
        items = self._root.find(self._ns + "commentList")
        if items is None:
            items = etree.SubElement(self._root, self._ns + "commentList")
        element = etree.SubElement(items, self._ns + "comment", ref=address(*place), authorId=self._own_number)
        etree.SubElement(element, self._ns + "text")
        self._by_place[place] = element
        return element

    def _authors(self) -> list[etree._Element]:
        assert self._root is not None
        return self._root.findall(f"{self._ns}authors/{self._ns}author")

    def _author(self, element: etree._Element) -> str:
        authors = self._authors()
        number = whole_number(element.get("authorId"), -1)
        return (authors[number].text or "").strip() if 0 <= number < len(authors) else ""

    def _our_author(self) -> str:
        """Find or add us among the authors and give our number."""
        assert self._root is not None
        for number, author in enumerate(self._authors()):
            if author.text == AUTHOR:
                return str(number)
        group = self._root.find(self._ns + "authors")
        if group is None:
            group = etree.Element(self._ns + "authors")
            self._root.insert(0, group)
        etree.SubElement(group, self._ns + "author").text = AUTHOR
        return str(len(self._authors()) - 1)


def _conversations(sheet: SheetDraft) -> frozenset[Place]:
    """Find the cells that carry a conversation; office programs show it instead of the note beneath it."""
    places: set[Place] = set()
    for link in sheet.draft.links(sheet.part):
        if link.kind.endswith("/threadedComment") and sheet.draft.has(link.target):
            refs = (element.get("ref", "") for element in sheet.draft.xml(link.target) if isinstance(element.tag, str))
            places.update(place for ref in refs if (place := parse_address(ref)))
    return frozenset(places)


def _add_run(item: etree._Element, ns: str, text: str) -> None:
    """Add a run of text in the usual type of notes, behind the runs that are there."""
    _plain_to_run(item, ns)
    run = etree.Element(ns + "r")
    look = etree.SubElement(run, ns + "rPr")
    etree.SubElement(look, ns + "sz").set("val", "9")
    etree.SubElement(look, ns + "color").set("indexed", "81")
    etree.SubElement(look, ns + "rFont").set("val", "Tahoma")
    etree.SubElement(look, ns + "family").set("val", "2")
    add_text(run, ns, text)
    item.insert(sum(1 for _ in item.iterchildren(ns + "t", ns + "r")), run)


def _plain_to_run(item: etree._Element, ns: str) -> None:
    """Put plain text into a run, since text beside runs is not shown by every program."""
    for plain in item.findall(ns + "t"):
        run = etree.Element(ns + "r")
        item.replace(plain, run)
        plain.set(SPACE, "preserve")
        run.append(plain)


def _take_out(item: etree._Element, ns: str) -> None:
    """Take our lines out of the runs of a note, whichever way the runs are cut."""
    runs = [t for t in item.iter(ns + "t") if t.getparent() is item or _is_run(t, ns)]
    texts = [unescape(t.text or "") for t in runs]
    removed = [False] * sum(map(len, texts))
    for start, end in our_spans("".join(texts)):
        removed[start:end] = [True] * (end - start)
    at = 0
    for run, text in zip(runs, texts, strict=True):
        kept = "".join(sign for sign, gone in zip(text, removed[at : at + len(text)], strict=True) if not gone)
        at += len(text)
        if kept != text:
            _shorten(run, kept, ns)


def _is_run(t: etree._Element, ns: str) -> bool:
    parent = t.getparent()
    return parent is not None and parent.tag == ns + "r"


def _shorten(t: etree._Element, kept: str, ns: str) -> None:
    parent = t.getparent()
    assert parent is not None
    if kept:
        t.text = escape(kept)
        t.set(SPACE, "preserve")
        return
    parent.remove(t)
    grandparent = parent.getparent()
    if parent.tag == ns + "r" and parent.find(ns + "t") is None and grandparent is not None:
        grandparent.remove(parent)
