"""The class as a set partitioning: every lifter in exactly one group.

The linear relaxation is solved by pricing every column explicitly against the duals, and
tightened with rows on three lifters: of all groups that hold two or more of the three, only one
can be used. The integer programme then holds just the columns whose reduced cost does not exceed
the gap, since no other can be in a better plan; the gap is widened until that proof closes.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from heftwright.solve.floor.columns import Columns
from heftwright.solve.floor.model import UNPLACED_DS, PartitionModel

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
BATCH = 400
POOL_RATIO = 0.08
FIRST_GAP_RATIO = 0.006
CLOSE_DS = 1e-3
CUTS_A_ROUND = 24
CUT_ROUNDS = 12
LEAST_VIOLATION = 0.04
WIDE_POOL = 1500
DIVE_S = 1.0
CUTS_A_LIFTER = 5
_MOST_PRICINGS = 300


@dataclass(frozen=True, slots=True)
class Resources:
    """What all groups share.

    Parameters
    ----------
    use : array
        ``[resource, column]`` how much each column takes.
    limit : array
        How much there is.
    """

    use: Floats
    limit: Floats


@dataclass(frozen=True, slots=True)
class Partition:
    """The outcome.

    Parameters
    ----------
    chosen : array
        Columns used.
    unplaced : array
        Places of lifters without a group.
    cost, bound : float
        Price with `UNPLACED_DS` for each lifter without a group, and a proven bound [ds].
    """

    chosen: Ints
    unplaced: Ints
    cost: float
    bound: float

    @property
    def is_proven(self) -> bool:
        """Whether nothing cheaper exists among the columns (costs are whole)."""
        return self.cost - self.bound < 1 - CLOSE_DS


class _Relaxation:
    """A linear relaxation over a pool of columns, priced until none is missing."""

    def __init__(self, master: Master, pool: Ints) -> None:
        self.master = master
        self.pool = pool
        self.members = master.columns.members[pool]
        self.cost = master.columns.cost[pool].astype(float)
        self.use = master.resources.use[:, pool]
        self.inside = self._first()
        self.model = PartitionModel(
            self.members[self.inside], self.cost[self.inside], self.use[:, self.inside],
            master.resources.limit, master.lifters, seed=master.seed,
        )  # fmt: skip
        self.value = 0.0
        self.taken: Floats = np.empty(0)
        self.reduced: Floats = np.empty(0)

    def _first(self) -> Ints:
        """Cheap a head."""
        a_head = self.cost / self.master.columns.size[self.pool]
        return np.argsort(a_head, kind="stable")[: 8 * self.master.lifters]

    def solve(self) -> None:
        """To the optimum over the pool."""
        for _ in range(_MOST_PRICINGS):
            self.value, self.taken, duals = self.model.solve_linear()
            if self.value == np.inf:
                return
            self.reduced = self._reduced(duals)
            batch = self._batch()
            if not len(batch):
                break
            self.model.add_columns(self.members[batch], self.cost[batch], self.use[:, batch])
            self.inside = np.concatenate([self.inside, batch])
        self.value += float(np.minimum(self.reduced, 0).sum())

    def _reduced(self, duals: Floats) -> Floats:
        of_lifters = np.append(duals[: self.master.lifters], 0.0)
        earned = of_lifters[self.members[:, 0]]
        for place in range(1, self.members.shape[1]):
            earned = earned + of_lifters[self.members[:, place]]
        of_rows = duals[self.master.lifters :]
        binding = np.flatnonzero(of_rows)
        reduced: Floats = self.cost - earned - of_rows[binding] @ self.use[binding]
        return reduced

    def _batch(self) -> Ints:
        """The columns that promise most."""
        promising = np.flatnonzero(self.reduced < -CLOSE_DS)
        if len(promising) <= BATCH:
            return promising
        best = np.argpartition(self.reduced[promising], BATCH)[:BATCH]
        return promising[np.sort(best)]

    def cut(self) -> bool:
        """Adds violated rows on three lifters; False when there are none."""
        support = np.flatnonzero(self.taken > 1e-6)
        here = self.inside[support]
        triples = violated_triples(self.members[here], self.taken[support], self.master.lifters)
        if not len(triples):
            return False
        rows = np.array([self._touches_two(triple) for triple in triples])
        self.model.add_rows(rows[:, self.inside], np.ones(len(rows)))
        self.use = np.concatenate([self.use, rows])
        return True

    def dive(self, ends: float) -> Ints:
        """A partition found by fixing the most taken column again and again, priced anew."""
        kept = self.value, self.taken, self.reduced
        for _ in range(self.master.lifters):
            open_ones = np.flatnonzero((self.taken > CLOSE_DS) & (self.taken < 1 - CLOSE_DS))
            if not len(open_ones) or time.monotonic() > ends:
                break
            most = open_ones[self.taken[open_ones].argmax()]
            self.model.fix(int(most))
            self.solve()
            if self.value == np.inf:
                self.model.fix(int(most), used=False)
                self.solve()
        chosen: Ints = self.pool[self.inside[self.taken > 1 - CLOSE_DS]]
        self.value, self.taken, self.reduced = kept
        return chosen

    def _touches_two(self, triple: Ints) -> Floats:
        is_in = np.zeros(self.master.lifters + 1, np.int8)
        is_in[triple] = 1
        inside: Ints = is_in[self.members].sum(axis=1)
        return (inside >= 2).astype(np.float64)


def violated_triples(members: Ints, taken: Floats, lifters: int) -> Ints:
    """Threes of lifters whose pairs are in fractional groups of more than one in sum."""
    inside = np.zeros((len(members), lifters + 1))
    inside[np.arange(len(members))[:, None], members] = 1.0
    inside = inside[:, :lifters]
    weighed = inside * taken[:, None]
    pairs = weighed.T @ inside
    threes = weighed.T @ (inside[:, :, None] * inside[:, None, :]).reshape(
        len(members), lifters * lifters
    )
    cube = threes.reshape(lifters, lifters, lifters)
    total = pairs[:, :, None] + pairs[:, None, :] + pairs[None, :, :] - 2 * cube
    one, two, three = np.nonzero(total > 1 + LEAST_VIOLATION)
    ascending = (one < two) & (two < three)
    found = np.stack([one, two, three], axis=1)[ascending]
    worst = np.argsort(-total[one, two, three][ascending], kind="stable")
    return _spread(found[worst], lifters)


def _spread(triples: Ints, lifters: int) -> Ints:
    """The worst ones, with no lifter in too many."""
    used = np.zeros(lifters, np.int64)
    kept = []
    for triple in triples:
        if (used[triple] < CUTS_A_LIFTER).all():
            used[triple] += 1
            kept.append(triple)
            if len(kept) == CUTS_A_ROUND:
                break
    return np.array(kept, np.int64).reshape(-1, 3)


class Master:
    """One set partitioning.

    Parameters
    ----------
    columns : Columns
        All groups.
    resources : Resources
        Rows of shared things.
    lifters : int
        How many must be served.
    seed : int
        For the solver's own tie breaking.
    """

    def __init__(self, columns: Columns, resources: Resources, lifters: int, seed: int) -> None:
        self.columns = columns
        self.resources = resources
        self.lifters = lifters
        self.seed = seed
        self.slack = 1 - CLOSE_DS

    def solve(self, limit_s: float, cutoff: float = np.inf, slack: float = 0.0) -> Partition:
        """The cheapest partition, proven where the limit allows.

        Parameters
        ----------
        limit_s : float
            Wall time [s].
        cutoff : float
            Only plans below this price matter [ds]; the bound never exceeds it.
        slack : float
            How much dearer than the best may do [ds].
        """
        self.slack = max(slack, 1 - CLOSE_DS)
        ends = time.monotonic() + limit_s
        root = _Relaxation(self, np.arange(len(self.columns)))
        root.solve()
        if root.value >= cutoff - CLOSE_DS:
            return self._outcome(np.empty(0, np.int64), cutoff)
        best = self._greedy(root)
        reach = max(100.0, POOL_RATIO * _placed_cost(root))
        while root.value < cutoff - CLOSE_DS:
            reach = min(reach, max(cutoff - root.value, CLOSE_DS))
            pool = np.flatnonzero(root.reduced <= reach)
            outside = np.inf if len(pool) == len(self.columns) else root.value + reach
            best, inner = self._within(pool, best, ends, min(cutoff, outside))
            if min(self._cost(best), cutoff) >= UNPLACED_DS > root.value:
                best = min(best, root.dive(ends + DIVE_S), key=self._cost)
            bound = max(root.value, min(inner, outside))
            if bound >= min(self._cost(best), cutoff) - self.slack or time.monotonic() > ends:
                return self._outcome(best, min(bound, cutoff))
            reach = min(4 * reach, self._cost(best) - root.value + 1)
        return self._outcome(best, min(root.value, cutoff))

    def _outcome(self, chosen: Ints, bound: float) -> Partition:
        cost = self._cost(chosen)
        return Partition(chosen, self._left_out(chosen), cost, min(bound, cost))

    def _within(self, pool: Ints, best: Ints, ends: float, cutoff: float) -> tuple[Ints, float]:
        """The best of ``best`` and what a pool holds, and a bound over the pool."""
        relaxation = _Relaxation(self, pool)
        relaxation.solve()
        for _ in range(CUT_ROUNDS):
            is_over = time.monotonic() > ends or relaxation.value >= cutoff
            if is_over or not relaxation.cut():
                break
            relaxation.solve()
        bound = relaxation.value
        if bound < cutoff - CLOSE_DS and len(pool) > WIDE_POOL:
            best = min(best, relaxation.dive(ends), key=self._cost)
        gap = max(40.0, FIRST_GAP_RATIO * _placed_cost(relaxation))
        while bound < cutoff - CLOSE_DS:
            top = min(cutoff, self._cost(best))
            gap = min(gap, top - bound + CLOSE_DS)
            inside = np.flatnonzero(relaxation.reduced <= gap)
            found, inner = self._integer(relaxation, inside, ends, bound + gap)
            best = min(best, found, key=self._cost) if found is not None else best
            outside = np.inf if len(inside) == len(pool) else bound + gap
            proven = max(bound, min(inner, outside))
            if proven >= min(cutoff, self._cost(best)) - self.slack or time.monotonic() > ends:
                return best, proven
            gap *= 3
        return best, bound

    def _integer(
        self, relaxation: _Relaxation, inside: Ints, ends: float, top: float
    ) -> tuple[Ints | None, float]:
        model = PartitionModel(
            relaxation.members[inside], relaxation.cost[inside], relaxation.use[:, inside],
            relaxation.model.limit, self.lifters, seed=self.seed,
        )  # fmt: skip
        if top < UNPLACED_DS:
            model.serve_all()
        taken, bound = model.solve_integer(max(0.02, ends - time.monotonic()), self.slack)
        if taken is None:
            return None, bound
        return relaxation.pool[inside[taken > 0.5]], bound

    def _cost(self, chosen: Ints) -> float:
        alone = len(self._left_out(chosen))
        return UNPLACED_DS * alone + float(self.columns.cost[chosen].sum())

    def _left_out(self, chosen: Ints) -> Ints:
        served = np.zeros(self.lifters + 1, bool)
        served[self.columns.members[chosen].ravel()] = True
        return np.flatnonzero(~served[: self.lifters])

    def _greedy(self, relaxation: _Relaxation) -> Ints:
        """Columns most taken by the relaxation, as long as they fit: always a valid start."""
        taken = relaxation.inside[np.argsort(-relaxation.taken, kind="stable")]
        cheap = np.argsort(relaxation.reduced, kind="stable")[: 20 * self.lifters]
        order = relaxation.pool[np.concatenate([taken[: 4 * self.lifters], cheap])]
        use = self.resources.use[:, order].T
        served: set[int] = set()
        left = self.resources.limit + 1e-9
        chosen = []
        for place, members in enumerate(self.columns.members[order].tolist()):
            group = set(members) - {self.lifters}
            if served.isdisjoint(group) and (use[place] <= left).all():
                served |= group
                left = left - use[place]
                chosen.append(order[place])
        return np.array(chosen, np.int64)


def _placed_cost(relaxation: _Relaxation) -> float:
    """Price of the groups alone, without those left out."""
    return float(relaxation.model.cost[: len(relaxation.taken)] @ relaxation.taken)
