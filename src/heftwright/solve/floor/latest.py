"""The latest finish and the longest wait, priced exactly.

Both grow with the longest round on the floor. For any cap on rounds the partition is a plain one
over the columns below the cap, and its price only falls as the cap rises; so caps are searched
best bound first until no interval of caps can hold anything cheaper.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

import numpy as np

from heftwright.solve.floor.master import Partition
from heftwright.solve.floor.stock import StockedMaster

CLOSE_RATIO = 0.003
A_CAP_RATIO = 0.4
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
        Whether nothing is cheaper by more than the search's ratio.
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
    solver : StockedMaster
        Solves the partition below a cap.
    price : float
        Of each ds of the longest round.
    close_ratio : float
        How far from the bound an answer may be to count as proven.
    """

    def __init__(
        self, solver: StockedMaster, *, price: float, close_ratio: float = CLOSE_RATIO
    ) -> None:
        self.solver = solver
        self.price = price
        self.close_ratio = close_ratio

    def solve(self, longest: int, ends: float) -> Priced:
        """The cheapest partition with its longest round, none above ``longest`` [ds]."""
        shortest = self._shortest()
        slack = self.close_ratio / 2 * self.price * shortest
        first = self.solver.solve(longest, _share(ends), slack=slack)
        if not self.price:
            return Priced(first, first.cost, first.bound, first.is_proven)
        best = self._priced(first)
        settled = first.bound + self.price * self._longest_of(first)
        waiting = self._left_of(first, shortest)
        for _ in range(_MOST_CAPS):
            waiting = [one for one in waiting if one.bound < best[0] * (1 - self.close_ratio)]
            if not waiting or time.monotonic() > ends:
                break
            here = min(waiting, key=lambda one: (one.bound, one.shortest))
            waiting.remove(here)
            middle = self._cap_in(here)
            cutoff = best[0] - self.price * here.shortest
            part = self.solver.solve(middle, _share(ends), cutoff, slack)
            best = min(best, self._priced(part), key=lambda pair: pair[0])
            waiting += self._split(here, middle, part, slack)
        bound = min([settled, best[0] * (1 - self.close_ratio), *(one.bound for one in waiting)])
        is_proven = not waiting and settled >= best[0] * (1 - self.close_ratio)
        return Priced(best[1], best[0], min(bound, best[0]), is_proven)

    def _priced(self, partition: Partition) -> tuple[float, Partition]:
        return partition.cost + self.price * self._longest_of(partition), partition

    def _longest_of(self, partition: Partition) -> int:
        return int(self.solver.columns.round_ds[partition.chosen].max(initial=0))

    def _shortest(self) -> int:
        """No plan's longest round is below any lifter's shortest."""
        columns = self.solver.columns
        least = np.full(self.solver.lifters + 1, np.iinfo(np.int64).max)
        for place in range(columns.members.shape[1]):
            np.minimum.at(least, columns.members[:, place], columns.round_ds)
        served = least[: self.solver.lifters]
        return int(served[served < np.iinfo(np.int64).max].max(initial=0))

    def _left_of(self, part: Partition, shortest: int) -> list[_Interval]:
        longest = self._longest_of(part) - 1
        bound = part.bound + self.price * shortest
        return [_Interval(shortest, longest, bound)] if longest >= shortest else []

    def _cap_in(self, here: _Interval) -> int:
        """The longest round there is in the middle of the interval."""
        rounds = np.unique(self.solver.columns.round_ds)
        inside = rounds[(rounds >= here.shortest) & (rounds <= here.longest)]
        return int(inside[len(inside) // 2]) if len(inside) else here.longest

    def _split(
        self, here: _Interval, middle: int, part: Partition, slack: float
    ) -> list[_Interval]:
        """What the answer at ``middle`` leaves open: shorter rounds, and longer ones."""
        floor_price = here.bound - self.price * here.shortest
        shorter = middle if part.bound < part.cost - slack - 1 else self._longest_of(part) - 1
        below = _Interval(here.shortest, shorter, part.bound + self.price * here.shortest)
        above = _Interval(middle + 1, here.longest, floor_price + self.price * (middle + 1))
        return [one for one in (below, above) if one.longest >= one.shortest]


def _share(ends: float) -> float:
    """When one cap must be done, so that others are looked at too."""
    now = time.monotonic()
    return now + A_CAP_RATIO * max(0.0, ends - now)
