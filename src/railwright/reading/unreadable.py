"""The one way in which a file can turn out not to be a workbook."""

from __future__ import annotations


class Unreadable(Exception):
    """A file that cannot be read as a workbook, said so that a clerk can act on it.

    Attributes:
        reason: One plain sentence about what the file is or what is wrong with it.
        remedy: One plain sentence about what to do.
    """

    def __init__(self, reason: str, remedy: str) -> None:
        """Keep both sentences; each ends with a full stop."""
        super().__init__(f"{reason} {remedy}")
        self.reason = reason
        self.remedy = remedy

    def __reduce__(self) -> tuple[type[Unreadable], tuple[str, str]]:
        """Travel between worker processes, which exceptions with two arguments otherwise do not."""
        return Unreadable, (self.reason, self.remedy)
