"""The partition with plates shared by all platforms.

Where the stacks of a partition ask for more pairs of a plate than there are, its columns are
counted for that plate, and each of them gets variants with fewer pairs of it, the cheapest under
that cap. Columns not yet counted go as if they needed none, so every answer before the last is a
bound: whatever a plan within stock does, some column does it as cheaply. When an answer is within
stock it is therefore the best; when tries or time run out, only columns whose stacks are known
are let in and counted for every plate, so that an answer within stock always comes out.
"""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import replace

import numpy as np

from heftwright.solve.floor.book import ColumnBook
from heftwright.solve.floor.columns import Columns
from heftwright.solve.floor.master import CLOSE_DS, Floats, Ints, Master, Partition, Resources
from heftwright.solve.floor.shared import Shared

MOST_TRIES = 16
MIN_LIMIT_S = 0.05
LAST_LIMIT_S = 0.5
ROOM_TRIES = 3
A_LIFTER = 3
TRACE_ALL = 500


class StockedMaster:
    """Partitions of one problem below any cap on rounds.

    Parameters
    ----------
    book : ColumnBook
        Columns and their stacks; variants are added to it.
    shared : Shared
        Platforms and bands.
    seed : int
        For the solver.
    """

    def __init__(self, book: ColumnBook, shared: Shared, seed: int) -> None:
        self.book = book
        self.shared = shared
        self.seed = seed
        self.slack = 0.0
        self.pairs = {plate.key: plate.pairs for plate in book.problem.plates}
        self.counted: dict[str, dict[int, int]] = {}
        self.is_shared = book.problem.policy.shares_plates

    @property
    def columns(self) -> Columns:
        """All columns so far."""
        return self.book.columns

    @property
    def lifters(self) -> int:
        """How many lifters."""
        return len(self.book.problem.lifters)

    def solve(self, cap: int, ends: float, cutoff: float = np.inf, slack: float = 0.0) -> Partition:
        """The cheapest partition with no round above ``cap`` [ds], below ``cutoff`` [ds].

        It may be dearer by ``slack`` [ds]. Where nothing is below ``cutoff`` there are no groups,
        an infinite cost and the bound.
        """
        self.slack = slack
        part = self._solve(self._below(cap), self.counted, ends, cutoff)
        for _ in range(MOST_TRIES):
            if part.bound >= cutoff - CLOSE_DS:
                return self._no_better(part)
            short, wide = self._short_of(part), self._too_wide(part)
            if not short and not wide:
                return part
            if time.monotonic() > ends:
                break
            self._count(part, short)
            for column in wide:
                self.book.narrow(column)
            part = self._solve(self._below(cap), self.counted, ends, cutoff)
        is_over = self._short_of(part) or self._too_wide(part)
        return self._within_known(cap, ends, part.bound) if is_over else part

    def _no_better(self, part: Partition) -> Partition:
        """Nothing within stock is below the cutoff: the bound alone, no groups to be taken."""
        nobody = np.empty(0, np.int64)
        return Partition(nobody, np.arange(self.lifters), np.inf, part.bound)

    def _below(self, cap: int) -> Ints:
        return np.flatnonzero(self.columns.round_ds <= cap)

    def _short_of(self, part: Partition) -> list[str]:
        if not self.is_shared:
            return []
        need: Counter[str] = Counter()
        for column in part.chosen:
            need.update(self.book.needs(int(column)))
        return [key for key, count in need.items() if count > self.pairs[key]]

    def _too_wide(self, part: Partition) -> list[int]:
        """Columns of a partition with a stack that does not fit the sleeve."""
        return [int(column) for column in part.chosen if self.book.is_too_wide(int(column))]

    def _count(self, part: Partition, short: list[str]) -> None:
        """Counts a partition's columns for the plates it is short of, and adds their variants."""
        for plate in short:
            counted = self.counted.setdefault(plate, {})
            for column in part.chosen:
                need = self.book.needs(int(column))[plate]
                if need and int(column) not in counted:
                    counted[int(column)] = need
                    self.book.cap(int(column), plate)

    def _within_known(self, cap: int, ends: float, bound: float) -> Partition:
        """The best of the columns with known stacks, all plates counted."""
        self._look_around(cap)
        part = self._of_known(cap, ends)
        for _ in range(ROOM_TRIES):
            if not len(part.unplaced) or not self._make_room(part):
                break
            part = self._of_known(cap, ends)
        return replace(part, bound=min(bound, part.cost))

    def _make_room(self, part: Partition) -> bool:
        """Traces the chosen groups with one more of those left out; whether any was new."""
        before = len(self.book.known)
        for column in part.chosen:
            for lifter in part.unplaced:
                for wider in self._with_one_more(int(column), int(lifter)):
                    self._trace_thrifty(wider)
        return len(self.book.known) > before

    def _with_one_more(self, column: int, lifter: int) -> Ints:
        columns = self.columns
        size = int(columns.size[column])
        same = (columns.kind == columns.kind[column]) & (columns.size == size + 1)
        for member in (*columns.members[column, :size], lifter):
            same &= (columns.members == member).any(axis=1)
        return np.flatnonzero(same)

    def _trace_thrifty(self, column: int) -> None:
        """A group's stacks, and variants with fewer of the plates that all platforms want."""
        if column in self.book.known:
            return
        self.book.needs(column)
        for plate in self.counted:
            self.book.cap(column, plate)

    def _of_known(self, cap: int, ends: float) -> Partition:
        known = np.array(
            [one for one in sorted(self.book.known) if not self.book.is_too_wide(one)], np.int64
        )
        needs = {int(column): self.book.needs(int(column)) for column in known}
        counted = {
            plate: {column: need[plate] for column, need in needs.items()} for plate in self.pairs
        }
        inside = known[self.columns.round_ds[known] <= cap]
        return self._solve(inside, counted, max(ends, time.monotonic() + LAST_LIMIT_S), np.inf)

    def _look_around(self, cap: int) -> None:
        """Traces a few groups of every lifter that are cheap a head, large and small."""
        columns = self.columns
        if len(columns) <= TRACE_ALL:
            for column in range(len(columns)):
                self.book.needs(column)
            return
        a_head = np.where(columns.round_ds <= cap, columns.cost / columns.size, np.inf)
        for lifter in range(self.lifters):
            for size in np.unique(columns.size):
                own = np.flatnonzero(
                    (columns.members == lifter).any(axis=1) & (columns.size == size)
                )
                for column in own[np.argsort(a_head[own], kind="stable")[:A_LIFTER]]:
                    self.book.needs(int(column))

    def _solve(
        self, inside: Ints, counted: dict[str, dict[int, int]], ends: float, cutoff: float
    ) -> Partition:
        columns = self.columns.take(inside)
        shared = self.shared.resources(columns)
        use = np.concatenate([shared.use, self._needs(inside, counted)])
        limit = np.concatenate([shared.limit, [float(self.pairs[key]) for key in counted]])
        master = Master(columns, Resources(use, limit), self.lifters, self.seed)
        part = master.solve(max(MIN_LIMIT_S, ends - time.monotonic()), cutoff, self.slack)
        return replace(part, chosen=inside[part.chosen])

    def _needs(self, inside: Ints, counted: dict[str, dict[int, int]]) -> Floats:
        place = np.full(len(self.columns), -1, np.int64)
        place[inside] = np.arange(len(inside))
        use = np.zeros((len(counted), len(inside)))
        for row, needs in enumerate(counted.values()):
            for column, need in needs.items():
                if place[column] >= 0:
                    use[row, place[column]] = need
        return use
