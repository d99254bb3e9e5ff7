"""The search: greedy start, the whole model, and windows that polish what it found."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.solve.season.conflict import conflict_reasons, impossible_pins
from heftwright.solve.season.engine import Ending, Limits, Run, SolverStateError, run_highs
from heftwright.solve.season.greedy import GreedyStart
from heftwright.solve.season.model import SeasonModel, build_model

Floats = npt.NDArray[np.float64]
Progress = Callable[[float, float, float, SeasonPlan | None], bool]
Outcome = Solved[SeasonPlan] | Infeasible | Stopped[SeasonPlan]


def solve_season(
    problem: SeasonProblem,
    *,
    seed: int = 1,
    limit_s: float = 10.0,
    on_progress: Progress | None = None,
    gap: float = 0.01,
) -> Outcome:
    """Plan the season; points are maximised.

    Parameters
    ----------
    problem : SeasonProblem
        What to plan.
    seed : int
        The same seed gives the same plan as long as the gap, not the clock, ends the search.
    limit_s : float
        Seconds to search [s], > 0.
    on_progress : callable or None
        Called with (best points, bound, seconds, plan or None); returns whether to go on. The
        first call carries the greedy plan, before the long search begins.
    gap : float
        Stop when the plan is proven within this ratio of the best possible, 0–1.

    Returns
    -------
    Solved, Infeasible or Stopped
        Solved within the gap; Stopped at the limit or by ``on_progress`` with the best so far.
    """
    reasons = impossible_pins(problem)
    if reasons:
        return Infeasible(reasons)
    search = _Search(problem, Limits(seed, limit_s, gap), on_progress)
    return search.run()


@dataclass(slots=True)
class _Best:
    chosen: Floats
    points: float
    bound: float


class _Search:
    def __init__(
        self, problem: SeasonProblem, limits: Limits, on_progress: Progress | None
    ) -> None:
        self.problem, self.limits, self.on_progress = problem, limits, on_progress
        self.began = time.monotonic()
        self.model = build_model(problem)
        self.stopped = False

    @property
    def elapsed_s(self) -> float:
        return time.monotonic() - self.began

    def run(self) -> Outcome:
        chosen = self._first()
        best = _Best(chosen, self.model.objective.points(chosen), np.inf)
        is_legal = not self.model.rows.broken_but_cover(chosen)
        self._tell(best, chosen if is_legal else None)
        if self.stopped:
            return self._stopped(best, is_legal=is_legal)
        run = self._whole(best, is_legal=is_legal)
        if run.ending == Ending.INFEASIBLE:
            return Infeasible(conflict_reasons(self.problem, self.model, self.limits))
        if run.chosen is not None and (not is_legal or self._points(run.chosen) >= best.points):
            best, is_legal = _Best(run.chosen, self._points(run.chosen), run.bound), True
        best.bound = run.bound
        if run.ending == Ending.REACHED_GAP and is_legal:
            return self._solved(best)
        return self._stopped(best, is_legal=is_legal)

    def _points(self, chosen: Floats) -> float:
        return self.model.objective.points(chosen)

    def _first(self) -> Floats:
        """The greedy plan; when re-planning, what is legal of the old plan first."""
        keep: Sequence[int] = ()
        if self.problem.previous is not None:
            old = self.problem.chosen_of(self.problem.previous)
            keep = np.flatnonzero(old).tolist()
        return GreedyStart(self.model).fill(keep)

    def _whole(self, best: _Best, *, is_legal: bool) -> Run:
        model = self.model
        if is_legal and self.model.objective.blank_count(best.chosen) == 0:
            model = without_blanks(model)
        left = self.limits.limit_s - self.elapsed_s
        limits = replace(self.limits, limit_s=left)
        start = best.chosen if is_legal else None
        return run_highs(model, limits, start=start, heard=self._heard)

    def _heard(self, points: float, bound: float, chosen: Floats | None) -> bool:
        if self.on_progress is None:
            return True
        plan = None if chosen is None else self.problem.plan_of(chosen)
        if not self.on_progress(points, bound, self.elapsed_s, plan):
            self.stopped = True
        return not self.stopped

    def _tell(self, best: _Best, chosen: Floats | None) -> None:
        self._heard(best.points, best.bound, chosen)

    def _plan(self, best: _Best) -> SeasonPlan:
        plan = self.problem.plan_of(best.chosen, notes_of(self.problem, self.model, best.chosen))
        return plan

    def _solved(self, best: _Best) -> Outcome:
        plan = self._plan(best)
        self._must_pass(plan)
        within = best.bound - best.points <= self.limits.gap * abs(best.bound)
        return Solved(plan, best.points, best.bound, proven=within)

    def _stopped(self, best: _Best, *, is_legal: bool) -> Outcome:
        if not is_legal:
            return Stopped(None)
        plan = self._plan(best)
        self._must_pass(plan)
        return Stopped(plan, best.points, best.bound)

    def _must_pass(self, plan: SeasonPlan) -> None:
        wrong = check_season(self.problem, plan)
        blanks = [text for text in wrong if "no main lift" in text]
        if len(wrong) > len(blanks):
            raise SolverStateError(f"The season breaks its own rules: {wrong[0]}")


def without_blanks(model: SeasonModel) -> SeasonModel:
    """The model with blank sessions forbidden: they are minimised first, then none may return."""
    upper = model.upper.copy()
    upper[model.blanks] = 0.0
    return replace(model, upper=upper)


def notes_of(problem: SeasonProblem, model: SeasonModel, chosen: Floats) -> tuple[str, ...]:
    """What the coach should know about a plan."""
    notes = list(problem.warnings)
    for slot, week, columns in model.objective.blanks:
        if chosen[list(columns)].sum() < 0.5:
            notes.append(
                f"{slot.shown}, week of {problem.monday(week)}: no main lift keeps every rule. "
                "Loosen a budget, a ban or a pin, or train rep work that day."
            )
    return tuple(notes)


