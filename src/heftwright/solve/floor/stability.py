"""What it costs to change a plan that people already stand by."""

from __future__ import annotations

from collections import Counter

import numpy as np
from numpy.typing import NDArray

from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.policy import StackOrder
from heftwright.domain.floor.problem import FloorPlatform, FloorProblem
from heftwright.domain.floor.stacks import Stack, change_round_s, common_prefix, tidied
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

Ints = NDArray[np.int64]
DS = 10


class Stability:
    """Prices of moving athletes, changing announced loads and rigging platforms anew.

    Parameters
    ----------
    problem : FloorProblem
        The floor as it is now.
    previous : FloorPlan or None
        The plan so far; None: nothing to keep.
    """

    def __init__(self, problem: FloorProblem, previous: FloorPlan | None) -> None:
        self.problem = problem
        self.groups: dict[str, GroupPlan] = (
            {group.platform: group for group in previous.groups} if previous else {}
        )
        self.loads: dict[AthleteId, Mass] = {
            turn.athlete: turn.load for group in self.groups.values() for turn in group.order
        }
        self.was_on = self._was_on()
        self.weights = np.array([who.stay_weight for who in problem.lifters] + [0.0])

    def _was_on(self) -> NDArray[np.bool_]:
        """``[platform, lifter]`` who stood where; one column more for nobody."""
        lifters = self.problem.lifters
        table = np.zeros((len(self.problem.platforms), len(lifters) + 1), bool)
        for row, platform in enumerate(self.problem.platforms):
            group = self.groups.get(platform.key)
            if group is not None:
                here = group.athletes
                table[row, :-1] = [lifter.athlete in here for lifter in lifters]
        return table

    def moving_ds(self, platforms: tuple[FloorPlatform, ...], set_up: str, members: Ints) -> Ints:
        """Price of each group at the platform of these where it costs least [ds]."""
        if not self.groups:
            return np.zeros(len(members), np.int64)
        prices = [self._at(platform, set_up, members) for platform in platforms]
        least: Ints = np.min(prices, axis=0)
        return least

    def _at(self, platform: FloorPlatform, set_up: str, members: Ints) -> Ints:
        policy = self.problem.policy
        somewhere = self.was_on.any(axis=0)
        here = self.was_on[self.problem.platforms.index(platform)]
        moved = ((somewhere & ~here) * self.weights)[members].sum(axis=1)
        before = self.groups.get(platform.key)
        rigged = before is not None and before.set_up != set_up
        moving: Ints = np.rint(moved * DS * policy.stay_s).astype(np.int64)
        return moving + rigged * round(DS * policy.rig_s)

    def gain_ds(self, platform: FloorPlatform, set_up: str, athletes: set[AthleteId]) -> int:
        """How well a group suits a platform: the price saved against everybody moving [ds]."""
        group = self.groups.get(platform.key)
        if group is None:
            return 0
        policy = self.problem.policy
        same = group.set_up == set_up
        stays = sum(self.problem.lifter(who).stay_weight for who in group.athletes & athletes)
        return round(DS * policy.stay_s * stays) + round(DS * policy.rig_s) * same

    def order_on(self, platform: FloorPlatform) -> list[AthleteId]:
        """The turn order so far."""
        group = self.groups.get(platform.key)
        return [turn.athlete for turn in group.order] if group else []

    def laid(
        self, platform: FloorPlatform, stacks: dict[AthleteId, Stack]
    ) -> dict[AthleteId, Stack]:
        """The same loads, heavy plates inside, or as they lie already where that is as quick."""
        group = self.groups.get(platform.key)
        plates, from_floor = self.problem.plates_by_key(), self.problem.is_from_floor(platform)
        if group is None or self.problem.policy.stack_order is StackOrder.HEAVY_INSIDE:
            return tidied(stacks, plates, from_floor=from_floor)
        before = {turn.athlete: turn.stack for turn in group.order}
        inside = common_prefix(before.values())
        new = tidied(stacks, plates, from_floor=from_floor, as_before=inside)
        first = {stack[0] for stack in before.values() if stack} if from_floor else set()
        if first <= plates.keys() and all(plates[key].is_full_diameter for key in first):
            return before if self._is_as_quick(before, new) else new
        return new

    def _is_as_quick(self, before: dict[AthleteId, Stack], stacks: dict[AthleteId, Stack]) -> bool:
        """Whether everybody has the same plates as before, in an order that is no slower."""
        if before.keys() != stacks.keys():
            return False
        if any(Counter(before[who]) != Counter(stack) for who, stack in stacks.items()):
            return False
        plates, collars_s = self.problem.plates_by_key(), self.problem.times.collars_s
        was_s, now_s = (
            change_round_s(list(found.values()), plates, collars_s) for found in (before, stacks)
        )
        return was_s <= now_s

    def outside(self) -> Ints:
        """``[group, lifter]`` 1 where a lifter was placed, still may be, and not in that group."""
        settled = self._settled()
        rows = [row for row in self.was_on[:, :-1] if row.any()]
        return np.array([settled & ~row for row in rows], np.int64).reshape(-1, len(settled))

    def _settled(self) -> NDArray[np.bool_]:
        """Lifters whose place so far is still possible."""
        broken = self._broken()
        platforms = {platform.key: platform for platform in self.problem.platforms}
        at = {lifter.athlete: place for place, lifter in enumerate(self.problem.lifters)}
        settled = np.zeros(len(at), bool)
        for key, group in self.groups.items():
            platform = platforms.get(key)
            if platform is None or group.set_up in broken or not platform.allows(group.set_up):
                continue
            for athlete in group.athletes & at.keys():
                lifter = self.problem.lifters[at[athlete]]
                suits = group.set_up in lifter.set_ups and lifter.bar == platform.bar
                settled[at[athlete]] = suits
        return settled

    def _broken(self) -> set[str]:
        """Set-ups in use that the bands in stock no longer make."""
        by_key = self.problem.set_ups_by_key()
        used: Counter[str] = Counter()
        for group in self.groups.values():
            if group.set_up in by_key:
                used.update(dict(by_key[group.set_up].bands))
        short = {band for band, pairs in used.items() if pairs > self.problem.bands.get(band, 0)}
        in_use = {group.set_up for group in self.groups.values()}
        gone = in_use - by_key.keys()
        return gone | {key for key in in_use - gone if short & by_key[key].bands.keys()}
