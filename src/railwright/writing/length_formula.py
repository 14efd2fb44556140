"""Spreadsheet formulas that read a typed length, so that a sheet of text cells can still be reckoned with.

They understand what people type most: decimals with point or comma, inches with a fraction, a unit behind. Whatever
else is typed comes out empty, and the checks that need it stay silent. Only functions that every office program of the
last fifteen years knows are used, and no conversion from text that depends on the country of the program: figures are
turned into numbers piece by piece.
"""

from __future__ import annotations

import re

_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

#: Signs that are written in several ways, and the one way that the other formulas look for, replaced in this order.
_SIGNS = (
    *((space, " ") for space in "\u00a0\u2009\u202f"),
    *((sign, f" {figures}") for sign, figures in _FRACTIONS.items()),
    ("\u2044", "/"),
    *(
        (sign, '"')
        for sign in ("\u2033", "\u201d", "''", "\u2019\u2019", "\u2032\u2032", "inches", "inch", "in.", "in")
    ),
    (",", "."),
    *((dash, " ") for dash in "-\u2010\u2011\u2013"),
)

ROWS = ("text", "unit", "length", "slash", "space", "over", "under", "whole", "point", "value", "mm")
"""The steps from what was typed to millimetres, each one row of formulas."""


def length_formulas(name: str, key: str) -> dict[str, str]:
    """Write the formulas that read one length, without the equals sign.

    Args:
        name: Prefix of the rows, such as ``span``. The formulas refer to each other as ``{span_text}`` and so on, and
            to ``{unit_mm}``, the cell with the millimetres in one unit of the sheet.
        key: The defined name of the cell that is read, such as ``s1_span``.

    Returns:
        The formulas by row name, in the order of ``ROWS``; the last gives millimetres, or empty text.
    """
    formulas = _texts(key) | _pieces() | _values(key)
    return {f"{name}_{row}": re.sub(r"\[(\w+)\]", rf"{{{name}_\1}}", formulas[row]) for row in ROWS}


def _texts(key: str) -> dict[str, str]:
    """Clean the text, find the millimetres in its unit, cut the unit off; ``[row]`` is another row of this length."""
    cleaned = f"LOWER({key})"
    for sign, plain in _SIGNS:
        cleaned = f"SUBSTITUTE({cleaned},{_quoted(sign)},{_quoted(plain)})"
    inch, metric = 'RIGHT([text],1)=""""', 'OR(RIGHT([text],2)="mm",RIGHT([text],2)="cm")'
    return {
        "text": f'IF(OR(ISNUMBER({key}),LEFT({key},1)="-"),"",TRIM({cleaned}))',
        "unit": f'IF({inch},25.4,IF(RIGHT([text],2)="mm",1,IF(RIGHT([text],2)="cm",10,{{unit_mm}})))',
        "length": f"TRIM(LEFT([text],LEN([text])-IF({inch},1,IF({metric},2,0))))",
    }


def _pieces() -> dict[str, str]:
    """Find slash and space; take the figures over and under the slash (-1 where they are none) and those before."""
    return {
        "slash": 'IFERROR(FIND("/",[length]),0)',
        "space": 'IF([slash]=0,0,IFERROR(FIND(" ",[length]),0))',
        "over": "IF([slash]=0,0,IFERROR(VALUE(MID([length],[space]+1,[slash]-[space]-1)),-1))",
        "under": "IF([slash]=0,1,IFERROR(VALUE(MID([length],[slash]+1,9)),-1))",
        "whole": 'IF([slash]=0,[length],IF([space]=0,"0",LEFT([length],[space]-1)))',
        "point": 'IFERROR(FIND(".",[whole]),0)',
    }


def _values(key: str) -> dict[str, str]:
    """Put the pieces together: -1 for what is no number; then millimetres, or empty text."""
    before = 'VALUE("0"&LEFT([whole],[point]-1))'
    behind = 'VALUE("0"&MID([whole],[point]+1,9))/10^(LEN([whole])-[point])'
    on_a_rule = "OR([under]=2,[under]=4,[under]=8,[under]=16,[under]=32,[under]=64)"
    possible = f"OR([slash]=0,AND({on_a_rule},[point]=0,[over]>=0,[over]<[under]))"
    typed = f'IF(AND([value]>=0,{possible}),([value]+[over]/[under])*[unit],"")'
    return {
        "value": f"IFERROR(IF([point]=0,VALUE([whole]),{before}+{behind}),-1)",
        "mm": f'IF(ISNUMBER({key}),{key}*{{unit_mm}},IF([text]="","",{typed}))',
    }


def _quoted(text: str) -> str:
    doubled = text.replace('"', '""')
    return f'"{doubled}"'
