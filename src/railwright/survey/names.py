"""File names made from what people write, safe on every desktop system and never outside their folder."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Sequence

#: Windows keeps these names for devices, with or without an ending.
_RESERVED = frozenset(
    {"con", "prn", "aux", "nul", *(f"com{n}" for n in "123456789¹²³"), *(f"lpt{n}" for n in "123456789¹²³")}
)
_UNSAFE = re.compile(r"[^\w.+()-]+", re.ASCII)
_LONGEST = 80


def safe_name(text: str) -> str:
    """Turn any text into one file name without an ending.

    Letters and figures of the basic Latin alphabet and ``. _ + ( ) -`` stay, accents are taken off, everything
    else becomes one hyphen. A name that had to be changed gets a short mark drawn from the whole text, so that
    different order numbers never share a file.

    Args:
        text: an order number or another name that somebody typed.

    Returns:
        A name of 1 to 80 characters without separators, leading or trailing dots, or reserved device names. Two
        texts that differ in more than outer blanks give different names.
    """
    plain = text.strip()
    letters = "".join(c for c in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(c))
    name = _UNSAFE.sub("-", letters).strip(".-")
    reserved = name.split(".")[0].casefold() in _RESERVED
    if name and name == plain and not reserved and len(name) <= _LONGEST:
        return name
    mark = hashlib.sha256(plain.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    stem = f"x-{name}" if reserved else (name or "unnamed")
    return f"{stem[: _LONGEST - 9].rstrip('.-')}-{mark}"


def safe_names(texts: Sequence[str]) -> tuple[str, ...]:
    """Turn texts into file names that differ from each other even where upper and lower case are one.

    Args:
        texts: order numbers or other names; the same text may come twice.

    Returns:
        One name a text, in the same order; the second and later ones that would collide are numbered.
    """
    taken: set[str] = set()
    names = []
    for text in texts:
        stem = name = safe_name(text)
        count = 1
        while name.casefold() in taken:
            count += 1
            name = f"{stem[: _LONGEST - len(str(count)) - 1]}-{count}"
        taken.add(name.casefold())
        names.append(name)
    return tuple(names)
