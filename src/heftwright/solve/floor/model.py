"""A HiGHS model over some of the columns; the only place of the floor that talks to it."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from heftwright.solve.quiet import quiet_highs

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
UNPLACED_DS = 1_000_000


class PartitionModel:
    """Each lifter once, in a column or in their own "no group" column; shared rows below limits.

    Parameters
    ----------
    members : array
        ``[column, …]`` places of lifters; ``lifters`` where empty.
    cost : array
        Price of each column [ds].
    use, limit : array
        ``[row, column]`` what each column takes of a shared row, and how much there is.
    lifters : int
        How many.
    seed : int
        For the solver's tie breaking.
    """

    def __init__(
        self, members: Ints, cost: Floats, use: Floats, limit: Floats, lifters: int, *, seed: int
    ) -> None:
        self.lifters = lifters
        self.members = members
        self.cost = cost
        self.use = use
        self.limit = limit
        self.highs = self._new(seed)

    def _new(self, seed: int) -> Any:
        import highspy

        module: Any = highspy
        highs = quiet_highs()
        for name, value in (
            ("threads", 1),
            ("random_seed", seed),
            ("mip_rel_gap", 0.0),
        ):
            highs.setOptionValue(name, value)
        highs.passModel(self._program(module))
        return highs

    def _program(self, module: Any) -> Any:
        lifters, limit = self.lifters, self.limit
        starts, index, value = self._matrix()
        program = module.HighsLp()
        program.num_col_ = lifters + len(self.cost)
        program.num_row_ = lifters + len(limit)
        program.col_cost_ = np.concatenate([np.full(lifters, float(UNPLACED_DS)), self.cost])
        program.col_lower_ = np.zeros(program.num_col_)
        program.col_upper_ = np.full(program.num_col_, module.kHighsInf)
        program.row_lower_ = np.concatenate(
            [np.ones(lifters), np.full(len(limit), -module.kHighsInf)]
        )
        program.row_upper_ = np.concatenate([np.ones(lifters), limit])
        matrix = program.a_matrix_
        matrix.format_ = module.MatrixFormat.kColwise
        matrix.start_ = np.concatenate([np.arange(lifters), lifters + starts]).astype(np.int32)
        matrix.index_ = np.concatenate([np.arange(lifters), index]).astype(np.int32)
        matrix.value_ = np.concatenate([np.ones(lifters), value])
        return program

    def _matrix(self) -> tuple[Ints, Ints, Floats]:
        """Column starts, row indices and values."""
        return _sparse(self.members, self.use, self.lifters)

    def add_columns(self, members: Ints, cost: Floats, use: Floats) -> None:
        """More columns, with what they take of every shared row so far."""
        starts, index, value = _sparse(members, use, self.lifters)
        count = len(cost)
        self.highs.addCols(
            count, cost, np.zeros(count), np.full(count, np.inf), len(index),
            starts[:-1].astype(np.int32), index.astype(np.int32), value,
        )  # fmt: skip
        self.members = np.concatenate([self.members, members])
        self.cost = np.concatenate([self.cost, cost])
        self.use = np.concatenate([self.use, use], axis=1)

    def add_rows(self, use: Floats, limit: Floats) -> None:
        """More shared rows, with what every column so far takes."""
        row, column = np.nonzero(use)
        starts = np.searchsorted(row, np.arange(len(limit)))
        self.highs.addRows(
            len(limit), np.full(len(limit), -np.inf), limit, len(row), starts.astype(np.int32),
            (column + self.lifters).astype(np.int32), use[row, column],
        )  # fmt: skip
        self.limit = np.concatenate([self.limit, limit])
        self.use = np.concatenate([self.use, use])

    def solve_linear(self) -> tuple[float, Floats, Floats]:
        """Objective (∞ if fixed columns clash), values of columns, duals of lifters and rows."""
        self.highs.run()
        if "Infeasible" in self.highs.modelStatusToString(self.highs.getModelStatus()):
            return np.inf, np.zeros(len(self.cost)), np.zeros(self.lifters + len(self.limit))
        solution = self.highs.getSolution()
        value = float(self.highs.getInfo().objective_function_value)
        return value, np.array(solution.col_value)[self.lifters :], np.array(solution.row_dual)

    def fix(self, column: int, *, used: bool = True) -> None:
        """This column is used, or not."""
        self.highs.changeColBounds(self.lifters + column, float(used), float(used))

    def serve_all(self) -> None:
        """Nobody may be left without a group."""
        places = np.arange(self.lifters, dtype=np.int32)
        none = np.zeros(self.lifters)
        self.highs.changeColsBounds(self.lifters, places, none, none)

    def solve_integer(self, limit_s: float, gap_ds: float) -> tuple[Floats | None, float]:
        """Values of the columns, within ``gap_ds`` of the best; and a proven bound.

        None stands for "none found in time" (bound −∞) or "there is none" (bound ∞).
        """
        import highspy

        module: Any = highspy
        count = self.lifters + len(self.cost)
        self.highs.changeColsIntegrality(
            count,
            np.arange(count, dtype=np.int32),
            np.full(count, int(module.HighsVarType.kInteger), dtype=np.uint8),
        )
        self.highs.setOptionValue("time_limit", float(limit_s))
        self.highs.setOptionValue("mip_abs_gap", float(gap_ds))
        self.highs.run()
        info = self.highs.getInfo()
        if self.highs.getModelStatus() == module.HighsModelStatus.kInfeasible:
            return None, np.inf
        if info.primal_solution_status != module.SolutionStatus.kSolutionStatusFeasible:
            return None, -np.inf
        taken = np.array(self.highs.getSolution().col_value)[self.lifters :]
        return taken, float(info.mip_dual_bound)


def _sparse(members: Ints, use: Floats, lifters: int) -> tuple[Ints, Ints, Floats]:
    rows = np.arange(len(use)) + lifters
    index = np.concatenate([members, np.broadcast_to(rows, (len(members), len(rows)))], axis=1)
    value = np.concatenate([(members < lifters).astype(float), use.T], axis=1)
    kept = value != 0
    starts = np.concatenate([[0], np.cumsum(kept.sum(axis=1))])
    return starts, index[kept], value[kept]
