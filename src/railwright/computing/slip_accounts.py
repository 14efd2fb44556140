"""Many accounts of a section's readings, kept as few lists: most are too unlikely for anybody to look at them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import overload

from railwright.computing.gap_model import GapPrior
from railwright.computing.slip_hypotheses import Family, Hypothesis, under


@dataclass(frozen=True, slots=True)
class Chance:
    """A family of accounts under one thing that the section may be, of so much probability (logarithm)."""

    family: Family
    prior: GapPrior
    log_chance: float

    def account(self, place: int) -> Hypothesis:
        """Give one account, with what the section is by it."""
        return under(self.family.account(place), self.prior, self.log_chance)


class Accounts(Sequence[Hypothesis]):
    """Accounts under everything that a section may be, one after the other; each is made when it is asked for."""

    def __init__(self, chances: Sequence[Chance], more: Sequence[Hypothesis] = ()) -> None:
        """Keep the families of accounts, and further ones as they are."""
        self._chances, self._more = tuple(chances), tuple(more)
        self._starts = list(accumulate((len(each.family.ways.names) for each in self._chances), initial=0))

    def __len__(self) -> int:
        """Count all of them."""
        return self._starts[-1] + len(self._more)

    @overload
    def __getitem__(self, place: int) -> Hypothesis: ...
    @overload
    def __getitem__(self, place: slice) -> tuple[Hypothesis, ...]: ...
    def __getitem__(self, place: int | slice) -> Hypothesis | tuple[Hypothesis, ...]:
        """Give one account, or some."""
        if isinstance(place, slice):
            return tuple(self[each] for each in range(*place.indices(len(self))))
        at = range(len(self))[place]
        if at >= self._starts[-1]:
            return self._more[at - self._starts[-1]]
        chance = bisect_right(self._starts, at) - 1
        return self._chances[chance].account(at - self._starts[chance])

    def clean(self) -> list[int]:
        """Give the places of the accounts without a slip."""
        each = zip(self._starts, self._chances, strict=False)
        found = [start + place for start, chance in each for place in chance.family.ways.clean]
        return found + [self._starts[-1] + place for place in clean_places(self._more)]

    def and_also(self, more: Sequence[Hypothesis]) -> Accounts:
        """Add further accounts at the end."""
        return Accounts(self._chances, (*self._more, *more))


def clean_places(accounts: Sequence[Hypothesis]) -> list[int]:
    """Give the places of the accounts without a slip."""
    if isinstance(accounts, Accounts):
        return accounts.clean()
    return [place for place, account in enumerate(accounts) if not account.names]
