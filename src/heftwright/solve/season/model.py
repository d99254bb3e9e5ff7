"""The season as a mixed-integer model in arrays: variables, rows, objective; no search."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt
from scipy import sparse

from heftwright.domain.catalogue import Slot
from heftwright.domain.season.legal import LegalRows, RowMaker, legal_rows
from heftwright.domain.season.legal_row import Rule
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.score import Objective, objective_of
from heftwright.solve.season.tighten import (
    DayChoice,
    StationSets,
    neighbour_cliques,
    station_sets,
)

Floats = npt.NDArray[np.float64]
LAST_STEP = 3.0  # more than any drift


class Ruled(Protocol):
    """What a legal plan needs: the problem, its hard rules, what a choice is worth."""

    @property
    def problem(self) -> SeasonProblem:
        """What to plan."""

    @property
    def rows(self) -> LegalRows:
        """The hard rules."""

    @property
    def objective(self) -> Objective:
        """What a choice is worth."""


@dataclass(frozen=True, slots=True)
class SeasonModel:
    """Maximise ``cost · v`` with ``low ≤ matrix · v ≤ high``; the first variables are columns.

    Parameters
    ----------
    problem, rows, objective
        What it was made from.
    cost, lower, upper : array
        Of the variables.
    matrix, low, high
        The rows.
    integral : int
        So many first variables are 0/1; the others settle by themselves.
    blank_at, change_at : int
        Index of the first blank and of the first changed-slot variable.
    """

    problem: SeasonProblem
    rows: LegalRows
    objective: Objective
    cost: Floats
    lower: Floats
    upper: Floats
    matrix: sparse.csr_matrix
    low: Floats
    high: Floats
    integral: int
    blank_at: int
    change_at: int

    @property
    def changes(self) -> slice:
        """The variables of changed slots, when re-planning."""
        return slice(self.change_at, self.change_at + len(self.objective.kept))

    @property
    def blanks(self) -> slice:
        """The blank variables."""
        return slice(self.blank_at, self.blank_at + len(self.objective.blanks))


class ModelMaker:
    """Adds the objective's own variables and rows to the hard rules, a method a family.

    The rules and the objective are there at once, for a first plan; ``build`` takes longer.
    """

    def __init__(self, problem: SeasonProblem) -> None:
        self.problem = problem
        self.rows = legal_rows(problem)
        self.objective = objective_of(problem)
        done = np.array([float(column.is_done) for column in problem.columns])
        self.cost: list[float] = [0.0] * len(problem.columns)
        self.lower: list[float] = list(done)
        self.upper: list[float] = [1.0] * len(problem.columns)
        self.row_of: list[int] = []
        self.var_of: list[int] = []
        self.value: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def variable(self, cost: float, upper: float) -> int:
        """A new variable from 0 to ``upper``."""
        self.cost.append(cost)
        self.lower.append(0.0)
        self.upper.append(upper)
        return len(self.cost) - 1

    def row(self, parts: dict[int, float], low: float, high: float) -> None:
        """A new row."""
        self.row_of += [len(self.low)] * len(parts)
        self.var_of += list(parts)
        self.value += list(parts.values())
        self.low.append(low)
        self.high.append(high)

    def build(self) -> SeasonModel:
        """The whole model."""
        blank_at = self._blanks()
        self._demands()
        self._variety()
        self._repeats()
        self._coverage()
        change_at = len(self.cost)
        self._changes()
        self._tighten()
        legal = self._legal_with_blanks(blank_at)
        shape = (len(self.low), len(self.cost))
        extra = sparse.csr_matrix((self.value, (self.row_of, self.var_of)), shape=shape)
        return SeasonModel(
            self.problem, self.rows, self.objective,
            np.array(self.cost), np.array(self.lower), np.array(self.upper),
            sparse.vstack([legal, extra], format="csr"),
            np.concatenate([self.rows.low, self.low]),
            np.concatenate([self.rows.high, self.high]),
            len(self.problem.columns), blank_at, change_at,
        )  # fmt: skip

    def _blanks(self) -> int:
        first = len(self.cost)
        for _ in self.objective.blanks:
            self.variable(-self.problem.rules.blank_points, 1.0)
        return first

    def _legal_with_blanks(self, blank_at: int) -> sparse.csr_matrix:
        """The hard rules; a blank fills its cell, and drift does not bind beside it."""
        cells = {(s, w): blank_at + i for i, (s, w, _) in enumerate(self.objective.blanks)}
        found: list[tuple[int, int, float]] = []
        for i, row in enumerate(self.rows.rows):
            if row.slot is None:
                continue
            if row.rule == Rule.COVER:
                found.append((i, cells[row.slot, row.week], 1.0))
            elif row.rule == Rule.DRIFT:
                loose = LAST_STEP if np.isfinite(row.low) else -LAST_STEP
                both = ((row.slot, row.week), (row.slot, row.week + 1))
                found += [(i, cells[cell], loose) for cell in both if cell in cells]
        shape = (len(self.rows.rows), len(self.cost) - len(self.problem.columns))
        where = np.array([(i, v - len(self.problem.columns)) for i, v, _ in found]).reshape(-1, 2)
        values = [value for _, _, value in found]
        added = sparse.csr_matrix((values, (where[:, 0], where[:, 1])), shape=shape)
        return sparse.csr_matrix(sparse.hstack([self.rows.matrix, added]))

    def _demands(self) -> None:
        gains = self.problem.gains.tocsr()
        ends = self.objective.piece_ends
        lengths = np.diff(np.concatenate([[0], ends]))
        for k in range(len(self.problem.demands)):
            slopes = self.objective.slopes[k]
            start, stop = gains.indptr[k], gains.indptr[k + 1]
            if slopes[0] <= 0 or start == stop:
                continue
            parts = dict(zip(gains.indices[start:stop].tolist(), gains.data[start:stop].tolist(),
                             strict=True))  # fmt: skip
            for slope, length in zip(slopes, lengths, strict=True):
                parts[self.variable(float(slope), float(length))] = -1.0
            self.row(parts, 0.0, np.inf)

    def _variety(self) -> None:
        for group in self.objective.variety:
            used = self.variable(self.problem.rules.variety_points, 1.0)
            self.row({**dict.fromkeys(group, 1.0), used: -1.0}, 0.0, np.inf)

    def _repeats(self) -> None:
        for ends, begins in self.objective.repeats:
            twice = self.variable(-self.problem.rules.base_repeat_points, 1.0)
            parts = {**dict.fromkeys(ends, -1.0), **dict.fromkeys(begins, -1.0), twice: 1.0}
            self.row(parts, -1.0, np.inf)

    def _coverage(self) -> None:
        for item in self.objective.coverage:
            if item.price > 0:
                wanted = float(item.wanted)
                short = self.variable(-item.price, wanted)
                self.row({**dict.fromkeys(item.columns, 1.0), short: 1.0}, wanted, np.inf)

    def _changes(self) -> None:
        names = [self.variable(-cell.price, 1.0) for cell in self.objective.kept]
        for changed, cell in zip(names, self.objective.kept, strict=True):
            for group in cell.kept:
                self.row({**dict.fromkeys(group, 1.0), changed: 1.0}, 1.0, np.inf)
            for j in cell.added:
                self.row({j: -1.0, changed: 1.0}, 0.0, np.inf)

    def _tighten(self) -> None:
        """Rows that no plan needs but the bound does; see tighten.py."""
        maker = RowMaker(self.problem)
        choices: dict[tuple[Slot, int], DayChoice] = {}
        for (slot, week), columns in maker.covering.items():
            if slot == Slot.IMPLEMENT:
                sets = station_sets(self.problem, maker, week)
                if sets is not None:
                    choices[slot, week] = self._set_choice(sets)
            else:
                exposure = self.problem.exposure_in(week)[columns]
                choices[slot, week] = DayChoice(slot, week, tuple(columns), exposure)
        for clique in neighbour_cliques(self.problem, choices):
            self.row(dict.fromkeys(clique, 1.0), -np.inf, 1.0)

    def _set_choice(self, sets: StationSets) -> DayChoice:
        """One variable a set of stations; a lift is done if a set that holds it is."""
        names = [self.variable(0.0, 1.0) for _ in sets.sets]
        self.row(dict.fromkeys(names, 1.0), -np.inf, 1.0)
        for lift, columns in sets.columns.items():
            parts = {**dict.fromkeys(columns, 1.0)}
            parts |= {v: -1.0 for v, s in zip(names, sets.sets, strict=True) if lift in s}
            self.row(parts, 0.0, 0.0)
        return DayChoice(Slot.IMPLEMENT, sets.week, tuple(names), sets.exposure)


def build_model(problem: SeasonProblem) -> SeasonModel:
    """The model of a problem."""
    return ModelMaker(problem).build()
