"""Text on its way into a part: always data, never a formula, never broken XML."""

from __future__ import annotations

import re

from lxml import etree

SPACE = "{http://www.w3.org/XML/1998/namespace}space"
MAX_TEXT = 32_767
"""Signs that a cell may hold (specification limits of spreadsheet programs)."""

_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\r\x0e-\x1f]")
_NO_SIGN = re.compile("[\ud800-\udfff\ufffe\uffff]")


def escape(text: str) -> str:
    """Write text in the form of ST_Xstring (ECMA-376-1, 22.9.2.19).

    Args:
        text: Any text.

    Returns:
        The text with control signs written as ``_x000D_``, an underscore that would look like such an escape written
        as ``_x005F_``, and code points that are no signs replaced. It is cut to what a cell may hold.
    """
    clean = _NO_SIGN.sub("\ufffd", text[:MAX_TEXT])
    return _CONTROL.sub(lambda found: f"_x{ord(found.group()):04X}_", _LOOKS_ESCAPED.sub("_x005F_", clean))


def clean_text(text: str) -> str:
    """Leave out what XML cannot hold and a format without escapes cannot write: control signs and half signs."""
    return _CONTROL.sub("", _NO_SIGN.sub("\ufffd", text[:MAX_TEXT]))


def as_content(text: str) -> str:
    """Write text as the content of an element or an attribute of a part that is put together as text."""
    clean = escape(text)
    return clean.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


def add_text(parent: etree._Element, ns: str, text: str) -> etree._Element:
    """Add a ``t`` element that keeps its blanks.

    Args:
        parent: The ``is``, ``si`` or ``r`` element.
        ns: Namespace in braces.
        text: Any text.

    Returns:
        The new element.
    """
    element = etree.SubElement(parent, ns + "t")
    element.text = escape(text)
    element.set(SPACE, "preserve")
    return element
