"""The floor, longer: many larger random classes planned, re-planned, moved by hand, all checked."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace

from bench.figure import Figure
from bench.floor_classes import random_class, what_may_happen
from heftwright.domain.floor import FloorPlan, FloorProblem, check_floor
from heftwright.domain.floor.by_hand import HandMoveError
from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.solve.floor import move_by_hand, remaining, replan_floor, solve_floor

PREFIXES = ("floor_",)
CLASSES, LARGE = 1500, 60
LIMIT_S = 0.3


def figures() -> Iterator[Figure]:
    """Faults over all of them: none may be found."""
    counted = _Counted()
    start = time.perf_counter()
    for seed in range(10_000, 10_000 + CLASSES):
        counted.add(seed, random_class(seed))
    for seed in range(20_000, 20_000 + LARGE):
        counted.add(seed, random_class(seed, 16 + seed % 17))
    took = time.perf_counter() - start
    yield Figure(
        "floor_random_faults", counted.faults, "count", "lower", bound=0,
        note=f"{CLASSES} classes of 1–8, {LARGE} of 16–32, {took:.0f} s: {counted.plans} plans, "
        f"{counted.replans} re-plans, {counted.moves} moves by hand, {counted.left} people "
        "left out with a sentence",
    )  # fmt: skip


class _Counted:
    """What was planned so far."""

    def __init__(self) -> None:
        self.faults = self.plans = self.replans = self.moves = self.left = 0

    def add(self, seed: int, problem: FloorProblem) -> None:
        plan = _plan_of(solve_floor(problem, limit_s=LIMIT_S))
        if plan is None:
            return
        self.plans += 1
        self.left += len(plan.unplaced)
        self._check(problem, plan)
        later = what_may_happen(seed, problem)
        after = _plan_of(replan_floor(later, plan, done_rounds=2, limit_s=LIMIT_S))
        if after is not None:
            self.replans += 1
            self._check(remaining(later, 2, plan), after)
        self._move(problem, plan)

    def _move(self, problem: FloorProblem, plan: FloorPlan) -> None:
        for group in plan.groups[:1]:
            for other in plan.groups[1:2]:
                try:
                    moved = move_by_hand(problem, plan, group.order[0].athlete, other.platform)
                except HandMoveError:
                    continue
                self.moves += 1
                roomy = replace(problem.policy, group_max=6)
                self._check(replace(problem, policy=roomy), moved)

    def _check(self, problem: FloorProblem, plan: FloorPlan) -> None:
        self.faults += len(check_floor(problem, plan))


def _plan_of(answer: Solved[FloorPlan] | Infeasible | Stopped[FloorPlan]) -> FloorPlan | None:
    if isinstance(answer, Infeasible):
        return None
    return answer.plan if isinstance(answer, Solved) else answer.best
