"""What a choice of columns is worth in all: the season's objective, term by term."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Resistance, Slot
from heftwright.domain.season.history import is_ahead
from heftwright.domain.season.problem import Column, Floats, Ints, SeasonProblem
from heftwright.domain.season.worth import is_specific

HUNDREDTHS = 100
Content = tuple[LiftKey, Resistance, int, MaxEffortScheme | None]


@dataclass(frozen=True, slots=True)
class Coverage:
    """Specific work wanted for a main contest's event in some weeks.

    Parameters
    ----------
    demand : int
        Index of the demand.
    columns : tuple of int
        Columns that count.
    price : float
        Points a missing one.
    wanted, weeks : int
        How many are wanted, and in how many last weeks before the contest.
    """

    demand: int
    columns: tuple[int, ...]
    price: float
    wanted: int
    weeks: int


@dataclass(frozen=True, slots=True)
class KeptCell:
    """A slot-week of the previous plan and what keeping it means.

    Parameters
    ----------
    slot, week
        Which.
    kept : tuple of tuple of int
        For each order of the old plan, the columns that keep it.
    added : tuple of int
        Columns that put something new there.
    price : float
        Points if it changes.
    """

    slot: Slot
    week: int
    kept: tuple[tuple[int, ...], ...]
    added: tuple[int, ...]
    price: float


@dataclass(frozen=True, slots=True)
class Objective:
    """The season's objective in arrays, for the solver, the greedy start and explanations.

    Parameters
    ----------
    piece_ends : array
        Ends of the pieces of diminishing returns [hundredths of a dose].
    slopes : array
        Demands × pieces, points a hundredth.
    variety : tuple of tuple of int
        Columns of each (slot, lift).
    repeats : tuple of (ending, starting) columns
        The same lift in two waves running.
    coverage : tuple of Coverage
        Specific work wanted.
    blanks : tuple of (slot, week, columns)
        Slot-weeks that must not stay blank.
    kept : tuple of KeptCell
        Cells of the previous plan.
    """

    problem: SeasonProblem
    piece_ends: Ints
    slopes: Floats
    variety: tuple[tuple[int, ...], ...]
    repeats: tuple[tuple[tuple[int, ...], tuple[int, ...]], ...]
    coverage: tuple[Coverage, ...]
    blanks: tuple[tuple[Slot, int, tuple[int, ...]], ...]
    kept: tuple[KeptCell, ...]

    def points(self, chosen: Floats) -> float:
        """Points of a choice, blanks priced."""
        rules = self.problem.rules
        total = float(self.demand_points(self.problem.gains @ chosen).sum())
        total += rules.variety_points * sum(chosen[list(g)].max() > 0.5 for g in self.variety)
        total -= rules.base_repeat_points * sum(
            chosen[list(ends)].sum() + chosen[list(begins)].sum() > 1.5
            for ends, begins in self.repeats
        )
        for item in self.coverage:
            total -= item.price * max(0.0, item.wanted - chosen[list(item.columns)].sum())
        total -= rules.blank_points * self.blank_count(chosen)
        return float(total) - self.change_points(chosen)

    def blank_count(self, chosen: Floats) -> int:
        """Slot-weeks left blank."""
        return sum(bool(chosen[list(columns)].sum() < 0.5) for _, _, columns in self.blanks)

    def change_points(
        self, chosen: Floats, cells: Sequence[tuple[Slot, int]] | None = None
    ) -> float:
        """Price of what changes against the previous plan, in all cells or some."""
        return sum(
            cell.price
            for cell in self.kept
            if (cells is None or (cell.slot, cell.week) in cells) and _is_changed(cell, chosen)
        )

    def demand_points(self, doses: Floats) -> Floats:
        """Points of each demand for total doses [hundredths], diminishing; broadcasts."""
        starts = np.concatenate([[0], self.piece_ends[:-1]])
        lengths = self.piece_ends - starts
        filled = (doses[..., None] - starts).clip(0, lengths)
        return np.asarray((filled * self.slopes).sum(axis=-1))


def _is_changed(cell: KeptCell, chosen: Floats) -> bool:
    lost = any(chosen[list(columns)].sum() < 0.5 for columns in cell.kept)
    return lost or bool(cell.added and chosen[list(cell.added)].max() > 0.5)


def objective_of(problem: SeasonProblem) -> Objective:
    """Gather the objective of a problem."""
    rules = problem.rules
    weights = np.array([demand.weight for demand in problem.demands])
    slopes = np.rint(weights[:, None] * np.array(rules.piece_slopes)[None])
    # Slopes are whole points a hundredth of a dose, as the reference model has them.
    covering = _covering(problem)
    return Objective(
        problem=problem,
        piece_ends=np.rint(HUNDREDTHS * np.array(rules.pieces)).astype(np.int64),
        slopes=slopes,
        variety=_variety(problem),
        repeats=_repeats(problem),
        coverage=_coverage(problem),
        blanks=_blanks(problem, covering),
        kept=_kept(problem, covering),
    )


def _covering(problem: SeasonProblem) -> Mapping[tuple[Slot, int], list[int]]:
    found: dict[tuple[Slot, int], list[int]] = defaultdict(list)
    for j, column in enumerate(problem.columns):
        for week in column.span:
            found[column.slot, week].append(j)
    return found


def _variety(problem: SeasonProblem) -> tuple[tuple[int, ...], ...]:
    groups: dict[tuple[Slot, LiftKey], list[int]] = defaultdict(list)
    for j, column in enumerate(problem.columns):
        groups[column.slot, column.lift].append(j)
    return tuple(tuple(group) for group in groups.values())


def _repeats(
    problem: SeasonProblem,
) -> tuple[tuple[tuple[int, ...], tuple[int, ...]], ...]:
    ends: dict[tuple[Slot, LiftKey, int], list[int]] = defaultdict(list)
    begins: dict[tuple[Slot, LiftKey, int], list[int]] = defaultdict(list)
    for j, column in enumerate(problem.columns):
        if column.slot.is_dynamic:
            ends[column.slot, column.lift, column.span.stop].append(j)
            begins[column.slot, column.lift, column.week].append(j)
    return tuple((tuple(ends[key]), tuple(begins[key])) for key in ends if key in begins)


def _coverage(problem: SeasonProblem) -> tuple[Coverage, ...]:
    rules = problem.rules
    found: list[Coverage] = []
    for k, demand in enumerate(problem.demands):
        if demand.event is None or demand.contest is None or not demand.contest.squad_taper:
            continue
        own = {lift.key for lift in problem.catalogue.values()
               if is_specific(lift, demand.event, rules)}  # fmt: skip
        for weeks, wanted, points, is_heavy in (
            (rules.coverage_weeks, rules.coverage_wanted, rules.coverage_points, False),
            (rules.late_weeks, 1, rules.late_points, True),  # a fast wave is no heavy session
        ):
            window = range(demand.week - weeks, demand.week)
            columns = tuple(
                j
                for j, column in enumerate(problem.columns)
                if column.lift in own
                and _meets(column, window)
                and not (is_heavy and column.slot.is_dynamic)
            )
            if points > 0:
                price = float(round(points * demand.weight))
                found.append(Coverage(k, columns, price, wanted, weeks))
    return tuple(found)


def _meets(column: Column, window: range) -> bool:
    return column.week < window.stop and column.span.stop > window.start


def _blanks(
    problem: SeasonProblem, covering: Mapping[tuple[Slot, int], Sequence[int]]
) -> tuple[tuple[Slot, int, tuple[int, ...]], ...]:
    return tuple(
        (day.slot, week, tuple(covering.get((day.slot, week), ())))
        for day in problem.slot_days
        if day.slot != Slot.IMPLEMENT
        for run in problem.runs
        for week in run
        if is_ahead(day.slot, week, problem.done, problem.start)
    )


def _kept(
    problem: SeasonProblem, covering: Mapping[tuple[Slot, int], Sequence[int]]
) -> tuple[KeptCell, ...]:
    if problem.previous is None:
        return ()
    old: dict[tuple[Slot, date], set[Content]] = defaultdict(set)
    for item in problem.previous.work:
        content = (item.lift, item.resistance, item.scheme_step, item.max_effort)
        old[item.slot, item.monday].add(content)
    cells = [_kept_cell(problem, slot, problem.week_of(monday), contents, covering)
             for (slot, monday), contents in sorted(old.items(), key=lambda i: (i[0][1], i[0][0]))
             ]  # fmt: skip
    return tuple(cell for cell in cells if cell is not None)


def _kept_cell(
    problem: SeasonProblem, slot: Slot, week: int, old: set[Content],
    covering: Mapping[tuple[Slot, int], Sequence[int]],
) -> KeptCell | None:  # fmt: skip
    columns = covering.get((slot, week), ())
    if not columns or not is_ahead(slot, week, problem.done, problem.start):
        return None
    by_content: dict[Content, list[int]] = defaultdict(list)
    for j in columns:
        by_content[content_of(problem.columns[j])].append(j)
    kept = tuple(tuple(by_content.get(c, ())) for c in sorted(old, key=str))
    added: tuple[int, ...] = ()
    if slot == Slot.IMPLEMENT:
        added = tuple(j for c, group in by_content.items() if c not in old for j in group)
    return KeptCell(slot, week, kept, added, _change_price(problem, week))


def _change_price(problem: SeasonProblem, week: int) -> float:
    done = [problem.week_of(item.monday) for item in problem.done]
    today = max(done, default=-1) + 1
    rules = problem.rules
    is_soon = week - today < rules.change_near_weeks
    return rules.change_points * (rules.change_near_ratio if is_soon else 1.0)


def content_of(column: Column) -> Content:
    """What a column puts into a slot, apart from which week of the wave it is."""
    step = 0 if column.slot.is_max_effort else column.step
    return column.lift, column.resistance, step, column.max_effort
