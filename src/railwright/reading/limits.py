"""How much of a file is taken in, and why.

Every limit is checked against the zip directory before a byte is unpacked, so that a hostile or broken file costs
no more than its own directory. A survey workbook has some 20 members, 50 kB of cells and a few photos.
"""

from __future__ import annotations

MIB = 1024 * 1024

MAX_FILE = 100 * MIB
"""Size of a file. Twenty photos straight from a telephone; larger ones do not pass most mail servers anyway."""

MAX_MEMBERS = 5_000
"""Members of a package. A workbook of a hundred sheets with drawings and notes has fewer than a thousand."""

MAX_DIRECTORY = 2 * MIB
"""Size of the zip directory: room for all the members above with names of 350 letters."""

MAX_MEMBER = 256 * MIB
"""Unpacked size of one member. An uncompressed picture of 80 million points has 240 MB."""

MAX_TOTAL = 512 * MIB
"""Unpacked size of all members together: what any office program can still open."""

RATIO_FREE = 8 * MIB
"""Below this unpacked size a member may shrink as much as it likes: a blank picture shrinks a thousandfold."""

MAX_RATIO = 250
"""Unpacked to packed size of a larger member. Sheets and text reach 100; a zip bomb is near deflate's 1,032."""

MAX_XML = 4 * MIB
"""Unpacked size of a part that is parsed. The parsed tree can take thirty times the room; a survey sheet has 50 kB.
Sheets nobody asks for are never parsed and may be larger."""

MAX_XML_TOTAL = 5 * MIB
"""Unpacked size of all parts of one file that are parsed, so that one worker never takes more than some 200 MB."""

MAX_CLEANED = 2 * MIB
"""Size of the sheets that are looked through for stray marks in a copy that came back, beside those known to have
some."""

MAX_MERGES = 2_000
"""Merged areas of a sheet. A form has some 50."""

MAX_CELLS = 200_000
"""Cells of one sheet, written ones and formatted blank ones together."""

MAX_NAMES = 5_000
"""Defined names of a workbook. A survey has some 160."""

MAX_BLANKS = 1_000
"""Blanks in a row that OpenDocument writes as a count, so that a short text cannot stand for a huge one."""

LAST_ROW = 1_048_576
LAST_COLUMN = 16_384
"""The last row and column that the file format has (XFD1048576)."""
