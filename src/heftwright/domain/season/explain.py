"""Why the season chose what it chose: shares of events, the runner-up, the rules that bind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from heftwright.domain.season.legal import LegalRows, legal_rows
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Column, Demand, Floats, SeasonProblem
from heftwright.domain.season.score import Objective, objective_of
from heftwright.domain.season.work import SlotWork

TIED_RATIO = 0.001
SHARES_TOLD = 3
LEAST_SHARE = 0.05
TRIED_EXACTLY = 6


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why one choice stands.

    Parameters
    ----------
    reasons : tuple of str
        Sentences for the coach.
    shares : Mapping
        Demand in words -> share of what this choice adds, 0–1, summing to 1.
    runner_up : str
        The best legal swap and what it would cost, in words; empty if there is none.
    runner_up_cost_ratio : float
        Loss as a share of the season's worth, ≥ 0 unless the plan could still be improved.
    """

    reasons: tuple[str, ...]
    shares: Mapping[str, float]
    runner_up: str
    runner_up_cost_ratio: float


def explain(problem: SeasonProblem, plan: SeasonPlan) -> dict[SlotWork, Explanation]:
    """Explain every choice of a plan; weeks of one wave share their explanation."""
    teller = _Teller(problem, plan)
    found: dict[SlotWork, Explanation] = {}
    for place in np.flatnonzero(teller.chosen):
        explanation = teller.explanation(int(place))
        for work in problem.work_of(problem.columns[place]):
            found[work] = explanation
    return found


