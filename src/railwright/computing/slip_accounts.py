"""Many accounts of a section's readings, kept as few lists: most are too unlikely for anybody to look at them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import overload

from railwright.computing.gap_model import GapPrior
from railwright.computing.slip_hypotheses import Hypothesis, under


@dataclass(frozen=True, slots=True)
class Chance:
    """Accounts under one thing that the section may be, of so much probability (logarithm).

    ``clean`` are the places of those without a slip. Without a ``prior`` the accounts are as they stand.
    """

    accounts: Sequence[Hypothesis]
    clean: Sequence[int]
    prior: GapPrior | None = None
    log_chance: float = 0.0

    def account(self, place: int) -> Hypothesis:
        """Give one account, with what the section is by it."""
        plain = self.accounts[place]
        return plain if self.prior is None else under(plain, self.prior, self.log_chance)


class Accounts(Sequence[Hypothesis]):
    """Accounts under everything that a section may be, one after the other; each is made when it is asked for."""

    def __init__(self, chances: Sequence[Chance]) -> None:
        self._chances = tuple(chances)
        self._starts = list(accumulate((len(each.accounts) for each in self._chances), initial=0))

    def __len__(self) -> int:
        return self._starts[-1]

    @overload
    def __getitem__(self, place: int) -> Hypothesis: ...
    @overload
    def __getitem__(self, place: slice) -> tuple[Hypothesis, ...]: ...
    def __getitem__(self, place: int | slice) -> Hypothesis | tuple[Hypothesis, ...]:
        if isinstance(place, slice):
            return tuple(self[each] for each in range(*place.indices(len(self))))
        at = range(len(self))[place]
        chance = bisect_right(self._starts, at) - 1
        return self._chances[chance].account(at - self._starts[chance])

    def __iter__(self) -> Iterator[Hypothesis]:
        return (chance.account(place) for chance in self._chances for place in range(len(chance.accounts)))

    def clean(self) -> list[int]:
        """Give the places of the accounts without a slip."""
        each = zip(self._starts, self._chances, strict=False)
        return [start + place for start, chance in each for place in chance.clean]

    def and_also(self, more: Sequence[Hypothesis]) -> Accounts:
        """Add further accounts at the end."""
        return Accounts((*self._chances, Chance(more, clean_places(more)))) if more else self


def clean_places(accounts: Sequence[Hypothesis]) -> list[int]:
    """Give the places of the accounts without a slip."""
    if isinstance(accounts, Accounts):
        return accounts.clean()
    return [place for place, account in enumerate(accounts) if not account.names]
