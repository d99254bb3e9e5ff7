"""The baseline of a work-up: the same loads and turns with the largest plates first."""

from __future__ import annotations

from heftwright.domain.floor.baseline import largest_first
from heftwright.domain.floor.problem import FloorPlatform, FloorProblem
from heftwright.domain.floor.stacks import SIDES, Stack, change
from heftwright.domain.floor.work_up import WorkUp


def usual_moves(problem: FloorProblem, platform: FloorPlatform, made: WorkUp) -> int:
    """Plates moved for the same loads and turns with the largest plates first, both sides."""
    before: Stack = ()
    moved = 0
    for item in (item for turns in made.rounds for item in turns):
        stack = largest_first(problem, platform.empty_bar, item.turn.load)
        off, on = change(before, stack)
        moved += len(off) + len(on)
        before = stack
    return SIDES * (moved + len(before))
