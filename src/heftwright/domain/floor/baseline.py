"""The coach's usual way: sorted by tonight's weight, nearest step, largest plates first.

Bands and stock are ignored, as they are by the marker pen: this is what a plan is held against,
not something to lift from.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.problem import FloorPlatform, FloorProblem, Lifter
from heftwright.domain.floor.stacks import Stack, ordered_group
from heftwright.domain.mass import Mass

SIDES = 2


def usual_way(problem: FloorProblem) -> FloorPlan:
    """Groups sorted by target and cut over the platforms of each bar, larger groups first.

    Lifters whose bar is nowhere on the floor are unplaced.
    """
    groups: list[GroupPlan] = []
    unplaced = []
    for bar in dict.fromkeys(lifter.bar for lifter in problem.lifters):
        lifters = [lifter for lifter in problem.lifters if lifter.bar == bar]
        platforms = [platform for platform in problem.platforms if platform.bar == bar]
        if platforms:
            groups += _of_bar(problem, lifters, platforms)
        else:
            unplaced += [
                (who.athlete, f"{who.called}: no {bar} is on the floor.") for who in lifters
            ]
    return FloorPlan(tuple(groups), tuple(unplaced), problem.scheme)


def _of_bar(
    problem: FloorProblem, lifters: list[Lifter], platforms: list[FloorPlatform]
) -> list[GroupPlan]:
    ranked = sorted(lifters, key=lambda lifter: lifter.target)
    size, larger = divmod(len(ranked), len(platforms))
    groups = []
    for place, platform in enumerate(platforms):
        share, ranked = ranked[: size + (place < larger)], ranked[size + (place < larger) :]
        if share:
            groups.append(_group(problem, platform, share))
    return groups


def _group(problem: FloorProblem, platform: FloorPlatform, share: list[Lifter]) -> GroupPlan:
    order = [(who.athlete, largest_first(problem, platform.empty_bar, who.target)) for who in share]
    set_up = next(iter(share[0].set_ups), problem.set_ups[0].key)
    return ordered_group(problem, platform, set_up, order)


def largest_first(problem: FloorProblem, empty_bar: Mass, target: Mass) -> Stack:
    """One side's plates by the usual arithmetic: the largest that still fits, again and again.

    The total is rounded to the nearest step of the smallest pair, a half to the even step, so
    that halves go up as often as down (common practice, no source).
    """
    plates = sorted(
        (plate for plate in problem.plates if plate.pairs), key=lambda plate: -plate.mass.ticks
    )
    if not plates:
        return ()
    step = SIDES * plates[-1].mass.ticks
    total = round(Fraction(target.ticks, step)) * step
    left = max(total - empty_bar.ticks, 0) // SIDES
    stack: list[str] = []
    for plate in plates:
        fits = left // plate.mass.ticks
        stack += [plate.key] * fits
        left -= fits * plate.mass.ticks
    return tuple(stack)


def with_loads_of(problem: FloorProblem, plan: FloorPlan) -> FloorProblem:
    """The same class with every load fixed to a plan's: only groups and stacks are free."""
    loads = {turn.athlete: turn.load for group in plan.groups for turn in group.order}
    lifters = tuple(
        replace(who, target=loads[who.athlete], tolerance_ratio=0.0)
        for who in problem.lifters
        if who.athlete in loads
    )
    return replace(problem, lifters=lifters)
