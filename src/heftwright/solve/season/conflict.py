"""Why no season keeps every pin, and the cheapest way out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from scipy import sparse

from heftwright.domain.season.history import is_ahead
from heftwright.domain.season.legal_row import Rule
from heftwright.domain.season.problem import Firmness, Pin, SeasonProblem, pinned_columns
from heftwright.solve.season.engine import Ending, Limits, run_highs
from heftwright.solve.season.model import SeasonModel, build_model

REPAIR_GAP = 0.5
REACH_WEEKS = 3
_DROP_POINTS = {
    Firmness.PREFERENCE: 1.0,
    Firmness.CONTEST: 20.0,
    Firmness.RETEST: 400.0,
}


def impossible_pins(problem: SeasonProblem) -> tuple[str, ...]:
    """Pins on choices taken out beforehand, answered from the stored reasons without a solver."""
    return tuple(
        f"{pin_words(problem, pin)} cannot be: {_why(problem, pin)}. Move or drop the pin."
        for pin in problem.pins
        if is_ahead(pin.slot, problem.week_of(pin.monday), problem.done, problem.start)
        and not pinned_columns(problem, pin)
    )


def _why(problem: SeasonProblem, pin: Pin) -> str:
    week = problem.week_of(pin.monday)
    if not problem.kinds[week].is_training:
        return f"the {problem.kinds[week]} week has no main work"
    reason = problem.removal_of(pin.slot, week, pin.lift, pin.resistance)
    return reason.sentence if reason else "the lift has no such form there"


def pin_words(problem: SeasonProblem, pin: Pin) -> str:
    """A pin in words."""
    lift = problem.catalogue[pin.lift].name
    return f"{lift} pinned to {pin.slot.shown}, week of {pin.monday}"


def conflict_reasons(problem: SeasonProblem, model: SeasonModel, limits: Limits) -> tuple[str, ...]:
    """The cheapest set of pins to drop, softest first, in sentences."""
    dropped = pins_to_drop(problem, model, limits)
    if not dropped:
        return ("No season keeps every hard rule: loosen a budget, a ban or a gap.",)
    names = "; ".join(pin_words(problem, pin) for pin in dropped)
    first = (
        "Not all pins can hold together under the season's rules. Cheapest way out: drop or move "
        f"{names}."
    )
    return first, *(_clash(problem, pin, model) for pin in dropped)


def _clash(problem: SeasonProblem, pin: Pin, model: SeasonModel) -> str:
    mine = set(pinned_columns(problem, pin))
    others = {
        id(other): other
        for row in model.rows.rows
        if row.rule not in (Rule.PIN, Rule.COVER) and mine & row.parts.keys()
        for other in problem.pins
        if other is not pin and set(pinned_columns(problem, other)) & row.parts.keys()
    }
    if not others:
        return f"{pin_words(problem, pin)} breaks a rule by itself."
    names = "; ".join(pin_words(problem, other) for other in others.values())
    return f"{pin_words(problem, pin)} shares rules with {names}."


def pins_to_drop(problem: SeasonProblem, model: SeasonModel, limits: Limits) -> tuple[Pin, ...]:
    """The cheapest pins to drop so that a season exists; empty if pins are not the trouble."""
    rows = [i for i, row in enumerate(model.rows.rows) if row.rule == Rule.PIN]
    if not rows:
        return ()
    pins = [model.rows.rows[i].pin for i in rows]
    columns = np.arange(len(rows))
    extra = sparse.csr_matrix(
        (np.ones(len(rows)), (rows, columns)), shape=(len(model.low), len(rows))
    )
    prices = [_DROP_POINTS[pin.firmness] for pin in pins if pin is not None]
    repair = replace(
        model,
        cost=np.concatenate([np.zeros(len(model.cost)), -np.array(prices)]),
        lower=np.concatenate([model.lower, np.zeros(len(rows))]),
        upper=np.concatenate([model.upper, np.ones(len(rows))]),
        matrix=sparse.hstack([model.matrix, extra], format="csr"),
    )
    # Dropped pins settle at 0 or 1 by themselves: the row's other columns are 0/1.
    near = run_highs(near_pins(repair, problem, problem.pins), replace(limits, gap=0.0))
    run = near
    if near.chosen is None or -near.points > min(prices):
        run = run_highs(repair, replace(limits, gap=0.0), start=near.chosen)
    if run.chosen is None:
        return ()
    return tuple(
        pin
        for pin in pins
        if pin is not None and run.chosen[pinned_columns(problem, pin)].sum() < REPAIR_GAP
    )


def find_conflict(
    problem: SeasonProblem, *, seed: int = 1, limit_s: float = 20.0
) -> tuple[tuple[Pin, ...], tuple[Pin, ...]] | None:
    """The smallest set of pins that cannot hold together, and the cheapest to drop.

    Returns
    -------
    tuple or None
        Clashing pins (each needed for the clash) and pins to drop; None if pins are not the
        trouble. Pins on choices taken out beforehand clash with a rule alone.
    """
    dead = tuple(
        pin
        for pin in problem.pins
        if is_ahead(pin.slot, problem.week_of(pin.monday), problem.done, problem.start)
        and not pinned_columns(problem, pin)
    )
    if dead:
        return dead, dead
    model = build_model(problem)
    limits = Limits(seed, limit_s, 0.0)
    dropped = pins_to_drop(problem, model, limits)
    if not dropped:
        return None
    return _smallest_clash(problem, model, limits, dropped), dropped


def near_pins(model: SeasonModel, problem: SeasonProblem, pins: Iterable[Pin]) -> SeasonModel:
    """The model with everything blank but the weeks around pins: nearly always that is enough."""
    weeks = {problem.week_of(pin.monday) for pin in pins}
    wide = {week + k for week in weeks for k in range(-REACH_WEEKS, REACH_WEEKS + 1)}
    upper = model.upper.copy()
    for j, column in enumerate(problem.columns):
        if not column.is_done and wide.isdisjoint(column.span):
            upper[j] = 0.0
    return replace(model, upper=upper)


def _smallest_clash(
    problem: SeasonProblem, model: SeasonModel, limits: Limits, dropped: tuple[Pin, ...]
) -> tuple[Pin, ...]:
    """Take pins out one by one; what cannot be spared is the clash."""
    kept = [pin for pin in problem.pins if pin not in dropped[1:]]
    for pin in tuple(kept):
        rest = [other for other in kept if other != pin]
        if not _can_hold(model, rest, limits):
            kept = rest
    return tuple(kept)


def _can_hold(model: SeasonModel, pins: list[Pin], limits: Limits) -> bool:
    """Whether some season, however poor, keeps these pins."""
    low, high = model.low.copy(), model.high.copy()
    for i, row in enumerate(model.rows.rows):
        if row.rule == Rule.PIN and row.pin not in pins:
            low[i], high[i] = -np.inf, np.inf
    loose = replace(model, low=low, high=high, cost=np.zeros(len(model.cost)))
    near = near_pins(loose, model.problem, pins)
    if run_highs(near, limits).ending != Ending.INFEASIBLE:
        return True
    return run_highs(loose, limits).ending != Ending.INFEASIBLE
