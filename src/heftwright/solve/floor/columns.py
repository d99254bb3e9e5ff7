"""Every group on every kind of platform with every set-up: one column of the partition each."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from heftwright.domain.floor.problem import FloorPlatform, FloorProblem
from heftwright.solve.floor.programme import GroupProgramme
from heftwright.solve.floor.stability import Stability

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
WIDEST = 6
DS = 10


@dataclass(frozen=True, slots=True)
class PlatformKind:
    """Platforms that are alike for the plan.

    Parameters
    ----------
    platforms : tuple of FloorPlatform
        Alike, in the order of the floor.
    programme : int
        Which group programme prices its groups.
    lifters : tuple of int
        Places in the problem of the programme's lifters.
    """

    platforms: tuple[FloorPlatform, ...]
    programme: int
    lifters: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Columns:
    """Groups with kind of platform and set-up.

    Parameters
    ----------
    members : array
        ``[column, 0 … 5]`` places of lifters in the problem; the number of lifters where empty.
    cost, round_ds : array
        Price of the class and length of one round [ds].
    kind, set_up : array
        Which platform kind and set-up.
    size, row : array
        Group size and row in the level of the kind's programme.
    """

    members: Ints
    cost: Ints
    round_ds: Ints
    kind: Ints
    set_up: Ints
    size: Ints
    row: Ints

    def __len__(self) -> int:
        return len(self.cost)

    def take(self, chosen: NDArray[np.bool_] | Ints) -> Columns:
        """Only these columns."""
        return Columns(
            self.members[chosen], self.cost[chosen], self.round_ds[chosen], self.kind[chosen],
            self.set_up[chosen], self.size[chosen], self.row[chosen],
        )  # fmt: skip

    def dearer(self, by: Ints) -> Columns:
        """The same columns at higher prices."""
        return replace(self, cost=self.cost + by)


def joined(parts: list[Columns], lifters: int) -> Columns:
    """All parts one after the other."""
    if not parts:
        none = np.empty(0, np.int64)
        return Columns(np.empty((0, WIDEST), np.int64) + lifters, *[none] * 6)
    return Columns(
        *(
            np.concatenate([getattr(part, name) for part in parts])
            for name in ("members", "cost", "round_ds", "kind", "set_up", "size", "row")
        )
    )


def platform_kinds(problem: FloorProblem) -> list[PlatformKind]:
    """Platforms gathered by bar, empty mass, rack, pegs and nearness of the coach."""
    gathered: dict[tuple[object, ...], list[FloorPlatform]] = {}
    for platform in problem.platforms:
        alike = (
            platform.bar, platform.empty_bar, platform.has_rack, platform.set_ups,
            platform.is_near_coach, platform.sleeve_mm, platform.starts_on_floor,
        )  # fmt: skip
        gathered.setdefault(alike, []).append(platform)
    bars: dict[tuple[object, ...], int] = {}
    kinds = []
    for platforms in gathered.values():
        first = platforms[0]
        programme = bars.setdefault((first.bar, first.empty_bar, first.starts_on_floor), len(bars))
        lifters = [at for at, lifter in enumerate(problem.lifters) if lifter.bar == first.bar]
        kinds.append(PlatformKind(tuple(platforms), programme, tuple(lifters)))
    return kinds


@dataclass(frozen=True, slots=True)
class ColumnMaker:
    """Makes the columns of one problem.

    Parameters
    ----------
    problem : FloorProblem
        The floor.
    kinds : list of PlatformKind
        From `platform_kinds`.
    programmes : list of GroupProgramme or None
        One each for ``PlatformKind.programme``; None without lifters.
    stability : Stability
        Prices of changing the plan so far.
    """

    problem: FloorProblem
    kinds: list[PlatformKind]
    programmes: list[GroupProgramme | None]
    stability: Stability

    def all_columns(self) -> Columns:
        """Columns of every kind, set-up and size."""
        parts: list[Columns] = []
        for kind in range(len(self.kinds)):
            programme = self.programmes[self.kinds[kind].programme]
            if programme is not None:
                parts += self._of_kind(kind, programme)
        return joined(parts, len(self.problem.lifters))

    def _of_kind(self, kind: int, programme: GroupProgramme) -> list[Columns]:
        parts = []
        platform = self.kinds[kind].platforms[0]
        for set_up in range(len(self.problem.set_ups)):
            if platform.allows(self.problem.set_ups[set_up].key):
                for size in self._sizes(programme):
                    parts.append(self._of_size(kind, programme, set_up, size))
        return parts

    def _sizes(self, programme: GroupProgramme) -> range:
        policy = self.problem.policy
        least = 1 if policy.lone_allowed else policy.group_min
        return range(least, len(programme.levels) + 1)

    def _of_size(self, kind: int, programme: GroupProgramme, set_up: int, size: int) -> Columns:
        place = self.kinds[kind]
        level = programme.level(size)
        suits = (level.masks >> np.uint64(set_up)) & np.uint64(1) == 1
        if not place.platforms[0].has_rack:
            suits &= ~self._flags("needs_rack", place)[level.members].any(axis=1)
        rows = np.flatnonzero(suits)
        local = level.members[rows]
        members = np.full((len(rows), WIDEST), len(self.problem.lifters), np.int64)
        members[:, :size] = np.asarray(place.lifters, np.int64)[local]
        cost = programme.price[size - 1][rows] + self._prices(place, set_up, local)
        key = self.problem.set_ups[set_up].key
        cost += self.stability.moving_ds(place.platforms, key, members)
        possible = cost < self._never(programme)
        return Columns(
            members,
            cost,
            round_ds(self.problem, size, programme.change_ds[size - 1][rows]),
            np.full(len(rows), kind),
            np.full(len(rows), set_up),
            np.full(len(rows), size),
            rows,
        ).take(possible)

    @staticmethod
    def _never(programme: GroupProgramme) -> int:
        return programme.prices.rounds * programme.packing.never_ds

    def _flags(self, name: str, place: PlatformKind) -> NDArray[np.bool_]:
        return np.array([getattr(self.problem.lifters[at], name) for at in place.lifters], bool)

    def _prices(self, place: PlatformKind, set_up: int, local: Ints) -> Ints:
        """Price of set-up and company [ds] for groups of local places."""
        policy = self.problem.policy
        key = self.problem.set_ups[set_up].key
        of_set_up = np.array(
            [round(DS * (self.problem.lifters[at].set_ups.get(key) or 0.0)) for at in place.lifters]
        )
        cost: Ints = of_set_up[local].sum(axis=1).astype(np.int64)
        size = local.shape[1]
        if size < policy.group_min:
            cost += round(DS * policy.lone_s)
        if size == 1:
            minors = self._flags("is_minor", place)[local[:, 0]]
            cost += minors * round(DS * policy.minor_alone_s)
        if size > 1:
            beginners = self._flags("is_beginner", place)[local].all(axis=1)
            cost += beginners * round(DS * policy.beginners_s)
        if not place.platforms[0].is_near_coach:
            wants = self._flags("wants_coach_near", place)[local].sum(axis=1)
            cost += wants * round(DS * policy.coach_near_s)
        return cost + self._apart(place, local)

    def _apart(self, place: PlatformKind, local: Ints) -> Ints:
        """Half the price for every wished pair that a group tears, at each of its two ends."""
        half = round(DS * self.problem.policy.together_s / 2)
        friends = friendships(self.problem)[np.ix_(place.lifters, range(len(self.problem.lifters)))]
        cost = np.zeros(len(local), np.int64)
        if not friends.any():
            return cost
        inside = friends[:, list(place.lifters)]
        for one in range(local.shape[1]):
            cost += half * friends.sum(axis=1)[local[:, one]]
            for other in range(local.shape[1]):
                cost -= half * inside[local[:, one], local[:, other]]
        return cost


def round_ds(problem: FloorProblem, size: int, change_ds: Ints) -> Ints:
    """Length of a round with a group of ``size`` and these changes [ds]."""
    busy = round(DS * size * (problem.set_s + problem.times.set_up_s))
    rested = round(DS * (problem.scheme.rest_s + problem.set_s))
    return np.maximum(change_ds + busy, rested)


def friendships(problem: FloorProblem) -> NDArray[np.bool_]:
    """Symmetric: who would like to share a platform with whom."""
    at = {lifter.athlete: place for place, lifter in enumerate(problem.lifters)}
    wishes = np.zeros((len(at), len(at)), bool)
    for place, lifter in enumerate(problem.lifters):
        for friend in lifter.together & at.keys():
            wishes[place, at[friend]] = wishes[at[friend], place] = True
    return wishes


def may_meet(problem: FloorProblem, lifters: tuple[int, ...]) -> NDArray[np.bool_]:
    """Symmetric: who may share a platform with whom, by places in the problem."""
    allowed = np.ones((len(lifters), len(lifters)), bool)
    for one, first in enumerate(lifters):
        for other, second in enumerate(lifters):
            one_lifter, other_lifter = problem.lifters[first], problem.lifters[second]
            if other_lifter.athlete in one_lifter.apart:
                allowed[one, other] = allowed[other, one] = False
    return allowed
