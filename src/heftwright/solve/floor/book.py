"""Columns with the stacks that they stand for, traced when asked, and their capped variants."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.floor.stacks import Stack
from heftwright.domain.squad import AthleteId
from heftwright.solve.floor.columns import Columns, PlatformKind, joined, round_ds
from heftwright.solve.floor.programme import GroupProgramme
from heftwright.solve.floor.programmes import capped_programme
from heftwright.solve.floor.trace import stacks_of

CLOSE_MM = 1e-6
RULED_OUT_DS = 10_000_000


@dataclass(frozen=True, slots=True)
class Placed:
    """One chosen column with the stacks that it stands for."""

    kind: int
    set_up: str
    stacks: dict[AthleteId, Stack]

    def needs(self) -> Counter[str]:
        """Pairs of each plate: the most that any stack holds."""
        need: Counter[str] = Counter()
        for stack in self.stacks.values():
            need |= Counter(stack)
        return need


class ColumnBook:
    """All columns of a problem.

    Parameters
    ----------
    problem, kinds, programmes
        What the columns were made of.
    columns : Columns
        The cheapest stacks of every group; variants are added at the end.
    """

    def __init__(
        self,
        problem: FloorProblem,
        kinds: list[PlatformKind],
        programmes: list[GroupProgramme | None],
        columns: Columns,
    ) -> None:
        self.problem = problem
        self.kinds = kinds
        self.programmes = programmes
        self.columns = columns
        self.known: dict[int, Placed] = {}
        self.needed: dict[int, Counter[str]] = {}
        self.base_price: dict[int, int] = {}
        self.caps: dict[int, dict[str, int]] = {}
        self._tried: set[tuple[object, ...]] = set()

    def placed(self, column: int) -> Placed:
        """The stacks of a column."""
        if column not in self.known:
            kind = self.kinds[int(self.columns.kind[column])]
            programme = self.programmes[kind.programme]
            assert programme is not None
            size, row = int(self.columns.size[column]), int(self.columns.row[column])
            self._learn(column, programme, kind.lifters, size, row)
        return self.known[column]

    def needs(self, column: int) -> Counter[str]:
        """Pairs of each plate that a column needs."""
        if column not in self.needed:
            self.needed[column] = self.placed(column).needs()
        return self.needed[column]

    def _learn(
        self, column: int, programme: GroupProgramme, lifters: tuple[int, ...], size: int, row: int
    ) -> None:
        plates = programme.graph.plates
        stacks = {
            self.problem.lifters[lifters[member]].athlete: tuple(plates[one].key for one in path)
            for member, path in stacks_of(programme, size, row).items()
        }
        set_up = self.problem.set_ups[int(self.columns.set_up[column])].key
        self.known[column] = Placed(int(self.columns.kind[column]), set_up, stacks)
        self.base_price[column] = int(programme.price[size - 1][row])

    def make_dearer(self, which: NDArray[np.bool_], by: int) -> None:
        """Raises the price of some columns [ds]."""
        self.columns = self.columns.dearer(by * which)

    def is_too_wide(self, column: int) -> bool:
        """Whether a stack of a column does not fit the sleeve."""
        sleeve_mm = self.kinds[int(self.columns.kind[column])].platforms[0].sleeve_mm
        if sleeve_mm is None:
            return False
        placed = self.placed(column)
        plates = self.problem.plates_by_key()
        return any(
            sum(plates[key].thickness_mm for key in stack) > sleeve_mm + CLOSE_MM
            for stack in placed.stacks.values()
        )

    def narrow(self, column: int) -> None:
        """Rules a column out and adds the same group with stacks that fit the sleeve, if any."""
        self._add_capped(column, self.caps.get(column, {}))
        out = np.zeros(len(self.columns), np.int64)
        out[column] = RULED_OUT_DS
        self.columns = self.columns.dearer(out)

    def cap(self, column: int, plate: str) -> None:
        """Adds the same group with fewer pairs of a plate: one variant for each number below."""
        for pairs in range(self.needs(column)[plate]):
            caps = {**self.caps.get(column, {}), plate: pairs}
            key = (int(self.columns.row[column]), *self._where(column), tuple(sorted(caps.items())))
            if key not in self._tried:
                self._tried.add(key)
                self._add_capped(column, caps)

    def _where(self, column: int) -> tuple[int, ...]:
        columns = self.columns
        return (int(columns.kind[column]), int(columns.set_up[column]), int(columns.size[column]))

    def _add_capped(self, column: int, caps: dict[str, int]) -> None:
        size = int(self.columns.size[column])
        group = tuple(int(at) for at in self.columns.members[column, :size])
        kind = self.kinds[int(self.columns.kind[column])]
        base = self.programmes[kind.programme]
        assert base is not None
        programme = capped_programme(self.problem, kind, base, group, caps)
        price = int(programme.price[size - 1][0])
        if price < programme.prices.rounds * programme.packing.never_ds:
            self._add(column, programme, group, price)
            self.caps[len(self.columns) - 1] = caps

    def _add(
        self, column: int, programme: GroupProgramme, group: tuple[int, ...], price: int
    ) -> None:
        size = len(group)
        dearer = price - self.base_price[column]
        change = programme.change_ds[size - 1][:1]
        one = self.columns.take(np.array([column]))
        variant = Columns(
            one.members, one.cost + dearer, round_ds(self.problem, size, change), one.kind,
            one.set_up, one.size, one.row,
        )  # fmt: skip
        added = len(self.columns)
        self.columns = joined([self.columns, variant], len(self.problem.lifters))
        self._learn(added, programme, group, size, 0)
