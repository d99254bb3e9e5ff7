"""The latest finish and the longest wait, priced exactly.

Both grow with the longest round on the floor. For any cap on rounds the partition is a plain one
over the columns below the cap, and its price only falls as the cap rises; so caps are searched
best bound first until no interval of caps can hold anything cheaper.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

import numpy as np

from heftwright.solve.floor.columns import Columns
from heftwright.solve.floor.master import Ints, Master, Partition, Resources

CLOSE_RATIO = 0.001
_MOST_CAPS = 40


@dataclass(frozen=True, slots=True)
class Priced:
    """A partition with its clock.

    Parameters
    ----------
    partition : Partition
        Columns by their places among all columns.
    cost, bound : float
        With the price of the longest round [ds].
    is_proven : bool
        Whether nothing is cheaper by more than a thousandth.
    """

    partition: Partition
    cost: float
    bound: float
    is_proven: bool


@dataclass(frozen=True, slots=True)
class _Interval:
    """Caps from the shortest thinkable round to ``longest`` with a bound on their price."""

    shortest: int
    longest: int
    bound: float


class CapSearch:
    """Searches caps on the longest round.

    Parameters
    ----------
    columns, resources, lifters, seed
        Of the partition.
    price : float
        Of each ds of the longest round.
    """

    def __init__(
        self, columns: Columns, resources: Resources, lifters: int, seed: int, *, price: float
    ) -> None:
        self.columns = columns
        self.resources = resources
        self.lifters = lifters
        self.seed = seed
        self.price = price

    def solve(self, limit_s: float) -> Priced:
        """The cheapest partition with its longest round."""
        ends = time.monotonic() + limit_s
        longest = int(self.columns.round_ds.max(initial=0))
        first = self._at(longest, ends, np.inf)
        best = self._priced(first)
        if not self.price:
            return Priced(first, first.cost, first.bound, first.is_proven)
        shortest = self._shortest()
        waiting = self._left_of(first, shortest)
        settled = first.bound + self.price * self._longest_of(first)
        for _ in range(_MOST_CAPS):
            waiting = [one for one in waiting if one.bound < best[0] * (1 - CLOSE_RATIO)]
            if not waiting or time.monotonic() > ends:
                break
            here = min(waiting, key=lambda one: (one.bound, one.shortest))
            waiting.remove(here)
            middle = self._cap_in(here)
            part = self._at(middle, ends, best[0] - self.price * here.shortest)
            best = min(best, self._priced(part), key=lambda pair: pair[0])
            waiting += self._split(here, middle, part)
        bound = min([settled, best[0] * (1 - CLOSE_RATIO), *(one.bound for one in waiting)])
        return Priced(best[1], best[0], min(bound, best[0]), not waiting)

    def _priced(self, partition: Partition) -> tuple[float, Partition]:
        return partition.cost + self.price * self._longest_of(partition), partition

    def _longest_of(self, partition: Partition) -> int:
        return int(self.columns.round_ds[partition.chosen].max(initial=0))

    def _shortest(self) -> int:
        """No plan's longest round is below every lifter's shortest."""
        shortest = 0
        for lifter in range(self.lifters):
            has = (self.columns.members == lifter).any(axis=1)
            if has.any():
                shortest = max(shortest, int(self.columns.round_ds[has].min()))
        return shortest

    def _left_of(self, part: Partition, shortest: int) -> list[_Interval]:
        longest = self._longest_of(part) - 1
        bound = part.bound + self.price * shortest
        return [_Interval(shortest, longest, bound)] if longest >= shortest else []

    def _cap_in(self, here: _Interval) -> int:
        """The longest round there is in the middle of the interval."""
        rounds = np.unique(self.columns.round_ds)
        inside = rounds[(rounds >= here.shortest) & (rounds <= here.longest)]
        return int(inside[len(inside) // 2]) if len(inside) else here.longest

    def _split(self, here: _Interval, middle: int, part: Partition) -> list[_Interval]:
        """What the answer at ``middle`` leaves open: shorter rounds, and longer ones."""
        floor_price = here.bound - self.price * here.shortest
        shorter = self._longest_of(part) - 1 if part.is_proven else middle
        below = _Interval(here.shortest, shorter, part.bound + self.price * here.shortest)
        above = _Interval(middle + 1, here.longest, floor_price + self.price * (middle + 1))
        return [one for one in (below, above) if one.longest >= one.shortest]

    def _at(self, cap: int, ends: float, cutoff: float) -> Partition:
        inside: Ints = np.flatnonzero(self.columns.round_ds <= cap)
        resources = Resources(self.resources.use[:, inside], self.resources.limit)
        master = Master(self.columns.take(inside), resources, self.lifters, self.seed)
        part = master.solve(max(0.05, ends - time.monotonic()), cutoff)
        return Partition(inside[part.chosen], part.unplaced, part.cost, part.bound, part.reduced)
