"""The door for a workbook file: opened once, checked by its directory, unpacked part by part on request."""

from __future__ import annotations

import posixpath
import zlib
from dataclasses import dataclass, field
from pathlib import Path
from stat import S_ISREG
from urllib.parse import unquote

from lxml import etree

from railwright.reading import limits
from railwright.reading.directory import DEFLATED, Member, part_key, read_directory
from railwright.reading.recognise import SEND_AGAIN, not_a_zip, other_zip
from railwright.reading.safe_xml import parse_xml
from railwright.reading.unreadable import Unreadable

RELATIONSHIP_BASES = (
    "http://schemas.openxmlformats.org/officeDocument/2006/relationships/",
    "http://purl.oclc.org/ooxml/officeDocument/relationships/",
)
"""How the types of relationships begin, in the transitional and the strict form (ECMA-376-1 and -4)."""


@dataclass(frozen=True, slots=True)
class Relationship:
    """A link from one part to another; ``target`` is a part name, or an address when ``external``."""

    id: str
    kind: str
    target: str
    external: bool


@dataclass(slots=True)
class Package:
    """A zip file whose directory has been checked.

    The file is read once and closed at once, so that nobody's share lock stands in the way later. ``room`` is how much
    more may be parsed.
    """

    path: Path
    data: bytes
    members: list[Member]
    by_key: dict[str, Member] = field(default_factory=dict)
    room: int = limits.MAX_XML_TOTAL

    def has(self, name: str) -> bool:
        """Tell whether a part exists; capitals do not matter."""
        return part_key(name) in self.by_key

    def read(self, name: str) -> bytes:
        """Unpack one part.

        Args:
            name: Its name without a leading stroke; capitals do not matter.

        Returns:
            Its content, of exactly the promised size and checksum.

        Raises:
            Unreadable: If the part is missing, damaged, or larger than any part that is looked into.
        """
        member = self.by_key.get(part_key(name))
        if member is None:
            raise Unreadable(f"The workbook is damaged: its part {name[:80]!r} is missing.", SEND_AGAIN)
        if member.unpacked > limits.MAX_XML:
            raise too_large(name, member.unpacked)
        return _unpack(self.data, member)

    def xml(self, name: str) -> etree._Element:
        """Unpack and parse one part, while there is room left for parsed parts.

        Args:
            name: The part's name.

        Returns:
            Its root element.

        Raises:
            Unreadable: If the part is missing, damaged, too large or no XML.
        """
        member = self.by_key.get(part_key(name))
        if member is not None:
            if member.unpacked > self.room:
                raise too_large(name, member.unpacked)
            self.room -= member.unpacked
        return parse_xml(self.read(name), name)

    def relationships(self, name: str) -> list[Relationship]:
        """List the links of one part (of the package itself for an empty name).

        Args:
            name: The part's name.

        Returns:
            The links in the order of the file; none where the part has no list of links.
        """
        links = relationships_part(name)
        if not self.has(links):
            return []
        return [_relationship(name, element) for element in self.xml(links) if isinstance(element.tag, str)]


def too_large(name: str, size: int) -> Unreadable:
    """Name a part that is too large to be parsed; formatted empty rows are the usual cause."""
    return Unreadable(
        f"The part {name[:80]!r} of the workbook has {size / limits.MIB:.0f} MB: far more than a survey holds, usually "
        "because rows or columns far outside the form carry a format.",
        "Delete the rows below and the columns beside the form, save, and send it again.",
    )


def open_package(path: Path) -> Package:
    """Read a file and check its zip directory before anything is unpacked.

    Args:
        path: The file; it is only read, and closed again before this returns.

    Returns:
        The package.

    Raises:
        Unreadable: If the file cannot be opened, is no zip file, is damaged, or exceeds a limit.
    """
    data = _read_file(path)
    if not data.startswith(b"PK"):
        raise not_a_zip(data, path.name)
    members = read_directory(data)
    return Package(path, data, members, {part_key(member.name): member for member in members})


def _read_file(path: Path) -> bytes:
    try:
        facts = path.stat()
        if not S_ISREG(facts.st_mode):
            raise Unreadable(
                "This is no file but a folder that cannot be looked into, a link to one, or a device.",
                "If there are surveys in it, copy them into the folder that is processed.",
            )
        size = facts.st_size
        if size > limits.MAX_FILE:
            raise Unreadable(
                f"The file has {size / limits.MIB:.0f} MB; at most {limits.MAX_FILE // limits.MIB} MB are read.",
                "Make its photos smaller (the office program can compress pictures), and send it again.",
            )
        return path.read_bytes()
    except PermissionError:
        raise Unreadable(
            "The file could not be opened: another program holds it, or you may not read it.",
            "Close it in the office program, and run again.",
        ) from None
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise Unreadable(f"The file could not be read from the disk ({reason}).", "Copy it here again.") from None


def _unpack(data: bytes, member: Member) -> bytes:
    packed = memoryview(data)[member.data : member.data + member.packed]
    content = bytes(packed)
    if member.method == DEFLATED:
        try:
            # One byte more than promised is enough to see that the promise was false.
            content = zlib.decompressobj(-15).decompress(packed, member.unpacked + 1)
        except zlib.error:
            content = b""
    if len(content) != member.unpacked or zlib.crc32(content) != member.crc:
        raise Unreadable(f"The workbook is damaged: its part {member.name[:80]!r} does not unpack.", SEND_AGAIN)
    return content


def relationships_part(name: str) -> str:
    """Name the part that lists the links of a part (ECMA-376-2, 9.3.4)."""
    folder, leaf = posixpath.split(name)
    return posixpath.join(folder, "_rels", leaf + ".rels")


def _relationship(source: str, element: etree._Element) -> Relationship:
    kind = element.get("Type", "")
    for base in RELATIONSHIP_BASES:
        kind = kind.removeprefix(base)
    target = element.get("Target", "")
    external = element.get("TargetMode") == "External"
    return Relationship(element.get("Id", ""), kind, target if external else resolve(source, target), external)


def resolve(source: str, target: str) -> str:
    """Turn the target of a link into a part name.

    Args:
        source: The part that holds the link.
        target: As written: from the root with a stroke, else from the folder of the source.

    Returns:
        The part name without a leading stroke; it never leaves the package.
    """
    path = unquote(target).replace("\\", "/")
    joined = path if path.startswith("/") else posixpath.join("/", posixpath.dirname(source), path)
    return posixpath.normpath(joined).lstrip("/")


def find_workbook_part(package: Package) -> str:
    """Find the part that lists the sheets.

    Args:
        package: The open file.

    Returns:
        The part's name.

    Raises:
        Unreadable: If the file is some other kind of zip file.
    """
    for link in package.relationships(""):
        if link.kind == "officeDocument" and not link.external and package.has(link.target):
            if link.target.lower().endswith(".xml") and not link.target.lower().startswith(("word/", "ppt/")):
                return link.target
            break
    if package.has("xl/workbook.xml"):
        return "xl/workbook.xml"
    mimetype = package.read("mimetype") if package.has("mimetype") and _small(package, "mimetype") else b""
    raise other_zip(frozenset(package.by_key), mimetype, package.path.name)


def _small(package: Package, name: str) -> bool:
    return package.by_key[part_key(name)].unpacked < 1000
