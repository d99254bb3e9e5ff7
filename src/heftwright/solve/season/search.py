"""The search: a greedy plan at once, then the whole model from there.

Window-by-window re-solves and a restriction to columns close to the relaxation were measured and
left out: since the model is tight (tighten.py) HiGHS alone is ahead of both from the first second.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy import sparse

from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.domain.season.after_pins import impossible_after_pins
from heftwright.domain.season.checker import blank_words, check_main_work
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.score import Objective
from heftwright.solve.season.conflict import conflict_reasons, impossible_pins
from heftwright.solve.season.engine import (
    Ending,
    Limits,
    Run,
    SolverStateError,
    run_highs,
)
from heftwright.solve.season.greedy import GreedyStart
from heftwright.solve.season.model import ModelMaker, SeasonModel
from heftwright.solve.season.polish import polish

LEAST_STAGE_S = 0.05
POLISH_ROUNDS = 2
BLANKS_SHARE = 0.3
NEAR_BLANKS_SHARE = 0.9  # it ends by itself as soon as no blank is left
WINDOW_SHARE = 0.7
WINDOW_REACH = 2
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
    reasons = (*impossible_pins(problem), *impossible_after_pins(problem))
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
        self.maker = ModelMaker(problem)
        self.stopped = False
        self.is_legal = False
        self.best = _Best(np.zeros(0), -np.inf, np.inf)

    @property
    def elapsed_s(self) -> float:
        return time.monotonic() - self.began

    def run(self) -> Outcome:
        self._start()
        if self.is_legal and self._is_over() and not self._blanks():
            return self._outcome()
        self.model = self.maker.build()
        if self.problem.rules.blanks_first and self._settle_blanks() == Ending.INFEASIBLE:
            return Infeasible(conflict_reasons(self.problem, self.model, self.limits))
        if self.problem.previous is not None and self.is_legal and not self._is_over():
            self._window()
        if not self._is_over() and self._whole() == Ending.INFEASIBLE:
            return Infeasible(conflict_reasons(self.problem, self.model, self.limits))
        return self._outcome()

    def _start(self) -> None:
        """The greedy plan is told at once; then single exchanges, before the long search."""
        chosen = self._first()
        self.is_legal = not self.maker.rows.broken_but_cover(chosen)
        self.best = _Best(chosen, self._points(chosen), np.inf)
        self._tell()
        chosen = self._polished(chosen)
        self.best = _Best(chosen, self._points(chosen), np.inf)

    def _is_over(self) -> bool:
        return self.stopped or self.left_s <= LEAST_STAGE_S

    def _is_within(self) -> bool:
        if not self.is_legal or not np.isfinite(self.best.bound):
            return False
        return self.best.bound - self.best.points <= self.limits.gap * abs(self.best.bound)

    @property
    def left_s(self) -> float:
        return self.limits.limit_s - self.elapsed_s

    def _settle_blanks(self) -> Ending:
        """As few blank sessions as possible, before anything else counts; then no more."""
        if self.is_legal and self._blanks():
            self._fill_near_blanks()
        if self._blanks() and not self._is_over():
            limits = Limits(self.limits.seed, BLANKS_SHARE * self.left_s, 0.0)
            run = run_highs(only_blanks_count(self.model), limits, start=self._start_choice())
            if run.ending == Ending.INFEASIBLE:
                return run.ending
            self._take_fewer_blanks(run)
        self.model = with_most_blanks(self.model, self._blanks())
        return Ending.STOPPED

    def _fill_near_blanks(self) -> None:
        """First with only the weeks around blank sessions free: mostly that is enough."""
        chosen = self.best.chosen
        weeks = {
            week
            for _, week, columns in self.model.objective.blanks
            if chosen[list(columns)].sum() < 0.5
        }
        limits = Limits(self.limits.seed, NEAR_BLANKS_SHARE * self.left_s, 0.0)
        near = near_changes(self.model, chosen, weeks)
        self._take_fewer_blanks(run_highs(only_blanks_count(near), limits, start=chosen))

    def _blanks(self) -> int:
        """Blank sessions of the best plan; all of them if there is none yet."""
        if not self.is_legal:
            return len(self.maker.objective.blanks)
        return self.maker.objective.blank_count(self.best.chosen)

    def _take_fewer_blanks(self, run: Run) -> None:
        if run.chosen is None:
            return
        if self.model.objective.blank_count(run.chosen) < self._blanks() or not self.is_legal:
            self.best = _Best(run.chosen, self._points(run.chosen), self.best.bound)
            self.is_legal = True

    def _window(self) -> None:
        """Re-planning: only weeks near what no longer fits are free; the rest stays."""
        model = near_changes(self.model, self.best.chosen, self._unsettled_weeks())
        limits = replace(self.limits, limit_s=WINDOW_SHARE * self.left_s)
        run = run_highs(model, limits, start=self.best.chosen)
        self._take(run, bound=np.inf)
        self._tell()

    def _unsettled_weeks(self) -> set[int]:
        """Weeks in which the plan at hand differs from the previous one, or lost its kind."""
        previous = self.problem.previous
        assert previous is not None
        now = self.problem.plan_of(self.best.chosen)
        cells = (*now.changed_from(previous), *now.gained_or_lost(previous))
        return {self.problem.week_of(monday) for _, monday in cells}

    def _whole(self) -> Ending:
        limits = replace(self.limits, limit_s=self.left_s)
        run = run_highs(self.model, limits, start=self._start_choice(), heard=self._heard)
        self._take(run, bound=run.bound)
        if self.is_legal:
            better = self._polished(self.best.chosen)
            self.best = _Best(better, self._points(better), self.best.bound)
        return run.ending

    def _start_choice(self) -> Floats | None:
        return self.best.chosen if self.is_legal else None

    def _take(self, run: Run, bound: float) -> None:
        self.best.bound = min(self.best.bound, bound)
        if run.chosen is None:
            return
        points = self._points(run.chosen)
        if not self.is_legal or points > self.best.points:
            self.best = _Best(run.chosen, points, self.best.bound)
            self.is_legal = True

    def _points(self, chosen: Floats) -> float:
        return self.maker.objective.points(chosen)

    def _first(self) -> Floats:
        """The greedy plan; when re-planning, what is legal of the old plan first."""
        keep: Sequence[int] = ()
        if self.problem.previous is not None:
            old = self.problem.chosen_of(self.problem.previous)
            keep = np.flatnonzero(old).tolist()
        return GreedyStart(self.maker).fill(keep)

    def _polished(self, chosen: Floats) -> Floats:
        """Single exchanges; not when re-planning, where they would stir the whole season."""
        if self.problem.previous is not None:
            return chosen
        return polish(self.maker, chosen, POLISH_ROUNDS)

    def _heard(self, points: float, bound: float, chosen: Floats | None) -> bool:
        if self.on_progress is None:
            return True
        plan = None if chosen is None else self.problem.plan_of(chosen)
        bound, points = min(bound, self.best.bound), max(points, self.best.points)
        if not self.on_progress(points, bound, self.elapsed_s, plan):
            self.stopped = True
        return not self.stopped

    def _tell(self) -> None:
        self._heard(self.best.points, np.inf, self.best.chosen if self.is_legal else None)

    def _outcome(self) -> Outcome:
        if not self.is_legal:
            return Stopped(None)
        best = self.best
        notes = notes_of(self.problem, self.maker.objective, best.chosen)
        plan = self.problem.plan_of(best.chosen, notes)
        self._must_pass(plan)
        if self._is_within():
            return Solved(plan, best.points, best.bound, proven=True)
        return Stopped(plan, best.points, best.bound if np.isfinite(best.bound) else None)

    def _must_pass(self, plan: SeasonPlan) -> None:
        wrong = check_main_work(self.problem, plan)
        if wrong:
            raise SolverStateError(f"The season breaks its own rules: {wrong[0]}")


def near_changes(model: SeasonModel, chosen: Floats, weeks: set[int]) -> SeasonModel:
    """The model with all columns held that do not touch ``weeks`` or their neighbours."""
    free_weeks = {w + k for w in weeks for k in range(-WINDOW_REACH, WINDOW_REACH + 1)}
    held = [free_weeks.isdisjoint(column.span) for column in model.problem.columns]
    lower, upper = model.lower.copy(), model.upper.copy()
    lower[: model.integral][held] = chosen[held]
    upper[: model.integral][held] = chosen[held]
    return replace(model, lower=lower, upper=upper)


def only_blanks_count(model: SeasonModel) -> SeasonModel:
    """The model with the number of blank sessions to be kept low, then that of changed slots."""
    cost = np.zeros(len(model.cost))
    cost[model.blanks] = -1.0
    cost[model.changes] = -0.5 / max(1, len(model.objective.kept))
    return replace(model, cost=cost)


def with_most_blanks(model: SeasonModel, most: int) -> SeasonModel:
    """The model with at most so many blank sessions."""
    upper = model.upper.copy()
    if most == 0:
        upper[model.blanks] = 0.0
        return replace(model, upper=upper)
    row = np.zeros((1, len(model.cost)))
    row[0, model.blanks] = 1.0
    return replace(
        model,
        matrix=sparse.csr_matrix(sparse.vstack([model.matrix, sparse.csr_matrix(row)])),
        low=np.append(model.low, -np.inf),
        high=np.append(model.high, float(most)),
    )


def notes_of(problem: SeasonProblem, objective: Objective, chosen: Floats) -> tuple[str, ...]:
    """What the coach should know about a plan."""
    notes = list(problem.warnings)
    for slot, week, columns in objective.blanks:
        if chosen[list(columns)].sum() < 0.5:
            notes.append(
                f"{blank_words(slot, problem.monday(week))} keeps every rule. "
                "Loosen a budget, a ban or a pin, or train rep work that day."
            )
    return tuple(notes)
