"""What every DXF file has in common: header, tables and objects, made once and reused for each drawing."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from railwright.writing.drawings.layers import LAYERS, Layer

if TYPE_CHECKING:
    from ezdxf.document import Drawing

#: Names of the text style and the dimension style of a drawing.
LETTERS, DIMENSIONS = "letters", "running-mm"

#: Lines end as on the office's machines.
LINE_END = "\r\n"

#: Drawings take their handles from here on, well above those of the frame.
FIRST_HANDLE = 0x1000
_HIGHEST_HANDLE = "FFFFFF"

#: Line weights that the format knows, in hundredths of a mm.
_WEIGHTS = (5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100)
#: Bright colours by the number that the format has for them; 7 is ink on any ground, 8 grey.
_COLOURS = {
    1: (255, 0, 0), 20: (255, 63, 0), 30: (255, 127, 0), 40: (255, 191, 0), 2: (255, 255, 0), 3: (0, 255, 0),
    4: (0, 255, 255), 5: (0, 0, 255), 6: (255, 0, 255),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Frame:
    """A DXF document without its drawing, cut where a drawing's own parts belong.

    ``head`` ends before the tags of a drawing's extent, ``tables`` before the list of blocks ends, ``blocks`` before
    the blocks end, ``entities`` before the entities end; ``tail`` is the rest. ``model_space`` and ``block_table`` are
    the handles of the owners of entities and of blocks.
    """

    head: str
    tables: str
    blocks: str
    entities: str
    tail: str
    model_space: str
    block_table: str


@lru_cache(maxsize=1)
def frame() -> Frame:
    """Make the parts that all drawings share; layers, line types, units in mm.

    Returns:
        The same text in every process with the same library.
    """
    with _without_clock():
        document = _document()
        text = _text(document)
    return _cut(text, document.modelspace().layout_key, document.block_records.head.dxf.handle)


def _document() -> Drawing:
    import ezdxf
    from ezdxf import units

    document = ezdxf.new("R2000", setup=False, units=units.MM)  # type: ignore[attr-defined]
    document.styles.add(LETTERS, font="arial.ttf")
    looks = {"dimtxsty": LETTERS, "dimtxt": 2.2, "dimasz": 1.6, "dimdec": 1, "dimscale": 1.0}
    document.dimstyles.new(DIMENSIONS, dxfattribs=looks)
    for layer in LAYERS:
        _add_layer(document, layer)
    return document


def _add_layer(document: Drawing, layer: Layer) -> None:
    """Add a layer with its line type, weight, colour and description."""
    line_type = "Continuous"
    if layer.dashes:
        line_type = f"dashes-{layer.name}"
        signed = [size if index % 2 == 0 else -size for index, size in enumerate(layer.dashes)]
        document.linetypes.add(line_type, [sum(layer.dashes), *signed], description=f"dashes of layer {layer.name}")
    weight = min(_WEIGHTS, key=lambda one: abs(one - 100.0 * layer.width_mm))
    entry = document.layers.add(layer.name, color=nearest_colour(layer.colour), linetype=line_type, lineweight=weight)
    entry.description = layer.holds


def nearest_colour(colour: str) -> int:
    """Give the number of the colour that comes closest to ``#rrggbb``; what is nearly black is drawn as ink."""
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    strongest = max(red, green, blue)
    if strongest - min(red, green, blue) < 32:
        return 7 if strongest < 90 else 8
    bright = [255.0 * part / strongest for part in (red, green, blue)]
    return min(_COLOURS, key=lambda number: sum((a - b) ** 2 for a, b in zip(_COLOURS[number], bright, strict=True)))


def _text(document: Drawing) -> str:
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().replace("\r\n", "\n")


@contextmanager
def _without_clock() -> Iterator[None]:
    """Make the library leave out the time and the numbers drawn by lot that a new document has."""
    import ezdxf

    options = ezdxf.options  # type: ignore[attr-defined]
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _cut(text: str, model_space: str, block_table: str) -> Frame:
    text = re.sub(r"  9\n\$EXT(MIN|MAX)\n( [123]0\n.*\n){3}", "", text)
    text = re.sub(r"(\$HANDSEED\n  5\n).*\n", rf"\g<1>{_HIGHEST_HANDLE}\n", text)
    head = text.index("  0\nENDSEC\n")
    tables = text.index("  0\nENDTAB\n", text.index("TABLE\n  2\nBLOCK_RECORD\n"))
    blocks = text.index("  0\nENDSEC\n", text.index("SECTION\n  2\nBLOCKS\n"))
    entities = text.index("  0\nENDSEC\n", text.index("SECTION\n  2\nENTITIES\n"))
    cuts = (0, head, tables, blocks, entities, len(text))
    one, two, three, four, five = (text[start:end].replace("\n", LINE_END) for start, end in pairwise(cuts))
    return Frame(one, two, three, four, five, model_space, block_table)
