"""The coach moves somebody: what the floor then is, and what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.floor.stacks import SIDES, ordered_group
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId

LARGEST_GROUP = 6


class HandMoveError(Refusal):
    """A move that cannot be made, with the reason."""


@dataclass(frozen=True, slots=True)
class FloorCost:
    """What a plan costs, side by side with another.

    Parameters
    ----------
    moves_a_round : int
        Plates moved a round, both sides, all platforms.
    change_s : float
        Plate changing a round, all platforms [s].
    finish_s : float
        The latest platform [s].
    """

    moves_a_round: int
    change_s: float
    finish_s: float

    @classmethod
    def of(cls, plan: FloorPlan, finish_s: float | None = None) -> FloorCost:
        """Of a plan; with ``finish_s`` where the class ends at another time than the plan says."""
        turns = [turn for group in plan.groups for turn in group.order]
        moved = SIDES * sum(len(turn.off) + len(turn.on) for turn in turns)
        return cls(moved, plan.change_s, plan.finish_s if finish_s is None else finish_s)

    def words_against(self, before: FloorCost) -> str:
        """The difference in a sentence: "A round: 4 plate moves more, 16 s more changing; …"."""
        moves = self.moves_a_round - before.moves_a_round
        seconds = round(self.change_s - before.change_s)
        later = _later(round(self.finish_s - before.finish_s))
        if not moves and not seconds:
            return f"As many plate moves as before; {later}."
        return (
            f"A round: {_more(moves, 'plate moves')}, {_more(seconds, 's of changing')}; {later}."
        )


def _more(count: int, what: str) -> str:
    if not count:
        return f"no more {what.removeprefix('s of ')}"
    return f"{abs(count)} {what} {'more' if count > 0 else 'less'}"


def _later(seconds: int) -> str:
    if not seconds:
        return "done at the same time"
    minutes = f"{abs(seconds) / 60:.1f} min"
    return f"done {minutes} {'later' if seconds > 0 else 'sooner'}"


def members_after(plan: FloorPlan, athlete: AthleteId, platform: str) -> dict[str, list[AthleteId]]:
    """Who is on the two platforms after a move; only those whose members change.

    Somebody whom the plan left without a bar may be moved too: then only one platform changes.

    Raises
    ------
    HandMoveError
        If the athlete is not in the plan, is there already, or the group would be too large.
    """
    found = plan.turn_of(athlete)
    is_left_out = athlete in {who for who, _ in plan.unplaced}
    if found is None and not is_left_out:
        raise HandMoveError(f"{athlete} has no bar in this plan: mark them here and plan again.")
    old = found[0] if found else None
    if old and old.platform == platform:
        raise HandMoveError(f"{athlete} is on platform {platform} already: choose another turn.")
    there = next((group for group in plan.groups if group.platform == platform), None)
    joined = [turn.athlete for turn in there.order] if there else []
    if len(joined) >= LARGEST_GROUP:
        raise HandMoveError(
            f"Platform {platform} has {len(joined)} lifters: move somebody off it first."
        )
    left = [turn.athlete for turn in old.order if turn.athlete != athlete] if old else []
    changed = {platform: [*joined, athlete]}
    if old and left:
        changed[old.platform] = left
    return changed


def alone_on(
    problem: FloorProblem, plan: FloorPlan, platform: str, members: Sequence[AthleteId]
) -> FloorProblem:
    """The floor of one platform and its members with the plates and bands that others leave.

    Any other group of the plan whose members are not among these keeps what it has.
    """
    others = [
        group for group in plan.groups
        if group.platform != platform and not group.athletes & set(members)
    ]  # fmt: skip
    taken = FloorPlan(tuple(others), (), plan.scheme).plates_needed()
    bands = dict(problem.bands)
    by_key = problem.set_ups_by_key()
    for group in others:
        for band, pairs in by_key[group.set_up].bands.items():
            bands[band] -= pairs
    plates = tuple(
        replace(plate, pairs=max(0, plate.pairs - taken[plate.key])) for plate in problem.plates
    )
    policy = replace(
        problem.policy, group_max=max(len(members), problem.policy.group_min),
        no_later_than_usual=False,
    )  # fmt: skip
    return replace(
        problem,
        lifters=tuple(problem.lifter(who) for who in members),
        platforms=(problem.platform(platform),),
        plates=plates,
        bands=bands,
        policy=policy,
    )


def with_groups(problem: FloorProblem, plan: FloorPlan, groups: Sequence[GroupPlan]) -> FloorPlan:
    """The plan with these groups in the place of those on their platforms and of their members."""
    new = {group.platform for group in groups}
    moved = {athlete for group in groups for athlete in group.athletes}
    kept = [
        group for group in plan.groups if group.platform not in new and not group.athletes & moved
    ]
    order = {platform.key: place for place, platform in enumerate(problem.platforms)}
    listed = sorted([*kept, *groups], key=lambda group: order[group.platform])
    without = tuple(item for item in plan.unplaced if item[0] not in moved)
    return replace(plan, groups=tuple(listed), unplaced=without)


def with_turn(problem: FloorProblem, plan: FloorPlan, athlete: AthleteId, turn: int) -> FloorPlan:
    """The plan with an athlete at another turn of the same platform, counted from 1.

    Raises
    ------
    HandMoveError
        If the athlete has no bar or the platform has no such turn.
    """
    found = plan.turn_of(athlete)
    if found is None:
        raise HandMoveError(f"{athlete} has no bar in this plan: mark them here and plan again.")
    group = found[0]
    if not 1 <= turn <= len(group.order):
        raise HandMoveError(f"Platform {group.platform} has turns 1–{len(group.order)}.")
    order = [(item.athlete, item.stack) for item in group.order if item.athlete != athlete]
    order.insert(turn - 1, (athlete, found[1].stack))
    made = ordered_group(problem, problem.platform(group.platform), group.set_up, order)
    return with_groups(problem, plan, [made])
