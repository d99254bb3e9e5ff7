"""Runs HiGHS on a season model: one thread count, statuses asserted, progress and stop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np
import numpy.typing as npt

from heftwright.solve.quiet import quiet_highs
from heftwright.solve.season.model import SeasonModel

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
# One thread count for every solve of a process: a mixed count has returned "not set" with
# objective 0 and no error. One thread, because the class's own server runs beside it.
THREADS = 1
Heard = Callable[[float, float, Floats | None], bool]


class SolverStateError(RuntimeError):
    """The solver ended in a state that means neither a plan nor a proof: a fault of ours."""


class Ending(StrEnum):
    """How a run ended."""

    REACHED_GAP = "reached_gap"
    STOPPED = "stopped"
    INFEASIBLE = "infeasible"


@dataclass(frozen=True, slots=True)
class Run:
    """What a run gave: the best choice of columns, if any, its points and the bound."""

    ending: Ending
    chosen: Floats | None
    points: float
    bound: float


@dataclass(frozen=True, slots=True)
class Limits:
    """Seed, seconds and relative gap of a run."""

    seed: int
    limit_s: float
    gap: float


def run_highs(
    model: SeasonModel, limits: Limits, *, start: Floats | None = None, heard: Heard | None = None
) -> Run:
    """Maximise a model.

    Parameters
    ----------
    model : SeasonModel
        With its bounds as they shall hold.
    limits : Limits
        Seed, seconds, gap.
    start : array or None
        A choice of columns to start from.
    heard : callable or None
        Called with (best points, bound, choice or None); returns whether to go on.

    Raises
    ------
    SolverStateError
        If HiGHS reports a status that is neither a solution nor a proof.
    """
    import highspy

    whole, model, free = model, *without_held(model)
    start = None if start is None else start[free]
    solver = _solver(limits)
    _assert_ok(solver.passModel(_program(highspy, model)), "the model")
    if start is not None:
        index = np.arange(model.integral, dtype=np.int32)
        _assert_ok(solver.setSolution(model.integral, index, np.round(start)), "the start")
    if heard is not None:
        _listen(highspy, solver, model, lambda p, b, x: heard(p, b, _widened(whole, free, x)))
    solver.run()
    run = _outcome(highspy, solver, model)
    return Run(run.ending, _widened(whole, free, run.chosen), run.points, run.bound)


def without_held(model: SeasonModel) -> tuple[SeasonModel, Ints]:
    """The model without its held columns, and the indices of the free ones.

    The solver's own presolve does the same, but reads the whole model first.
    """
    held = model.lower[: model.integral] == model.upper[: model.integral]
    free = np.flatnonzero(~held)
    if not held.any():
        return model, free
    keep = np.concatenate([free, np.arange(model.integral, len(model.cost))])
    taken = model.matrix[:, np.flatnonzero(held)] @ model.lower[: model.integral][held]
    matrix, low, high = model.matrix[:, keep], model.low - taken, model.high - taken
    # A row without a free variable may go only if what is held keeps it.
    needed = (np.diff(matrix.indptr) > 0) | (low > 1e-6) | (high < -1e-6)
    small = replace(
        model, cost=model.cost[keep], lower=model.lower[keep], upper=model.upper[keep],
        matrix=matrix[needed], low=low[needed], high=high[needed], integral=len(free),
        blank_at=model.blank_at - int(held.sum()),
        change_at=model.change_at - int(held.sum()),
    )  # fmt: skip
    return small, free


def _widened(model: SeasonModel, free: Ints, chosen: Floats | None) -> Floats | None:
    """A choice of the free columns as one of all columns."""
    if chosen is None:
        return None
    wide = model.lower[: model.integral].copy()
    wide[free] = chosen
    return wide


def _solver(limits: Limits) -> Any:
    solver = quiet_highs()
    for name, value in (
        ("threads", THREADS), ("random_seed", limits.seed),
        ("time_limit", max(0.05, limits.limit_s)), ("mip_rel_gap", limits.gap),
    ):  # fmt: skip
        _assert_ok(solver.setOptionValue(name, value), f"option {name}")
    return solver


def _assert_ok(status: Any, what: str) -> None:
    if "Error" in str(status):
        raise SolverStateError(f"HiGHS refused {what}: {status}.")


def _program(highspy: Any, model: SeasonModel) -> Any:
    program = highspy.HighsLp()
    matrix = model.matrix.tocsc()
    program.num_col_, program.num_row_ = len(model.cost), len(model.low)
    program.col_cost_ = model.cost
    program.col_lower_, program.col_upper_ = model.lower, model.upper
    program.row_lower_, program.row_upper_ = model.low, model.high
    program.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    program.a_matrix_.start_ = matrix.indptr
    program.a_matrix_.index_ = matrix.indices
    program.a_matrix_.value_ = matrix.data
    program.sense_ = highspy.ObjSense.kMaximize
    whole, real = highspy.HighsVarType.kInteger, highspy.HighsVarType.kContinuous
    program.integrality_ = [whole] * model.integral + [real] * (len(model.cost) - model.integral)
    return program


def _listen(highspy: Any, solver: Any, model: SeasonModel, heard: Heard) -> None:
    kinds = highspy.cb.HighsCallbackType

    def on_call(kind: Any, _message: str, out: Any, into: Any, _data: Any) -> None:
        chosen = None
        if kind == kinds.kCallbackMipImprovingSolution:
            chosen = np.array(out.mip_solution)[: model.integral]
        goes_on = heard(float(out.mip_primal_bound), float(out.mip_dual_bound), chosen)
        if not goes_on and kind == kinds.kCallbackMipInterrupt:
            into.user_interrupt = 1

    solver.setCallback(on_call, None)
    solver.startCallback(kinds.kCallbackMipImprovingSolution)
    solver.startCallback(kinds.kCallbackMipInterrupt)


def _outcome(highspy: Any, solver: Any, model: SeasonModel) -> Run:
    status, info = solver.getModelStatus(), solver.getInfo()
    states = highspy.HighsModelStatus
    if status in (states.kInfeasible, states.kUnboundedOrInfeasible):
        return Run(Ending.INFEASIBLE, None, -np.inf, -np.inf)
    if status not in (states.kOptimal, states.kTimeLimit, states.kInterrupt, states.kSolutionLimit):
        raise SolverStateError(f"HiGHS ended as “{solver.modelStatusToString(status)}”.")
    has_plan = info.primal_solution_status == 2
    chosen = (
        np.round(np.array(solver.getSolution().col_value)[: model.integral]) if has_plan else None
    )
    ending = Ending.REACHED_GAP if status == states.kOptimal else Ending.STOPPED
    points = float(info.objective_function_value) if has_plan else -np.inf
    # Without a free choice it is no integer program, and HiGHS keeps no bound of one.
    is_settled = model.integral == 0 and status == states.kOptimal
    return Run(ending, chosen, points, points if is_settled else float(info.mip_dual_bound))
