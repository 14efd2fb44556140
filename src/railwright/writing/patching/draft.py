"""Changes to a package, kept beside it until they are written."""

from __future__ import annotations

import posixpath

from lxml import etree

from railwright.reading.directory import part_key
from railwright.reading.package import RELATIONSHIP_BASES, Package, Relationship, relationships_part
from railwright.reading.safe_xml import STRICT_MAIN, local_name, parse_xml

CONTENT_TYPES = "[Content_Types].xml"
_TYPES = "{http://schemas.openxmlformats.org/package/2006/content-types}"
_LINKS = "http://schemas.openxmlformats.org/package/2006/relationships"
_XMLNS_R = (
    "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
    "http://purl.oclc.org/ooxml/officeDocument/relationships",
)

# Other libraries register prefixes of their own when they are loaded; a copy is the same bytes with and without them.
etree.register_namespace("r", _XMLNS_R[0])


class Draft:
    """The package as it will be, part by part.

    A part that is looked at is parsed once; only parts that were touched, put or dropped differ in the copy.
    """

    def __init__(self, package: Package, ns: str) -> None:
        """Begin without changes.

        Args:
            package: The open source.
            ns: Spreadsheet namespace of the workbook part, in braces; it decides between transitional and strict.
        """
        self.package = package
        self.ns = ns
        strict = ns == f"{{{STRICT_MAIN}}}"
        self._base = RELATIONSHIP_BASES[strict]
        self.r_namespace = _XMLNS_R[strict]
        self._trees: dict[str, etree._Element] = {}
        self._links: dict[str, list[Relationship]] = {}
        self._touched: dict[str, str] = {}
        self._bytes: dict[str, tuple[str, bytes | None]] = {}

    def has(self, name: str) -> bool:
        """Tell whether a part will exist."""
        key = part_key(name)
        if key in self._bytes:
            return self._bytes[key][1] is not None
        return key in self._touched or self.package.has(name)

    def read(self, name: str) -> bytes:
        """Give the bytes of a part that is not handled as a tree."""
        put = self._bytes.get(part_key(name))
        return put[1] if put is not None and put[1] is not None else self.package.read(name)

    def xml(self, name: str) -> etree._Element:
        """Give the root of a part; tell ``touch`` after changing it."""
        key = part_key(name)
        if key not in self._trees:
            self._trees[key] = self.package.xml(name)
        return self._trees[key]

    def adopt(self, name: str, root: etree._Element) -> None:
        """Take over a tree of an unchanged part that somebody has parsed already."""
        self._trees[part_key(name)] = root

    def touch(self, name: str) -> None:
        """Have a part written again from its tree."""
        self._touched[part_key(name)] = name

    def put(self, name: str, content: bytes) -> None:
        """Set the bytes of a part, new or old."""
        self._bytes[part_key(name)] = (name, content)

    def put_parts(self) -> list[str]:
        """Name the parts whose bytes were set."""
        return [name for name, content in self._bytes.values() if content is not None]

    def put_xml(self, name: str, root: etree._Element) -> None:
        """Set the tree of a part, new or old."""
        self._bytes.pop(part_key(name), None)
        self._trees[part_key(name)] = root
        self.touch(name)

    def drop(self, name: str) -> None:
        """Leave a part out, with its content type and its own links."""
        for leaving in (name, relationships_part(name)):
            if self.has(leaving):
                self._touched.pop(part_key(leaving), None)
                self._bytes[part_key(leaving)] = (leaving, None)
        types = self.xml(CONTENT_TYPES)
        for override in types.findall(_TYPES + "Override"):
            if part_key(override.get("PartName", "").lstrip("/")) == part_key(name):
                types.remove(override)
                self.touch(CONTENT_TYPES)

    def changes(self) -> dict[str, bytes | None]:
        """Give the parts that differ from the source: their new bytes, or ``None`` for one that is left out."""
        changed = dict(self._bytes.values())
        for key, name in self._touched.items():
            changed[name] = serialise(self._trees[key])
        return changed

    def free_name(self, pattern: str) -> str:
        """Find a part name that is not in use.

        Args:
            pattern: Such as ``xl/comments{}.xml``.

        Returns:
            The pattern with the smallest number from 1 that is free.
        """
        number = 1
        while self.has(pattern.format(number)) or self.package.has(pattern.format(number)):
            number += 1
        return pattern.format(number)

    def links(self, source: str) -> list[Relationship]:
        """List the links of a part as they will be."""
        if source not in self._links:
            self._links[source] = self.package.relationships(source)
        return list(self._links[source])

    def link(self, source: str, kind: str, target: str) -> str:
        """Add a link from one part to another.

        Args:
            source: The part that holds the link.
            kind: Last word of the type, such as ``comments``.
            target: The other part.

        Returns:
            The identity that the source uses for it.
        """
        root = self._links_root(source)
        taken = {element.get("Id") for element in root if isinstance(element.tag, str)}
        number = 1
        while f"rId{number}" in taken:
            number += 1
        element = etree.SubElement(root, f"{{{_LINKS}}}Relationship")
        element.set("Id", f"rId{number}")
        element.set("Type", self._base + kind)
        element.set("Target", posixpath.relpath("/" + target, "/" + posixpath.dirname(source)))
        self.touch(relationships_part(source))
        self._links[source] = [*self.links(source), Relationship(f"rId{number}", kind, target, False)]
        return f"rId{number}"

    def unlink(self, source: str, identity: str) -> None:
        """Take a link away; a part without links keeps an empty list, which is allowed."""
        root = self._links_root(source)
        for element in list(root):
            if isinstance(element.tag, str) and element.get("Id") == identity:
                root.remove(element)
                self.touch(relationships_part(source))
        self._links[source] = [link for link in self.links(source) if link.id != identity]

    def _links_root(self, source: str) -> etree._Element:
        part = relationships_part(source)
        if part_key(part) not in self._trees and not self.package.has(part):
            self._trees[part_key(part)] = new_root(f'<Relationships xmlns="{_LINKS}"/>')
        return self.xml(part)

    def declare(self, name: str, content_type: str) -> None:
        """State the content type of a part, once."""
        types = self.xml(CONTENT_TYPES)
        for override in types.iterfind(_TYPES + "Override"):
            if part_key(override.get("PartName", "").lstrip("/")) == part_key(name):
                return
        element = etree.SubElement(types, _TYPES + "Override")
        element.set("PartName", "/" + name)
        element.set("ContentType", content_type)
        self.touch(CONTENT_TYPES)

    def declare_by_extension(self, name: str, content_type: str) -> None:
        """State the content type of a part for all parts with its extension, where that is not taken otherwise.

        For drawings in the old language all spreadsheet programs do it so, and some rely on it.
        """
        extension = posixpath.splitext(name)[1].lstrip(".")
        types = self.xml(CONTENT_TYPES)
        for default in types.iterfind(_TYPES + "Default"):
            if default.get("Extension", "").lower() == extension.lower():
                if default.get("ContentType") != content_type:
                    self.declare(name, content_type)
                return
        element = etree.Element(_TYPES + "Default", Extension=extension, ContentType=content_type)
        types.insert(0, element)
        self.touch(CONTENT_TYPES)


def serialise(root: etree._Element) -> bytes:
    """Write a tree as office programs do: UTF-8, standalone, prefixes and blanks as they were."""
    return etree.tostring(root.getroottree(), xml_declaration=True, encoding="UTF-8", standalone=True)


def new_root(xml: str) -> etree._Element:
    """Parse a part of our own making."""
    return parse_xml(xml.encode(), "of our own")


def child_in_order(parent: etree._Element, ns: str, name: str, order: tuple[str, ...]) -> etree._Element:
    """Find a child, or add it where the schema wants it.

    Args:
        parent: The parent element.
        ns: Namespace in braces.
        name: Local name of the child.
        order: Local names of the possible children in the order of the schema.

    Returns:
        The child. A new one stands behind the last of those that must come before it.
    """
    found = parent.find(ns + name)
    if found is not None:
        return found
    before = frozenset(order[: order.index(name)])
    at = 0
    for place, child in enumerate(parent, start=1):
        if local_name(child) in before:
            at = place
    child = etree.Element(ns + name)
    parent.insert(at, child)
    return child
