"""Why no season keeps every pin, and the cheapest way out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy import sparse

from heftwright.domain.season.history import is_ahead
from heftwright.domain.season.legal_row import Rule
from heftwright.domain.season.problem import Firmness, Pin, SeasonProblem, pinned_columns
from heftwright.solve.season.engine import Limits, run_highs
from heftwright.solve.season.model import SeasonModel

REPAIR_GAP = 0.5
_DROP_POINTS = {
    Firmness.PREFERENCE: 1.0,
    Firmness.CONTEST: 20.0,
    Firmness.RETEST: 400.0,
}


def impossible_pins(problem: SeasonProblem) -> tuple[str, ...]:
    """Pins on choices taken out beforehand, answered from the stored reasons without a solver."""
    return tuple(
        f"{_pin_words(problem, pin)} cannot be: {_why(problem, pin)}. Move or drop the pin."
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


def _pin_words(problem: SeasonProblem, pin: Pin) -> str:
    lift = problem.catalogue[pin.lift].name
    return f"{lift} pinned to {pin.slot.shown}, week of {pin.monday},"


def conflict_reasons(problem: SeasonProblem, model: SeasonModel, limits: Limits) -> tuple[str, ...]:
    """The cheapest set of pins to drop, softest first, in sentences."""
    dropped = pins_to_drop(problem, model, limits)
    if not dropped:
        return ("No season keeps every hard rule: loosen a budget, a ban or a gap.",)
    names = "; ".join(_pin_words(problem, pin).rstrip(",") for pin in dropped)
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
        return f"{_pin_words(problem, pin)} breaks a rule by itself."
    names = "; ".join(_pin_words(problem, other).rstrip(",") for other in others.values())
    return f"{_pin_words(problem, pin)} shares rules with {names}."


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
    run = run_highs(repair, replace(limits, gap=0.0))
    if run.chosen is None:
        return ()
    return tuple(
        pin
        for pin in pins
        if pin is not None and run.chosen[pinned_columns(problem, pin)].sum() < REPAIR_GAP
    )