class _Teller:
    """One plan with its objective and rules, asked choice by choice."""

    def __init__(self, problem: SeasonProblem, plan: SeasonPlan) -> None:
        self.problem = problem
        self.objective: Objective = objective_of(problem)
        self.rows: LegalRows = legal_rows(problem)
        self.columns_of_rows = self.rows.matrix.tocsc()
        self.chosen: Floats = problem.chosen_of(plan)
        self.doses: Floats = np.asarray(problem.gains @ self.chosen)
        self.points = self.objective.points(self.chosen)
        self.activity: Floats = np.asarray(self.rows.matrix @ self.chosen)
        self.gains = np.asarray(problem.gains.todense())

    def explanation(self, place: int) -> Explanation:
        column = self.problem.columns[place]
        if column.is_done:
            return Explanation(("Already trained.",), {}, "", 0.0)
        shares = self._shares(place)
        runner_up, cost_ratio = self._runner_up(place)
        reasons = [*self._share_sentences(shares), *self._pin_sentences(column)]
        tempting = self._tempting(place)
        if tempting:
            reasons.append(tempting)
        named = {demand_words(demand): share for demand, share in shares}
        return Explanation(tuple(reasons), named, runner_up, cost_ratio)

    def _shares(self, place: int) -> list[tuple[Demand, float]]:
        """What this choice adds to each demand on top of all others, as shares."""
        with_it = self.objective.demand_points(self.doses)
        without = self.objective.demand_points(self.doses - self.gains[:, place])
        added = np.clip(with_it - without, 0.0, None)
        if added.sum() <= 0:
            return []
        ratio = added / added.sum()
        order = np.argsort(-ratio, kind="stable")
        return [(self.problem.demands[k], float(ratio[k])) for k in order if ratio[k] > 0]

    def _share_sentences(self, shares: Sequence[tuple[Demand, float]]) -> list[str]:
        told = [pair for pair in shares[:SHARES_TOLD] if pair[1] >= LEAST_SHARE]
        if not told:
            return ["It keeps the wave and the week's pattern in order."]
        words = ", ".join(f"{100 * share:.0f} % for {demand_words(d)}" for d, share in told)
        return [f"It earns its place: {words}."]

    def _pin_sentences(self, column: Column) -> list[str]:
        return [
            "You pinned it here."
            for pin in self.problem.pins
            if pin.slot == column.slot
            and pin.lift == column.lift
            and self.problem.week_of(pin.monday) in column.span
        ][:1]

    def _alternatives(self, place: int) -> list[int]:
        mine = self.problem.columns[place]
        return [
            j
            for j, other in enumerate(self.problem.columns)
            if j != place
            and not other.is_done
            and (other.slot, other.week, other.weeks) == (mine.slot, mine.week, mine.weeks)
            and self.chosen[j] < 0.5
        ]

    def _gain_of_swaps(self, place: int, others: Sequence[int]) -> Floats:
        doses = self.doses[:, None] - self.gains[:, [place]] + self.gains[:, list(others)]
        return np.asarray(self.objective.demand_points(doses.T).sum(axis=1))

    def _is_legal(
        self, place: int, others: Sequence[int]
    ) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        moved = (
            self.columns_of_rows[:, list(others)] - self.columns_of_rows[:, [place] * len(others)]
        )
        activity = self.activity[:, None] + np.asarray(moved.todense())
        low, high = self.rows.low[:, None], self.rows.high[:, None]
        return np.asarray(((activity <= high + 1e-6) & (activity >= low - 1e-6)).all(axis=0))

    def _runner_up(self, place: int) -> tuple[str, float]:
        others = self._alternatives(place)
        if not others:
            return "", 0.0
        legal = [j for j, ok in zip(others, self._is_legal(place, others), strict=True) if ok]
        legal = [
            j for j in legal if self.problem.columns[j].lift != self.problem.columns[place].lift
        ]
        if not legal:
            return "No other lift is possible here under the season's rules.", 0.0
        worth = self._gain_of_swaps(place, legal)
        nearest = [legal[i] for i in np.argsort(-worth, kind="stable")[:TRIED_EXACTLY]]
        best = max(nearest, key=lambda j: self._points_with(place, j))
        cost_ratio = (self.points - self._points_with(place, best)) / max(abs(self.points), 1.0)
        return self._runner_up_words(best, cost_ratio), cost_ratio

    def _points_with(self, place: int, other: int) -> float:
        chosen = self.chosen.copy()
        chosen[place], chosen[other] = 0.0, 1.0
        return self.objective.points(chosen)

    def _runner_up_words(self, best: int, cost_ratio: float) -> str:
        name = column_words(self.problem, self.problem.columns[best])
        if abs(cost_ratio) < TIED_RATIO:
            return f"Runner-up: {name}, practically tied."
        if cost_ratio < 0:
            return f"Runner-up: {name}; a longer search could still gain {-100 * cost_ratio:.1f} %."
        return f"Runner-up: {name}; it would cost {100 * cost_ratio:.1f} % of the season's worth."

    def _tempting(self, place: int) -> str:
        """The alternative that would serve the events better but breaks a rule, with the rule."""
        others = self._alternatives(place)
        if not others:
            return ""
        worth = self._gain_of_swaps(place, others)
        best = int(np.argmax(worth))
        now = float(self.objective.demand_points(self.doses).sum())
        if worth[best] <= now * (1 + TIED_RATIO):
            return ""
        chosen = self.chosen.copy()
        chosen[place], chosen[others[best]] = 0.0, 1.0
        broken = self.rows.broken_by(chosen)
        if not broken:
            return ""
        name = column_words(self.problem, self.problem.columns[others[best]])
        return f"{name} would serve the events more, but {broken[0].rule.sentence}."


def demand_words(demand: Demand) -> str:
    """A demand as a coach reads it."""
    if demand.weak_point is not None:
        return f"the squad's weak point {demand.weak_point.shown}"
    if demand.contest is None:
        return demand.name
    assert demand.event is not None
    return f"“{demand.event.name}” at {demand.contest.name}"


def column_words(problem: SeasonProblem, column: Column) -> str:
    """A choice as a coach reads it: lift, and its resistance or scheme."""
    name = problem.catalogue[column.lift].name
    if column.max_effort is not None:
        return f"{name} ({column.max_effort.value.replace('_', ' ')})"
    if column.slot.is_dynamic:
        return f"{name} ({column.resistance.shown})"
    return name
