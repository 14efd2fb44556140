"""How the ends of a felt strip are cut: in one sentence, for list, sheet, drawing and label."""

from __future__ import annotations

#: A strip's length is over its long points; felt and carrier are mitred together. Common practice, no source.
FELT_ENDS = "Cut square to the long-point length; trim to the carrier's ends after gluing."
