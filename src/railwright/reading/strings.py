"""Text in a workbook: the shared table, rich runs, and the escapes for signs that XML cannot hold."""

from __future__ import annotations

import re

from lxml import etree

_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")


def unescape(text: str) -> str:
    """Undo the escapes of ST_Xstring (ECMA-376-1, 22.9.2.19): ``_x000D_`` stands for a carriage return.

    Args:
        text: As it stands in the part.

    Returns:
        As it was typed. An escape of half a surrogate pair stays as it is, because it stands for no sign.
    """
    if "_x" not in text:
        return text
    return _ESCAPE.sub(_sign, text)


def _sign(found: re.Match[str]) -> str:
    code = int(found.group(1), 16)
    return found.group(0) if 0xD800 <= code <= 0xDFFF else chr(code)


def joined_text(item: etree._Element, ns: str) -> str:
    """Join the text of a string item (``si`` or ``is``).

    Rich runs belong to the text; phonetic runs (``rPh``), which say how it is pronounced, do not.

    Args:
        item: The element.
        ns: Namespace in braces.

    Returns:
        The whole text as typed.
    """
    pieces = []
    for child in item:
        if child.tag == ns + "t":
            pieces.append(child.text or "")
        elif child.tag == ns + "r":
            pieces.extend(run.text or "" for run in child.iterchildren(ns + "t"))
    return unescape("".join(pieces))


def shared_strings(root: etree._Element, ns: str) -> list[str]:
    """List the texts of a shared string part.

    Args:
        root: Root of the part.
        ns: Namespace in braces.

    Returns:
        The texts, by their number in the table.
    """
    return [joined_text(item, ns) for item in root.iterchildren(ns + "si")]
