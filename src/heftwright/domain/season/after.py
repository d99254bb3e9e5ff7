"""Chooses what follows the main lifts, from what the body's budgets and the clock leave.

A second stage: the main lifts stand, and each class may get one block more. Blocks are chosen one
after another by what they add to the same demands, then each is looked at again beside the others
until nothing changes. The same season always gives the same blocks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from heftwright.domain.catalogue import Lift, LiftKey, Slot
from heftwright.domain.season.after_pins import open_after_pins, reason_not_to_stand
from heftwright.domain.season.after_work import (
    AfterKind,
    AfterPin,
    AfterWork,
    kind_after,
)
from heftwright.domain.season.after_worth import AfterWorth, Budget, setup_min_of
from heftwright.domain.season.explain import SHARES_SHOWN, Explanation, plainly
from heftwright.domain.season.history import block_load, is_ahead, past_blocks
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Floats, SeasonProblem, SlotDay
from heftwright.domain.season.score import HUNDREDTHS, objective_of
from heftwright.domain.season.weeks import WeekKind
from heftwright.domain.season.worth import is_specific

LOOKS = 3  # each block is looked at again at most so often
_Cell = tuple[Slot, int]


def with_after_work(
    problem: SeasonProblem, plan: SeasonPlan
) -> tuple[SeasonPlan, Mapping[AfterWork, Explanation]]:
    """The plan with second lifts and event practice, and why each is there.

    Parameters
    ----------
    problem, plan
        The plan's main work keeps every rule; light sessions in it do not count.

    Returns
    -------
    plan, explanations
        Blocks of days that are past stay as they were in the previous plan.
    """
    return _Chooser(problem, plan).chosen()


@dataclass(frozen=True, slots=True)
class AfterOption:
    """Something that could follow a main lift.

    Parameters
    ----------
    work : AfterWork
        What, in its better scheme.
    points : float
        What it adds to the season as it stands.
    breaks : str
        Why it cannot stand beside everything else, in a clause; empty: it can.
    """

    work: AfterWork
    points: float
    breaks: str


def after_options(
    problem: SeasonProblem, plan: SeasonPlan, slot: Slot, week: int
) -> tuple[AfterOption, ...]:
    """What could follow the main lift of a slot, best first, those that cannot stand last.

    Parameters
    ----------
    plan : SeasonPlan
        With its blocks, whose main work is the problem's; the slot's own block is looked past.
    """
    return _Chooser(problem, plan).options(slot, week)


@dataclass(frozen=True, slots=True)
class _Block:
    """One block that could stand in a cell: what it is, its doses, load and events of its own."""

    work: AfterWork
    dose: Floats
    load: Floats
    covers: Floats


class _Chooser:
    def __init__(self, problem: SeasonProblem, plan: SeasonPlan) -> None:
        self.problem, self.plan, self.rules = problem, plan, problem.rules
        self.objective = objective_of(problem)
        self.worth, self.budget = AfterWorth(problem), Budget(problem)
        self.taken: dict[_Cell, _Block] = {}
        chosen = problem.chosen_of(plan)
        self.doses = np.asarray(problem.gains @ chosen)
        self.covered = np.array(
            [chosen[list(item.columns)].sum() for item in self.objective.coverage]
        )
        for j in np.flatnonzero(chosen):
            column = problem.columns[j]
            for week in column.span:
                self.budget.add((column.slot, week), problem.exposure_in(week)[j])
        before = problem.previous.after if problem.previous is not None else ()
        self.before = frozenset(before)
        self.past = past_blocks(problem)
        for item in self.past:
            self.budget.add((item.slot, self._week_of(item)), block_load(problem, item))
        self.has_implement_day = problem.slot_day(Slot.IMPLEMENT) is not None
        self.pinned = {(p.slot, self._week_of(p)): p.lift for p in open_after_pins(problem)}

    def _week_of(self, work: AfterWork | AfterPin) -> int:
        return self.problem.week_of(work.monday)

    def _is_open(self, slot: Slot, monday: date) -> bool:
        problem, week = self.problem, self.problem.week_of(monday)
        return 0 <= week < problem.weeks and is_ahead(slot, week, problem.done, problem.start)

    def chosen(self) -> tuple[SeasonPlan, Mapping[AfterWork, Explanation]]:
        found = {cell: tuple(self._blocks_at(*cell)) for cell in self._cells()}
        # What the coach pinned comes first: the others find their place beside it.
        blocks = dict(sorted(found.items(), key=lambda item: item[0] not in self.pinned))
        for _ in range(LOOKS):
            before = dict(self.taken)
            for cell, mine in blocks.items():
                self._look_again(cell, mine)
            if before == self.taken:
                break
        told = {block.work: self._told(cell, block) for cell, block in [*self.taken.items()]}
        order = list(Slot)
        after = sorted(
            (*self.past, *told), key=lambda item: (item.monday, order.index(item.slot), item.lift)
        )
        return replace(self.plan, after=tuple(after)), told

    def _cells(self) -> Iterator[_Cell]:
        """From the last week back: what is nearest a contest is chosen first."""
        for week in reversed(range(self.problem.weeks)):
            if not self.problem.kinds[week].is_training:
                continue
            for day in self.problem.slot_days:
                is_open = self._is_open(day.slot, self.problem.monday(week))
                if is_open and not _is_shut(self.problem, day, week):
                    yield day.slot, week

    def _blocks_at(self, slot: Slot, week: int) -> Iterator[_Block]:
        problem, monday = self.problem, self.problem.monday(week)
        day, main = problem.slot_day(slot), self.plan.on(slot, monday)
        if day is None or not main:
            return
        setup_min = max(setup_min_of(problem.catalogue[item.lift], item) for item in main)
        for lift in problem.catalogue.values():
            kind = kind_after(lift, slot, has_implement_day=self.has_implement_day)
            if kind is None or any(item.lift == lift.key for item in main):
                continue
            if self.pinned.get((slot, week), lift.key) != lift.key:
                continue
            if reason_not_to_stand(problem, day, week, lift, setup_min):
                continue
            is_taper = problem.kinds[week] == WeekKind.TAPER
            for step in (0, 1) if kind is AfterKind.EVENT_PRACTICE else (0,):
                yield self._block(AfterWork(slot, monday, lift.key, kind, step, is_taper), lift)

    def _block(self, work: AfterWork, lift: Lift) -> _Block:
        ease = self.rules.taper_volume if work.is_taper else 1.0
        worth = self.rules.after_dose * ease * self.worth.of(lift, work)
        dose = np.asarray(np.rint(HUNDREDTHS * worth))
        return _Block(
            work, dose, block_load(self.problem, work), self._covers(lift, self._week_of(work))
        )

    def _covers(self, lift: Lift, week: int) -> Floats:
        """Which main contests' events this is own work for, in their last weeks."""
        found = np.zeros(len(self.objective.coverage))
        for i, item in enumerate(self.objective.coverage):
            demand = self.problem.demands[item.demand]
            is_near = 0 < demand.week - week <= item.weeks
            if is_near and demand.event is not None:
                found[i] = is_specific(lift, demand.event, self.rules)
        return found

    def _look_again(self, cell: _Cell, blocks: tuple[_Block, ...]) -> None:
        """The best block of a cell beside all others; none if none is worth its load."""
        gone = self.taken.pop(cell, None)
        if gone is not None:
            self.budget.add(cell, -gone.load)
        doses, covered = self._totals()
        best, most = None, -np.inf if cell in self.pinned else self.rules.after_least_points
        for block in blocks:
            points = self._points(block, doses, covered)
            points += self.rules.change_points * (block.work in self.before)
            if points <= most or not self._comes_well(cell, block):
                continue
            if self.budget.holds(cell, block.load):
                best, most = block, points
        if best is not None:
            self.taken[cell] = best
            self.budget.add(cell, best.load)

    def _totals(self) -> tuple[Floats, Floats]:
        doses, covered = self.doses.copy(), self.covered.copy()
        for block in self.taken.values():
            doses += block.dose
            covered += block.covers
        return doses, covered

    def _points(self, block: _Block, doses: Floats, covered: Floats) -> float:
        worth = self.objective.demand_points(doses + block.dose).sum()
        worth -= self.objective.demand_points(doses).sum()
        return float(worth) + self._coverage_points(block, covered)

    def _coverage_points(self, block: _Block, covered: Floats) -> float:
        wanted = np.array([item.wanted for item in self.objective.coverage])
        prices = np.array([item.price for item in self.objective.coverage])
        short = np.maximum(0.0, wanted - covered)
        return float(prices @ (short - np.maximum(0.0, wanted - covered - block.covers)))

    def _comes_well(self, cell: _Cell, block: _Block) -> bool:
        """The same block not again too soon, and not too many blocks in a week."""
        week = cell[1]
        others = [other.work for other in self.taken.values()] + list(self.past)
        if sum(self._week_of(item) == week for item in others) >= self.rules.after_most_a_week:
            return False
        return not any(
            item.lift == block.work.lift and abs(self._week_of(item) - week) < self._gap(item, week)
            for item in others
        )

    def _gap(self, work: AfterWork, week: int) -> int:
        """Weeks between two blocks of a lift: fewer where both are a near contest's own event."""
        lift, weeks = self.problem.catalogue[work.lift], (self._week_of(work), week)
        is_near = all(self._covers(lift, at).any() for at in weeks)
        return self.rules.near_gap_weeks if is_near else self.rules.after_gap_weeks

    def _told(self, cell: _Cell, block: _Block) -> Explanation:
        """Why a block is there: what it adds to which demand, beside everything else."""
        self.taken.pop(cell)
        doses, covered = self._totals()
        self.taken[cell] = block
        gained = self.objective.demand_points(doses + block.dose)
        gained = gained - self.objective.demand_points(doses)
        demands = self.problem.demands
        worth = {demands[k].name: float(gained[k]) for k in np.flatnonzero(gained > 0)}
        own = self._coverage_points(block, covered)
        if own > 0:
            worth["own work for an event"] = own
        ranked = sorted(worth.items(), key=lambda item: -item[1])
        shares = {what: value / sum(worth.values()) for what, value in ranked}
        name = self.problem.catalogue[block.work.lift].name
        pinned = ("You have pinned it there.",) if cell in self.pinned else ()
        if not shares:
            return Explanation(pinned, shares)
        top = ", ".join(
            f"{plainly(w)} ({100 * s:.0f} %)" for w, s in list(shares.items())[:SHARES_SHOWN]
        )
        sentence = f"{name} as {block.work.kind.shown} earns its place through {top}."
        if block.work.kind is AfterKind.SECOND_LIFT:
            return Explanation((*pinned, sentence), shares)
        why = "The timetable has no implement day: the event is practised after the main lift."
        return Explanation((*pinned, sentence, why), shares)

    def options(self, slot: Slot, week: int) -> tuple[AfterOption, ...]:
        """What could follow a main lift beside everything else of the plan."""
        cell = (slot, week)
        self.pinned.pop(cell, None)
        catalogue, weeks = self.problem.catalogue, range(self.problem.weeks)
        for work in self.plan.after:
            there = (work.slot, self._week_of(work))
            # a block from before the season's start, or of a dropped lift, weighs on nothing here
            if work in self.past or there == cell or there[1] not in weeks:
                continue
            if work.lift in catalogue:
                self.taken[there] = self._block(work, catalogue[work.lift])
                self.budget.add(there, self.taken[there].load)
        doses, covered = self._totals()
        best: dict[LiftKey, AfterOption] = {}
        for block in self._blocks_at(slot, week):
            points = self._points(block, doses, covered)
            known = best.get(block.work.lift)
            if known is None or points > known.points:
                best[block.work.lift] = AfterOption(block.work, points, self._broken(cell, block))
        return tuple(sorted(best.values(), key=lambda item: (bool(item.breaks), -item.points)))

    def _broken(self, cell: _Cell, block: _Block) -> str:
        week = cell[1]
        others = [other.work for other in self.taken.values()] + list(self.past)
        if not self.budget.holds(cell, block.load):
            return "a body region's budget is used up there by the main lifts and other blocks"
        if sum(self._week_of(item) == week for item in others) >= self.rules.after_most_a_week:
            return f"{self.rules.after_most_a_week} blocks already follow main lifts that week"
        return "" if self._comes_well(cell, block) else "it comes too soon before or after its like"


def _is_shut(problem: SeasonProblem, day: SlotDay, week: int) -> bool:
    on = problem.monday(week) + timedelta(days=day.weekday)
    return any(span.holds(on) for span in problem.closed)
