"""Checks a work-up by re-enacting it on a bar, apart from what makes it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from heftwright.domain.floor.plan import GroupPlan
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.floor.work_up import WorkUp


def check_work_up(
    problem: FloorProblem, group: GroupPlan, spare: Mapping[str, int], made: WorkUp
) -> tuple[str, ...]:
    """What is wrong with a work-up, in sentences; empty when nothing is.

    Parameters
    ----------
    problem, group
        The floor and the group as planned.
    spare : Mapping
        Plate key -> pairs the platform may use.
    made : WorkUp
        From anywhere.
    """
    return (*_reenacted(problem, group, made), *_ends_at_the_top(group, made), *_short(spare, made))


def _reenacted(problem: FloorProblem, group: GroupPlan, made: WorkUp) -> Iterator[str]:
    platform, plates = problem.platform(group.platform), problem.plates_by_key()
    sleeve: list[str] = []
    for item in (item for turns in made.rounds for item in turns):
        turn = item.turn
        for key in turn.off:
            if not sleeve or sleeve.pop() != key:
                yield f"Platform {group.platform}: “{key}” comes off but is not outermost."
        sleeve += turn.on
        if tuple(sleeve) != turn.stack:
            yield f"Platform {group.platform}: the stack is not {turn.athlete}'s."
        one_side = sum(plates[key].mass.ticks for key in turn.stack)
        if platform.empty_bar.ticks + one_side + one_side != turn.load.ticks:
            yield f"Platform {group.platform}: {turn.athlete}'s plates make another load."
        on_floor = problem.is_from_floor(platform)
        if on_floor and not (turn.stack and plates[turn.stack[0]].is_full_diameter):
            yield f"{turn.athlete}: the innermost plate must be full diameter from the floor."


def _ends_at_the_top(group: GroupPlan, made: WorkUp) -> Iterator[str]:
    tops = {turn.athlete: turn.load for turn in group.order}
    for athlete, top in tops.items():
        loads = [
            item.turn.load
            for turns in made.rounds
            for item in turns
            if item.turn.athlete == athlete
        ]
        if not loads or loads[-1] != top:
            yield f"{athlete} does not end at the planned top load."
        if any(one >= two != top or one > two for one, two in pairwise(loads)):
            yield f"{athlete}'s loads do not rise from step to step."


def _short(spare: Mapping[str, int], made: WorkUp) -> Iterator[str]:
    stacks = [item.turn.stack for turns in made.rounds for item in turns]
    for key in sorted({key for stack in stacks for key in stack}):
        pairs = max(stack.count(key) for stack in stacks)
        if pairs > spare.get(key, 0):
            yield f"{pairs} pairs of “{key}” are needed, {spare.get(key, 0)} are at hand."
