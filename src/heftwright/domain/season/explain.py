"""Why each choice stands in the plan: what earned it, its runner-up, and the rules that bind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from heftwright.domain.catalogue import LiftKey, Slot
from heftwright.domain.season.legal import LegalRows, legal_rows
from heftwright.domain.season.legal_row import Row, Rule
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Column, Firmness, Floats, SeasonProblem
from heftwright.domain.season.score import Objective, objective_of
from heftwright.domain.season.work import SlotWork

WorkKey = tuple[Slot, date, LiftKey]
TIE_RATIO = 0.001
SHARES_SHOWN = 3


def plainly(what: str) -> str:
    """A demand's name as part of a sentence."""
    if what == "variety":
        return "a change from the weeks around it"
    return what.replace("weak point: ", "the weak point ", 1)


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why one order of the plan is there.

    Parameters
    ----------
    reasons : tuple of str
        Plain sentences.
    shares : Mapping
        What it is for -> share of its worth, 0–1, largest first.
    runner_up : str
        The best other choice in its place and what it would cost; empty if there is none.
    runner_up_cost_ratio : float or None
        Points lost by the runner-up over the plan's points; below 0.001 practically tied.
    tempting : str
        The choice that would be better if a rule did not forbid it, with the rule; or empty.
    """

    reasons: tuple[str, ...]
    shares: Mapping[str, float]
    runner_up: str = ""
    runner_up_cost_ratio: float | None = None
    tempting: str = ""


def key_of(work: SlotWork) -> WorkKey:
    """The key of a plan's order in ``explain``'s answer."""
    return work.slot, work.monday, work.lift


def explain(problem: SeasonProblem, plan: SeasonPlan) -> Mapping[WorkKey, Explanation]:
    """Explanations of every order of a plan; those of a wave share one.

    Parameters
    ----------
    problem, plan
        The plan must have been made for the problem.
    """
    teller = Teller(problem, plan)
    found: dict[WorkKey, Explanation] = {}
    for j in np.flatnonzero(teller.chosen):
        told = teller.tell(int(j))
        for work in problem.work_of(problem.columns[j]):
            found[key_of(work)] = told
    return found


class Teller:
    """Explains the choices of one plan; reuses the plan's totals for every swap."""

    def __init__(
        self,
        problem: SeasonProblem,
        plan: SeasonPlan,
        known: tuple[LegalRows, Objective] | None = None,
    ) -> None:
        self.problem = problem
        self.rows, self.objective = known or (legal_rows(problem), objective_of(problem))
        self.chosen = problem.chosen_of(plan)
        self._columns_of_rows = self.rows.matrix.tocsc()
        self._gains = problem.gains.tocsc()
        self._places = self._rivals_by_place()
        self._variety_of = np.zeros(len(problem.columns), dtype=np.int64)
        for i, group in enumerate(self.objective.variety):
            self._variety_of[list(group)] = i
        self._coverage = np.zeros((len(self.objective.coverage), len(problem.columns)))
        for i, item in enumerate(self.objective.coverage):
            self._coverage[i, list(item.columns)] = 1.0
        self._take_stock()

    def _take_stock(self) -> None:
        """Totals of the choice, from which every swap is worked out."""
        self.points = self.objective.points(self.chosen)
        self._doses = self.problem.gains @ self.chosen
        self._activity = self.rows.matrix @ self.chosen
        self._full_regions = self._find_full_regions()
        most = len(self.objective.variety)
        self._uses = np.bincount(self._variety_of, weights=self.chosen, minlength=most)
        picked = [self.problem.columns[j] for j in np.flatnonzero(self.chosen)]
        waves = [column for column in picked if column.slot.is_dynamic]
        self._lift_ending = {(c.slot, c.span.stop): c.lift for c in waves}
        self._lift_starting = {(c.slot, c.week): c.lift for c in waves}

    def better_swap(self, j: int) -> int | None:
        """The legal rival of a chosen column that adds most points, or None."""
        column = self.problem.columns[j]
        if column.is_done:
            return None
        rivals = self.rivals_of(j)
        points = self.swapped_points(j, rivals)
        order = np.argsort(-points, kind="stable")
        better = [int(k) for k in order if points[k] > self.points + 1e-6]
        if not better:
            return None
        broken = self.broken_by_swap(j, [rivals[k] for k in better])
        legal = [k for k, row in zip(better, broken, strict=True) if row is None]
        return rivals[legal[0]] if legal else None

    def swap(self, j: int, i: int) -> None:
        """Put column ``i`` in place of ``j``."""
        self.chosen[j], self.chosen[i] = 0.0, 1.0
        self._take_stock()

    def rivals_of(self, j: int) -> list[int]:
        """Columns that could stand in place of a chosen one."""
        column = self.problem.columns[j]
        place = (column.slot, column.week, column.weeks)
        return [i for i in self._places.get(place, ()) if not self.chosen[i]]

    def _rivals_by_place(self) -> dict[tuple[Slot, int, int], list[int]]:
        places: dict[tuple[Slot, int, int], list[int]] = {}
        for j, column in enumerate(self.problem.columns):
            if not column.is_done:
                places.setdefault((column.slot, column.week, column.weeks), []).append(j)
        return places

    def tell(self, j: int) -> Explanation:
        """The explanation of a chosen column."""
        column = self.problem.columns[j]
        if column.is_done:
            return Explanation(("Already trained: it stays as it was.",), {})
        worth = self.worth(j)
        shares = _shares(worth)
        rivals = self.rivals_of(j)
        points = self.swapped_points(j, rivals)
        broken = self.broken_by_swap(j, rivals)
        runner, ratio = self._runner_up(rivals, points, broken)
        return Explanation(
            self._reasons(column, shares), shares, runner, ratio,
            self._tempting(rivals, points, broken),
        )  # fmt: skip

    def worth(self, j: int) -> dict[str, float]:
        """Points that leave the plan with this choice, by what they are for."""
        gain = self._gains[:, [j]].toarray()[:, 0]
        lost = self.objective.demand_points(self._doses) - self.objective.demand_points(
            self._doses - gain
        )
        names = [demand.name for demand in self.problem.demands]
        found = {names[k]: float(lost[k]) for k in np.flatnonzero(lost > 0)}
        if self._uses[self._variety_of[j]] < 1.5:
            found["variety"] = self.problem.rules.variety_points
        specific = float(self._coverage_lost(j))
        if specific > 0:
            found["own work for an event"] = specific
        return found

    def _coverage_points(self, totals: Floats) -> Floats:
        prices = np.array([item.price for item in self.objective.coverage])
        wanted = np.array([item.wanted for item in self.objective.coverage])[:, None]
        return np.asarray(-(prices[:, None] * np.maximum(0.0, wanted - totals)).sum(axis=0))

    def _coverage_lost(self, j: int) -> float:
        totals = (self._coverage @ self.chosen)[:, None]
        without = totals - self._coverage[:, [j]]
        return float((self._coverage_points(totals) - self._coverage_points(without))[0])

    def swapped_points(self, j: int, rivals: Sequence[int]) -> Floats:
        """Points of the plan with a rival in place of a choice, exact."""
        if not rivals:
            return np.zeros(0)
        others = list(rivals)
        gains = self._gains[:, others].toarray().T - self._gains[:, [j]].toarray().T
        now = self.objective.demand_points(self._doses).sum()
        change = self.objective.demand_points(self._doses + gains).sum(axis=-1) - now
        change += self._variety_change(j, others)
        totals = (self._coverage @ self.chosen)[:, None]
        moved = totals + self._coverage[:, others] - self._coverage[:, [j]]
        change += self._coverage_points(moved) - self._coverage_points(totals)
        change += [self._side_change(j, i) for i in others]
        return np.asarray(self.points + change)

    def _variety_change(self, j: int, others: Sequence[int]) -> Floats:
        mine, theirs = self._variety_of[j], self._variety_of[list(others)]
        lost = self._uses[mine] < 1.5
        won = self._uses[theirs] < 0.5
        change = self.problem.rules.variety_points * (won.astype(float) - float(lost))
        return np.where(theirs == mine, 0.0, change)

    def _side_change(self, j: int, i: int) -> float:
        """Change of prices that few swaps touch: wave repeats and changed slots."""
        change = 0.0
        if self.problem.columns[j].slot.is_dynamic:
            price = self.problem.rules.base_repeat_points
            change -= price * (self._repeats_at(i) - self._repeats_at(j))
        if self.objective.kept:
            swapped = self.chosen.copy()
            swapped[j], swapped[i] = 0.0, 1.0
            column = self.problem.columns[j]
            cells = [(column.slot, week) for week in column.span]
            change -= self.objective.change_points(swapped, cells)
            change += self.objective.change_points(self.chosen, cells)
        return change

    def _repeats_at(self, j: int) -> int:
        """Neighbour waves with the same lift as column ``j`` in its place."""
        column = self.problem.columns[j]
        before = self._lift_ending.get((column.slot, column.week))
        after = self._lift_starting.get((column.slot, column.span.stop))
        return (before == column.lift) + (after == column.lift)

    def broken_by_swap(self, j: int, rivals: Sequence[int]) -> list[Row | None]:
        """A rule each swap would break, or None."""
        if not rivals:
            return []
        high, low = self.rows.high + 1e-6, self.rows.low - 1e-6
        start, stop = self._columns_of_rows.indptr[j], self._columns_of_rows.indptr[j + 1]
        mine = self._columns_of_rows.indices[start:stop]
        base = self._activity.copy()
        base[mine] -= self._columns_of_rows.data[start:stop]
        first = np.full(len(rivals), -1)
        left = base[mine][:, None] + self.rows.matrix[mine][:, list(rivals)].toarray()
        bad_left = (left > high[mine][:, None]) | (left < low[mine][:, None])
        hit = bad_left.any(axis=0)
        first[hit] = mine[bad_left.argmax(axis=0)[hit]]
        theirs = self._columns_of_rows[:, list(rivals)].tocoo()
        total = base[theirs.row] + theirs.data
        bad = (total > high[theirs.row]) | (total < low[theirs.row])
        first[theirs.col[bad]] = theirs.row[bad]
        return [None if i < 0 else self.rows.rows[i] for i in first]

    def _runner_up(
        self, rivals: Sequence[int], points: Floats, broken: Sequence[Row | None]
    ) -> tuple[str, float | None]:
        legal = [k for k, row in enumerate(broken) if row is None]
        if not legal:
            return "No other choice keeps every rule here.", None
        best = max(legal, key=lambda k: points[k])
        ratio = float((self.points - points[best]) / max(1.0, abs(self.points)))
        name = self.named(self.problem.columns[rivals[best]])
        if abs(ratio) < TIE_RATIO:
            return f"{name}: practically tied.", ratio
        if ratio < 0:
            return f"{name} would even gain {-100 * ratio:.1f} % of the season's worth.", ratio
        return f"{name}: would cost {100 * ratio:.1f} % of the season's worth.", ratio

    def _tempting(self, rivals: Sequence[int], points: Floats, broken: Sequence[Row | None]) -> str:
        tempting = [k for k, row in enumerate(broken) if row is not None]
        if not tempting:
            return ""
        best = max(tempting, key=lambda k: points[k])
        row = broken[best]
        if row is None or points[best] <= self.points * (1 + TIE_RATIO):
            return ""
        name = self.named(self.problem.columns[rivals[best]])
        where = f" ({row.region.value})" if row.region else ""
        return f"{name} would be worth more, but {row.rule.sentence}{where}."

    def named(self, column: Column) -> str:
        """A choice in words."""
        name = self.problem.catalogue[column.lift].name
        if column.slot.is_dynamic and column.resistance.value != "straight":
            name += f" with {column.resistance.shown}"
        if column.max_effort is not None:
            name += f" as a {column.max_effort.value.replace('_', ' ')}"
        return name

    def _reasons(self, column: Column, shares: Mapping[str, float]) -> tuple[str, ...]:
        name = self.problem.catalogue[column.lift].name
        sentences = [self._pin_sentence(column)]
        top = list(shares.items())[:SHARES_SHOWN]
        if top:
            parts = ", ".join(f"{plainly(what)} ({100 * share:.0f} %)" for what, share in top)
            sentences.append(f"{name} is here for {parts}.")
        sentences.append(self._weak_sentence(shares))
        sentences.append(self._binding_sentence(column))
        return tuple(sentence for sentence in sentences if sentence)

    def _pin_sentence(self, column: Column) -> str:
        for pin in self.problem.pins:
            here = self.problem.week_of(pin.monday) in column.span
            if here and (pin.slot, pin.lift) == (column.slot, column.lift):
                what = "re-test" if pin.firmness == Firmness.RETEST else "pin"
                return f"Your {what} holds it here."
        return ""

    def _weak_sentence(self, shares: Mapping[str, float]) -> str:
        for demand in self.problem.demands:
            point = demand.weak_point
            if point is None or shares.get(demand.name, 0.0) < 0.1:
                continue
            helped = sorted(
                (a for a in self.problem.athletes if a.weak_points.get(point, 0.0) > 0),
                key=lambda a: -a.priority * a.weak_points[point],
            )
            names = ", ".join(athlete.name for athlete in helped[:SHARES_SHOWN])
            return f"Who has that weak point ({point.shown}): {names}." if helped else ""
        return ""

    def _binding_sentence(self, column: Column) -> str:
        regions = sorted({r for week in column.span for r in self._full_regions.get(week, ())})
        if not regions:
            return ""
        return (
            f"The budget of {' and '.join(regions)} is used up here, which rules out heavier work."
        )

    def _find_full_regions(self) -> dict[int, set[str]]:
        """Week -> regions whose budget is full to within a tenth."""
        full: dict[int, set[str]] = {}
        for i in np.flatnonzero(self._activity > self.rows.high - 1.0):
            row = self.rows.rows[i]
            if row.region is not None and row.rule != Rule.FOUR_WEEKS:
                full.setdefault(row.week, set()).add(row.region.value)
        return full


def _shares(worth: Mapping[str, float]) -> dict[str, float]:
    total = sum(worth.values())
    ranked = sorted(worth.items(), key=lambda item: -item[1])
    return {what: value / total for what, value in ranked} if total > 0 else {}
