"""500 random realistic classes: every plan and re-plan stands up to its checker."""

from __future__ import annotations

import pytest
from bench.floor_classes import random_class, what_may_happen

from heftwright.domain.floor import check_floor, difference
from heftwright.domain.floor.plan import FloorPlan
from heftwright.domain.outcome import Infeasible, Solved
from heftwright.solve.floor import remaining, replan_floor, solve_floor

CLASSES = 500
A_BATCH = 50


def plan_of(answer) -> FloorPlan | None:
    if isinstance(answer, Infeasible):
        assert all(reason.strip() for reason in answer.reasons)
        return None
    return answer.plan if isinstance(answer, Solved) else answer.best


@pytest.mark.parametrize("first", range(0, CLASSES, A_BATCH))
def test_every_random_class_gets_a_plan_that_checks_or_reasons(first):
    for seed in range(first, first + A_BATCH):
        problem = random_class(seed)
        plan = plan_of(solve_floor(problem, limit_s=0.1))
        if plan is None:
            continue
        assert check_floor(problem, plan) == (), seed
        placed = sum(len(group.order) for group in plan.groups)
        assert placed + len(plan.unplaced) == len(problem.lifters), seed


@pytest.mark.parametrize("seed", range(0, CLASSES, 10))
def test_after_something_happened_the_rest_of_the_class_checks(seed):
    problem = random_class(seed)
    before = plan_of(solve_floor(problem, limit_s=0.1))
    if before is None:
        return
    later = what_may_happen(seed, problem)
    after = plan_of(replan_floor(later, before, done_rounds=2, limit_s=0.1))
    if after is None:
        return
    assert check_floor(remaining(later, 2, before), after) == ()
    moved = [change for change in difference(later, before, after) if change.kind == "moved"]
    assert len(moved) <= len(later.lifters)


def test_the_classes_are_of_many_kinds():
    classes = [random_class(seed) for seed in range(CLASSES)]
    assert {problem.policy.stack_order for problem in classes} == {"free", "heavy_inside"}
    assert any(len({p.bar for p in problem.platforms}) > 1 for problem in classes)
    assert any(len(problem.set_ups) > 1 for problem in classes)
    assert any(lifter.apart for problem in classes for lifter in problem.lifters)
    assert any(p.starts_on_floor is False for problem in classes for p in problem.platforms)


def test_the_same_seed_draws_the_same_class():
    assert random_class(7) == random_class(7)
    assert random_class(7) != random_class(8)
