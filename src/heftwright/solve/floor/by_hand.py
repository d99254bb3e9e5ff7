"""The coach moves somebody: both groups get their cheapest stacks from what the others leave."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

from heftwright.domain.floor.by_hand import HandMoveError, alone_on, members_after, with_groups
from heftwright.domain.floor.checker import check_floor
from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.outcome import Infeasible, Solved
from heftwright.domain.squad import AthleteId
from heftwright.solve.floor.planner import solve_floor

LIMIT_S = 0.5


def move_by_hand(
    problem: FloorProblem, plan: FloorPlan, athlete: AthleteId, platform: str
) -> FloorPlan:
    """The plan with an athlete on another platform; nobody else changes platform.

    The two groups keep their loads and rigs wherever that is worth it, and get their cheapest
    stacks from the plates that the others leave.

    Parameters
    ----------
    problem, plan
        The floor as it is planned now.
    athlete, platform
        Who goes where.

    Raises
    ------
    HandMoveError
        If the platform cannot serve them, with the reason.
    """
    changed = members_after(plan, athlete, platform)
    refused = HandMoveError(f"{problem.lifter(athlete).called} cannot lift there.")
    for order in permutations(changed):
        try:
            moved = _solved_in(problem, plan, changed, order)
        except HandMoveError as error:
            refused = error
            continue
        return moved
    raise refused


def _solved_in(
    problem: FloorProblem,
    plan: FloorPlan,
    changed: dict[str, list[AthleteId]],
    order: tuple[str, ...],
) -> FloorPlan:
    now, made = plan, list[GroupPlan]()
    for key in order:
        group = _group(problem, now, key, changed[key])
        made.append(group)
        now = with_groups(problem, now, [group])
    moved = with_groups(problem, plan, made)
    largest = max(len(group.order) for group in moved.groups)
    policy = replace(problem.policy, group_max=max(largest, problem.policy.group_max))
    faults = check_floor(replace(problem, policy=policy), moved)
    if faults:
        raise HandMoveError(" ".join(faults))
    return moved


def _group(
    problem: FloorProblem, plan: FloorPlan, platform: str, members: list[AthleteId]
) -> GroupPlan:
    _check_bar(problem, platform, members)
    small = alone_on(problem, plan, platform, members)
    answer = solve_floor(small, limit_s=LIMIT_S, previous=plan)
    if isinstance(answer, Infeasible):
        raise HandMoveError(" ".join(answer.reasons))
    best = answer.plan if isinstance(answer, Solved) else answer.best
    if best is None or best.unplaced:
        why = best.unplaced[0][1] if best else "no stacks were found in time."
        raise HandMoveError(f"Platform {platform} cannot serve this group: {why}")
    return best.groups[0]


def _check_bar(problem: FloorProblem, platform: str, members: list[AthleteId]) -> None:
    """The planner would say that no such bar is on the floor: it only sees this platform."""
    there = problem.platform(platform).bar
    lacking = [who for who in map(problem.lifter, members) if who.bar != there]
    if lacking:
        bar, lies = lacking[0].bar.replace("_", " "), there.replace("_", " ")
        raise HandMoveError(
            f"{lacking[0].called} lifts with the {bar}, and on platform {platform} lies the "
            f"{lies}: choose a platform that has the {bar}, or give them another lift."
        )
