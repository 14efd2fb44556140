"""Parsing XML that strangers wrote: no entities, no document types, no network, no giant trees."""

from __future__ import annotations

import re

from lxml import etree

from railwright.reading.recognise import SEND_AGAIN
from railwright.reading.unreadable import Unreadable

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
STRICT_MAIN = "http://purl.oclc.org/ooxml/spreadsheetml/main"
"""Namespaces of spreadsheet parts: the usual transitional form and the strict form of ISO/IEC 29500-1."""

_ENCODING = re.compile(rb"""^<\?xml[^>]{0,200}?encoding\s*=\s*["']([A-Za-z0-9._-]{1,40})["']""")

# In all of these the letters of the XML syntax are the ASCII ones, so that a document type cannot hide from a
# search of the bytes. The format itself asks for UTF-8 or UTF-16 (ECMA-376-2, 8.1.4).
_BYTE_ENCODINGS = frozenset({b"utf-8", b"utf8", b"us-ascii", b"ascii", b"iso-8859-1", b"iso-8859-15", b"windows-1252"})


def parse_xml(data: bytes, part: str) -> etree._Element:
    """Parse one part.

    Args:
        data: Its bytes.
        part: Its name, for the message.

    Returns:
        The root element.

    Raises:
        Unreadable: If it is not well formed, or holds a document type, or is in an unusual encoding.
    """
    if _declares_document_type(data):
        raise Unreadable(
            f"The file was refused: its part {part[:80]!r} defines entities, which no office program writes.",
            "Do not open it; ask the sender how it was made.",
        )
    try:
        root = etree.fromstring(data, _parser())
    except (etree.XMLSyntaxError, ValueError, LookupError):
        raise Unreadable(f"The workbook is damaged: its part {part[:80]!r} is not whole.", SEND_AGAIN) from None
    if root.getroottree().docinfo.internalDTD is not None:
        raise Unreadable(f"The file was refused: its part {part[:80]!r} has a document type.", SEND_AGAIN)
    return root


def _parser() -> etree.XMLParser:
    # Blank text and comments stay: the same tree is written back into a flagged copy.
    return etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        huge_tree=False,
        load_dtd=False,
        dtd_validation=False,
        collect_ids=False,
    )


def _declares_document_type(data: bytes) -> bool:
    """Look for a document type in the raw bytes, before a parser sees them."""
    if data.startswith((b"\xff\xfe", b"<\0")):
        return "<!DOCTYPE".encode("utf-16-le") in data
    if data.startswith((b"\xfe\xff", b"\0<")):
        return "<!DOCTYPE".encode("utf-16-be") in data
    found = _ENCODING.match(data.lstrip(b"\xef\xbb\xbf"))
    if found and found.group(1).lower() not in _BYTE_ENCODINGS:
        return True
    return b"<!DOCTYPE" in data or data.startswith((b"\x4c\x6f\xa7\x94", b"\0\0", b"+ADw"))


def namespace_of(root: etree._Element, part: str) -> str:
    """Give the spreadsheet namespace of a part, whatever prefix the writer chose.

    Args:
        root: Root of the part.
        part: Its name, for the message.

    Returns:
        The transitional or the strict namespace in braces, ready to stand before a tag.

    Raises:
        Unreadable: If the root is in another namespace.
    """
    namespace = etree.QName(root).namespace
    if namespace not in (MAIN, STRICT_MAIN):
        raise Unreadable(f"The workbook is damaged: its part {part[:80]!r} is not a spreadsheet part.", SEND_AGAIN)
    return f"{{{namespace}}}"


def local_name(element: etree._Element) -> str:
    """Give a tag without its namespace; empty for a comment or a processing instruction."""
    return etree.QName(element).localname if isinstance(element.tag, str) else ""
