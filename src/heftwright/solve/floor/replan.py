"""Re-planning in the middle of a class: what is done stays done, people stay where they are."""

from __future__ import annotations

import time
from dataclasses import replace

from heftwright.domain.floor.clock import S_A_MIN
from heftwright.domain.floor.plan import FloorPlan
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.solve.floor.planner import FloorPlanner, solve_floor

STRANGERS = 1
LEAST_S = 0.05


def remaining(
    problem: FloorProblem, done_rounds: int, previous: FloorPlan | None = None
) -> FloorProblem:
    """The floor for the rounds that are left, at least one, and the minutes that are left."""
    scheme = problem.scheme
    left = replace(scheme, sets=max(1, scheme.sets - done_rounds))
    minutes = problem.class_minutes
    if minutes is not None and previous is not None:
        spent_s = done_rounds * previous.finish_s / previous.scheme.sets
        minutes = max(0.0, minutes - spent_s / S_A_MIN)
    return replace(problem, schemes=(left, *problem.schemes), chosen=left, class_minutes=minutes)


def replan_floor(
    problem: FloorProblem,
    previous: FloorPlan,
    *,
    done_rounds: int = 0,
    seed: int = 1,
    limit_s: float = 1.0,
) -> Solved[FloorPlan] | Infeasible | Stopped[FloorPlan]:
    """A plan for the rest of the class that changes little.

    First only groups with at most one newcomer from another group are looked at, which takes a
    tenth of a second or so; only if that leaves somebody out who need not be, everything is.

    Parameters
    ----------
    problem : FloorProblem
        The floor as it is now: who is here, what is whole, tonight's loads.
    previous : FloorPlan
        The plan so far.
    done_rounds : int
        Rounds that are over, 0 … sets; the plan is for the rest, and so are its scheme, its clock
        and its cost. A late arrival gets the sets that are left.
    seed, limit_s
        As in `solve_floor`.
    """
    if done_rounds >= problem.scheme.sets:
        return Infeasible(("All sets of this slot are done: there is nothing left to plan.",))
    rest = remaining(problem, done_rounds, previous)
    if not rest.lifters or not rest.platforms:
        return solve_floor(rest, seed=seed, limit_s=limit_s)
    ends = time.monotonic() + limit_s
    near = FloorPlanner(rest, seed=seed, previous=previous, strangers=STRANGERS)
    answer = near.solve(limit_s)
    if not _leaves_out(answer):
        return answer
    left_s = max(LEAST_S, ends - time.monotonic())
    return solve_floor(rest, seed=seed, limit_s=left_s, previous=previous)


def _leaves_out(answer: Solved[FloorPlan] | Infeasible | Stopped[FloorPlan]) -> bool:
    if isinstance(answer, Solved):
        return bool(answer.plan.unplaced)
    return isinstance(answer, Infeasible) or answer.best is None or bool(answer.best.unplaced)
