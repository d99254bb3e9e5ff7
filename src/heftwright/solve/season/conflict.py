"""Why no season keeps every pin, and the cheapest way out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from scipy import sparse

from heftwright.domain.season.after_pins import after_pin_words, open_after_pins, reason_alone
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.history import is_ahead
from heftwright.domain.season.legal_row import Rule
from heftwright.domain.season.problem import Firmness, Pin, Removal, SeasonProblem, pinned_columns
from heftwright.solve.season.engine import Ending, Limits, run_highs
from heftwright.solve.season.model import SeasonModel, build_model

_Any = TypeVar("_Any")
REPAIR_GAP = 0.5
REACH_WEEKS = 3
_DROP_POINTS = {
    Firmness.PREFERENCE: 1.0,
    Firmness.CONTEST: 20.0,
    Firmness.RETEST: 400.0,
}


@dataclass(frozen=True, slots=True)
class Clash:
    """What of the coach's own cannot hold together.

    Parameters
    ----------
    pins : tuple of Pin
        Main lifts of the smallest set: without any one of it the others could hold.
    blocks : tuple of AfterPin
        Blocks pinned after main lifts that belong to that set.
    cheapest : tuple of Pin
        The cheapest main pins to drop; empty where taking blocks back is cheaper.
    cheapest_blocks : tuple of AfterPin
        The cheapest blocks to take back.
    """

    pins: tuple[Pin, ...]
    blocks: tuple[AfterPin, ...]
    cheapest: tuple[Pin, ...]
    cheapest_blocks: tuple[AfterPin, ...] = ()


def impossible_pins(problem: SeasonProblem) -> tuple[str, ...]:
    """Pins on choices taken out beforehand, answered from the stored reasons without a solver."""
    return tuple(
        f"{pin_words(problem, pin)} cannot be: {_why(problem, pin)}. {_way_out(problem, pin)}"
        for pin in _dead_pins(problem)
    )


def _dead_pins(problem: SeasonProblem) -> tuple[Pin, ...]:
    return tuple(
        pin
        for pin in problem.pins
        if is_ahead(pin.slot, problem.week_of(pin.monday), problem.done, problem.start)
        and not pinned_columns(problem, pin)
    )


def _dead_blocks(problem: SeasonProblem) -> tuple[AfterPin, ...]:
    found = (pin for pin in open_after_pins(problem) if pin.lift is not None)
    return tuple(pin for pin in found if reason_alone(problem, pin))


def _way_out(problem: SeasonProblem, pin: Pin) -> str:
    blocks = _blocks_in_the_way(problem, pin)
    if not blocks:
        return "Move or drop the pin."
    return f"Take back {after_pin_words(problem, blocks[0])}, or move or drop the main lift's pin."


def _blocks_in_the_way(problem: SeasonProblem, pin: Pin) -> tuple[AfterPin, ...]:
    """What the coach pinned after a main lift that leaves the lift itself no time or place."""
    is_in_the_way = any(
        item.reason is Removal.AFTER
        and (item.slot, item.lift) == (pin.slot, pin.lift)
        and item.week == problem.week_of(pin.monday)
        and pin.resistance in (None, item.resistance)
        for item in problem.removed
    )
    return tuple(
        block
        for block in open_after_pins(problem)
        if is_in_the_way and (block.slot, block.monday) == (pin.slot, pin.monday)
    )


def _why(problem: SeasonProblem, pin: Pin) -> str:
    week = problem.week_of(pin.monday)
    if not problem.kinds[week].is_training:
        return f"the {problem.kinds[week]} week has no main work"
    blocks = _blocks_in_the_way(problem, pin)
    if blocks:
        if blocks[0].lift == pin.lift:
            return "you have pinned the same lift after that day's main lift"
        return f"{after_pin_words(problem, blocks[0])}, leaves it no time in that class"
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


def find_conflict(problem: SeasonProblem, *, seed: int = 1, limit_s: float = 20.0) -> Clash | None:
    """The smallest set of pins that cannot hold together, and the cheapest way out.

    Returns
    -------
    Clash or None
        None if pins are not the trouble. Pins on choices taken out beforehand clash with a rule
        alone, or with what is pinned after that very lift.
    """
    dead, dead_blocks = _dead_pins(problem), _dead_blocks(problem)
    if dead or dead_blocks:
        by_pin = [_blocks_in_the_way(problem, pin) for pin in dead]
        named = (block for found in (*by_pin, dead_blocks) for block in found)
        blocks = tuple(dict.fromkeys(named))
        if all(by_pin):
            return Clash(dead, blocks, (), blocks)
        return Clash(dead, blocks, dead, dead_blocks)
    model = build_model(problem)
    limits = Limits(seed, limit_s, 0.0)
    return _Finder(problem, model, limits).clash(pins_to_drop(problem, model, limits))


def near_pins(model: SeasonModel, problem: SeasonProblem, pins: Iterable[Pin]) -> SeasonModel:
    """The model with everything blank but the weeks around pins: nearly always that is enough."""
    weeks = {problem.week_of(pin.monday) for pin in pins}
    wide = {week + k for week in weeks for k in range(-REACH_WEEKS, REACH_WEEKS + 1)}
    upper = model.upper.copy()
    for j, column in enumerate(problem.columns):
        if not column.is_done and wide.isdisjoint(column.span):
            upper[j] = 0.0
    return replace(model, upper=upper)


def clash_reasons(problem: SeasonProblem, clash: Clash) -> tuple[str, ...]:
    """A clash in sentences with the cheapest way out; empty where the search's own words are
    nearer: pins on choices taken out beforehand, and a pin that breaks a rule by itself.
    """
    size = len(clash.pins) + len(clash.blocks)
    is_said = _dead_pins(problem) or _dead_blocks(problem)
    if is_said or (size == 1 and not clash.blocks):
        return ()
    drop = [f"drop or move {pin_words(problem, pin)}" for pin in clash.cheapest]
    drop += [f"take back {after_pin_words(problem, pin)}" for pin in clash.cheapest_blocks]
    named = [pin_words(problem, pin) for pin in clash.pins]
    named += [after_pin_words(problem, pin) for pin in clash.blocks]
    return (
        f"Not all pins can hold together. Cheapest way out: {'; '.join(drop)}.",
        f"Any one of these less, and the others can hold: {'; '.join(named)}.",
    )


class _Finder:
    """Finds the smallest clash by leaving things out one by one."""

    def __init__(self, problem: SeasonProblem, model: SeasonModel, limits: Limits) -> None:
        self.problem, self.limits = problem, limits
        self.blocks = tuple(pin for pin in open_after_pins(problem) if pin.lift is not None)
        self.models = {self.blocks: model}

    def clash(self, dropped: tuple[Pin, ...]) -> Clash | None:
        """The clash, given the cheapest main pins to drop (none if they cannot help)."""
        pins = tuple(pin for pin in self.problem.pins if pin not in dropped[1:])
        if not dropped and (not self.blocks or self._holds(pins, self.blocks)):
            return None
        with_blocks = bool(self.blocks) and self._holds(pins, ())
        if not dropped and not with_blocks:
            return None
        blocks = self.blocks if with_blocks else ()
        # main pins go first, so that a block stays in the set wherever it takes part
        pins = _spared(pins, lambda rest: self._holds(rest, blocks))
        blocks = _spared(blocks, lambda rest: self._holds(pins, rest))
        way_out = self._blocks_to_take_back(blocks)
        if way_out or not dropped:
            return Clash(pins, blocks, (), way_out or blocks)
        return Clash(pins, blocks, dropped)

    def _blocks_to_take_back(self, blocks: tuple[AfterPin, ...]) -> tuple[AfterPin, ...]:
        """One block without which every main pin holds: softer than any main lift's pin."""
        for block in blocks:
            others = tuple(other for other in self.blocks if other != block)
            if self._holds(self.problem.pins, others):
                return (block,)
        return ()

    def _holds(self, pins: tuple[Pin, ...], blocks: tuple[AfterPin, ...]) -> bool:
        if blocks not in self.models:
            # The columns stay: what a block takes out of its own day is no part of this clash.
            self.models[blocks] = build_model(replace(self.problem, after_pins=blocks))
        return _can_hold(self.models[blocks], list(pins), self.limits)


def _spared(
    things: tuple[_Any, ...], holds: Callable[[tuple[_Any, ...]], bool]
) -> tuple[_Any, ...]:
    """What cannot be spared: without any one of it the others could hold."""
    kept = things
    for thing in things:
        rest = tuple(other for other in kept if other != thing)
        if not holds(rest):
            kept = rest
    return kept


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
