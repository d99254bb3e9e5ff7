"""Rows that cut off fractions but no plan: day choices that cannot stand side by side.

Two days in a row each hold one choice. Which choices conflict is a bipartite graph; with "one
choice a day" on both sides the graph of all conflicts is co-bipartite, hence perfect, and its
clique rows describe exactly the choices that can stand together (Lovász 1972; Chvátal 1975, from
memory). The implement day's stations become one choice by a variable for every legal set of
stations.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from heftwright.domain.catalogue import LiftKey, Region, Slot
from heftwright.domain.season.legal import RowMaker
from heftwright.domain.season.legal_loads import neighbour_slots
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.weeks import WeekKind

Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]
TENTHS = 10
MOST_SETS = 1500


@dataclass(frozen=True, slots=True)
class DayChoice:
    """The alternatives of one slot in one week.

    Parameters
    ----------
    slot, week
        Which.
    variables : tuple of int
        One 0/1 variable an alternative, at most one of them 1.
    exposure : array
        Alternatives × regions [tenths].
    """

    slot: Slot
    week: int
    variables: tuple[int, ...]
    exposure: Ints


@dataclass(frozen=True, slots=True)
class StationSets:
    """Legal sets of stations of one implement day.

    Parameters
    ----------
    week : int
        Which.
    sets : tuple of frozenset of LiftKey
        Alternatives; the empty set is none of them.
    columns : mapping
        Lift -> its columns in that week.
    exposure : array
        Sets × regions [tenths].
    """

    week: int
    sets: tuple[frozenset[LiftKey], ...]
    columns: dict[LiftKey, tuple[int, ...]]
    exposure: Ints


def station_sets(problem: SeasonProblem, rows: RowMaker, week: int) -> StationSets | None:
    """Every legal set of stations; None without any or with too many to list."""
    groups: dict[LiftKey, list[int]] = defaultdict(list)
    for j in rows.covering.get((Slot.IMPLEMENT, week), ()):
        if problem.columns[j].is_done:
            return None
        groups[problem.columns[j].lift].append(j)
    if not groups:
        return None
    is_taper = problem.kinds[week] == WeekKind.TAPER
    most = problem.rules.stations_most_taper if is_taper else problem.rules.stations_most
    check = _SetCheck(problem, week, groups)
    found: list[frozenset[LiftKey]] = []
    for size in range(1, most + 1):
        found += [frozenset(c) for c in combinations(groups, size) if check.is_legal(c)]
        if len(found) > MOST_SETS:
            return None
    exposure = np.array([check.exposure_of(tuple(item)) for item in found], dtype=np.int64)
    return StationSets(
        week, tuple(found), {k: tuple(v) for k, v in groups.items()},
        exposure.reshape(len(found), len(Region)),
    )  # fmt: skip


class _SetCheck:
    def __init__(self, problem: SeasonProblem, week: int, groups: dict[LiftKey, list[int]]) -> None:
        self._problem = problem
        exposure = problem.exposure_in(week)
        self._exposure = {lift: exposure[group].min(axis=0) for lift, group in groups.items()}
        day = problem.slot_day(Slot.IMPLEMENT)
        self._minutes = (day.minutes if day else 0) or problem.rules.implement_minutes
        weekly = problem.rules.weekly_limit
        self._limit = np.array([TENTHS * weekly[region] for region in Region])
        two = problem.rules.in_a_row_limit
        self._limit = np.minimum(self._limit, [TENTHS * two[region] for region in Region])

    def exposure_of(self, lifts: Sequence[LiftKey]) -> Ints:
        return np.asarray(sum((self._exposure[lift] for lift in lifts), np.zeros(len(Region))))

    def is_legal(self, lifts: Sequence[LiftKey]) -> bool:
        problem = self._problem
        needed = sum(
            problem.catalogue[lift].setup_min + problem.rules.station_work_min for lift in lifts
        )
        if needed > self._minutes or (self.exposure_of(lifts) > self._limit).any():
            return False
        scarce = [
            kit
            for lift in lifts
            for kit in problem.catalogue[lift].kit
            if problem.units.get(kit, 0) <= problem.rules.scarce_units
        ]
        return len(scarce) == len(set(scarce))


def neighbour_cliques(
    problem: SeasonProblem, choices: dict[tuple[Slot, int], DayChoice]
) -> Iterator[tuple[int, ...]]:
    """Groups of variables of two days in a row of which at most one can be 1."""
    limit = np.array([TENTHS * problem.rules.in_a_row_limit[region] for region in Region])
    for week in range(problem.weeks):
        for first, second in neighbour_slots(problem, week):
            if first in choices and second in choices:
                yield from _cliques_of(choices[first], choices[second], limit)


def _cliques_of(one: DayChoice, two: DayChoice, limit: npt.NDArray[np.float64]
                ) -> Iterator[tuple[int, ...]]:  # fmt: skip
    total = one.exposure[:, None, :] + two.exposure[None, :, :]
    conflict: Bools = np.asarray((total > limit + 1e-9).any(axis=2))
    for mine, theirs in _closed_pairs(conflict):
        yield (
            *(one.variables[i] for i in np.flatnonzero(mine)),
            *(two.variables[i] for i in np.flatnonzero(theirs)),
        )


def _closed_pairs(conflict: Bools) -> list[tuple[Bools, Bools]]:
    """Maximal pairs (rows, columns) in full conflict, from each row's and column's own set."""
    found: dict[tuple[bytes, bytes], tuple[Bools, Bools]] = {}
    for theirs in np.unique(conflict, axis=0):
        if theirs.any():
            mine: Bools = np.asarray(conflict[:, theirs].all(axis=1))
            found[mine.tobytes(), theirs.tobytes()] = (mine, theirs)
    for mine in np.unique(conflict, axis=1).T:
        if mine.any():
            theirs = np.asarray(conflict[mine].all(axis=0))
            found[mine.tobytes(), theirs.tobytes()] = (mine, theirs)
    return list(found.values())
