"""A legal season in one pass, at once: the best legal choice for each slot in order of time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import numpy.typing as npt

from heftwright.domain.catalogue import Slot
from heftwright.domain.season.legal import RowMaker
from heftwright.domain.season.legal_row import Rule
from heftwright.domain.season.problem import Column, pinned_columns
from heftwright.solve.season.model import Ruled

Floats = npt.NDArray[np.float64]
WORTHWHILE_POINTS = 1e-9


class GreedyStart:
    """Fills a season slot by slot; keeps what it is given as far as it is legal."""

    def __init__(self, model: Ruled) -> None:
        self.problem, self.objective = model.problem, model.objective
        self.matrix = model.rows.matrix.tocsc()
        self.high = np.where(
            [row.rule == Rule.DRIFT for row in model.rows.rows], np.inf, model.rows.high
        )
        self.maker = RowMaker(self.problem)
        self.gains = self.problem.gains.tocsc()
        self.chosen = np.zeros(len(self.problem.columns))
        self.activity = np.zeros(len(model.rows.rows))
        self.doses = np.zeros(len(self.problem.demands))
        self.variety_of = _index_of(self.objective.variety, len(self.problem.columns))
        self.used = np.zeros(len(self.objective.variety), dtype=bool)
        self.taken: dict[tuple[Slot, int], Column] = {}

    def fill(self, keep: Sequence[int] = ()) -> Floats:
        """A choice of columns; ``keep`` are tried first, after done work and pins."""
        self._take_all([j for j, c in enumerate(self.problem.columns) if c.is_done], check=False)
        for pin in self.problem.pins:
            self._take_best(pinned_columns(self.problem, pin))
        self._take_all(keep, check=True)
        for week in range(self.problem.weeks):
            for slot_day in self.problem.slot_days:
                if slot_day.slot != Slot.IMPLEMENT:
                    self._fill_cell(slot_day.slot, week)
        for week in range(self.problem.weeks):
            self._fill_implement(week)
        return self.chosen

    def _fill_cell(self, slot: Slot, week: int) -> None:
        if (slot, week) in self.taken:
            return
        columns = self.maker.covering.get((slot, week), ())
        self._take_best([j for j in columns if self.problem.columns[j].week == week])

    def _fill_implement(self, week: int) -> None:
        columns = list(self.maker.covering.get((Slot.IMPLEMENT, week), ()))
        while self._take_best(columns, least=WORTHWHILE_POINTS):
            columns = [j for j in columns if not self.chosen[j]]

    def _take_best(self, columns: Sequence[int], least: float = -np.inf) -> bool:
        free = [j for j in columns if self._is_free(self.problem.columns[j])]
        legal = [j for j in self._legal(free) if self._drifts_well(self.problem.columns[j])]
        if not legal:
            return False
        points = self._added_points(legal)
        best = int(np.argmax(points))
        if points[best] < least:
            return False
        self._take(legal[best])
        return True

    def _take_all(self, columns: Iterable[int], *, check: bool) -> None:
        for j in columns:
            column = self.problem.columns[j]
            if not check or (
                not self.chosen[j]
                and self._is_free(column)
                and self._legal([j])
                and self._drifts_well(column)
            ):
                self._take(j)

    def _take(self, j: int) -> None:
        self.chosen[j] = 1.0
        column = self.problem.columns[j]
        start, stop = self.matrix.indptr[j], self.matrix.indptr[j + 1]
        self.activity[self.matrix.indices[start:stop]] += self.matrix.data[start:stop]
        self.doses += self.gains[:, [j]].toarray()[:, 0]
        self.used[self.variety_of[j]] = True
        if column.slot != Slot.IMPLEMENT:
            for week in column.span:
                self.taken[column.slot, week] = column

    def _is_free(self, column: Column) -> bool:
        return not any((column.slot, week) in self.taken for week in column.span)

    def _legal(self, columns: Sequence[int]) -> list[int]:
        """Those that break no upper bound when added."""
        if not columns:
            return []
        part = self.matrix[:, list(columns)].tocoo()
        bad = self.activity[part.row] + part.data > self.high[part.row] + 1e-6
        broken = np.bincount(part.col[bad], minlength=len(columns)) > 0
        return [j for j, is_bad in zip(columns, broken, strict=True) if not is_bad]

    def _drifts_well(self, column: Column) -> bool:
        """Whether the scheme step follows the waves before and after it."""
        if not column.slot.is_dynamic:
            return True
        before = self.taken.get((column.slot, column.week - 1))
        after = self.taken.get((column.slot, column.span.stop))
        return self._step_follows(before, column) and self._step_follows(column, after)

    def _step_follows(self, first: Column | None, second: Column | None) -> bool:
        if first is None or second is None or first.is_done or second.is_done:
            return True
        rise = second.step - first.step
        if self.maker.asks_reps(first.slot, first.span.stop - 1):
            return 0 <= rise <= 1
        return -1 <= rise <= 0

    def _added_points(self, columns: Sequence[int]) -> Floats:
        """Points a week that each column would add."""
        added = self.gains[:, list(columns)].toarray().T
        now = self.objective.demand_points(self.doses).sum()
        points = self.objective.demand_points(self.doses + added).sum(axis=-1) - now
        fresh = ~self.used[self.variety_of[list(columns)]]
        points += self.problem.rules.variety_points * fresh
        points += self._covered_points(columns)
        lengths = np.array([self.problem.columns[j].weeks for j in columns])
        return np.asarray(points / lengths)

    def _covered_points(self, columns: Sequence[int]) -> Floats:
        points = np.zeros(len(columns))
        for item in self.objective.coverage:
            members = set(item.columns)
            if self.chosen[list(item.columns)].sum() < item.wanted:
                points += [item.price * (j in members) for j in columns]
        return points


def _index_of(groups: Sequence[Sequence[int]], size: int) -> npt.NDArray[np.int64]:
    index = np.zeros(size, dtype=np.int64)
    for i, group in enumerate(groups):
        index[list(group)] = i
    return index
