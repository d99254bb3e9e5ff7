"""From a floor problem to a checked floor plan."""

from __future__ import annotations

import time

import numpy as np
from scipy.optimize import linear_sum_assignment

from heftwright.domain.floor.baseline import usual_way
from heftwright.domain.floor.checker import check_floor
from heftwright.domain.floor.clock import S_A_MIN, fits_class, waits
from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.problem import FloorPlatform, FloorProblem, Lifter
from heftwright.domain.floor.stacks import group_plan
from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.solve.floor.book import ColumnBook, Placed
from heftwright.solve.floor.columns import DS, ColumnMaker, PlatformKind, platform_kinds
from heftwright.solve.floor.latest import CLOSE_RATIO, CapSearch, Priced
from heftwright.solve.floor.programme import GroupProgramme
from heftwright.solve.floor.programmes import programmes
from heftwright.solve.floor.reasons import why_unplaced
from heftwright.solve.floor.shared import Shared
from heftwright.solve.floor.stability import Stability
from heftwright.solve.floor.stock import StockedMaster

LATE_DS = 100_000
MIN_LIMIT_S = 0.05
CLOSE_LIVE_RATIO = 0.01
CLOSE_S = 1e-6


class PlanFaultError(RuntimeError):
    """A plan of ours failed the independent checker: a fault of ours, never of the data."""


def solve_floor(
    problem: FloorProblem,
    *,
    seed: int = 1,
    limit_s: float = 2.0,
    previous: FloorPlan | None = None,
) -> Solved[FloorPlan] | Infeasible | Stopped[FloorPlan]:
    """Groups, platforms, loads, stacks and turn order for a class.

    Parameters
    ----------
    problem : FloorProblem
        The floor.
    seed : int
        The same seed gives the same plan, unless the time limit cuts in.
    limit_s : float
        Wall time for the integer programmes [s], > 0.
    previous : FloorPlan or None
        A plan that people already stand by: moving them has its price.

    Returns
    -------
    Solved, Infeasible or Stopped
        Costs are in tenths of a second of class time, with 10^6 for everybody left out. Lifters
        who cannot be served are in the plan's ``unplaced`` with a sentence; Infeasible only where
        nobody can be. Cost and bound are within 0.3 % where the finish or the wait is priced,
        equal to a whole unit where not. The bound is over plans whose groups carry the stacks
        that are cheapest for them (dearer, quicker stacks of a group are not looked at unless
        plates run short), and 0 where groups or loads were left out beforehand to keep a very
        large class or a very odd set of plates in reach; then ``proven`` is False.
    """
    impossible = _impossible(problem)
    if impossible:
        return Infeasible(impossible)
    return FloorPlanner(problem, seed=seed, previous=previous).solve(limit_s)


def _impossible(problem: FloorProblem) -> tuple[str, ...]:
    if not problem.lifters:
        return ("Nobody is in this class: add athletes or close the class.",)
    if not problem.platforms:
        return ("No platform is on the floor tonight: put out at least one with a bar.",)
    return ()


class FloorPlanner:
    """One problem on its way to a plan.

    Parameters
    ----------
    problem, seed, previous
        As in `solve_floor`.
    strangers : int or None
        At most so many from other groups of ``previous`` in any group; None: any.
    """

    def __init__(
        self,
        problem: FloorProblem,
        *,
        seed: int = 1,
        previous: FloorPlan | None = None,
        strangers: int | None = None,
    ) -> None:
        self.problem = problem
        self.close_ratio = CLOSE_RATIO if strangers is None else CLOSE_LIVE_RATIO
        self.stability = Stability(problem, previous)
        self.kinds: list[PlatformKind] = platform_kinds(problem)
        self.programmes: list[GroupProgramme | None] = programmes(
            problem, self.kinds, self.stability, strangers
        )
        self.usual_s = usual_way(problem).finish_s
        maker = ColumnMaker(problem, self.kinds, self.programmes, self.stability)
        columns = maker.all_columns()
        self.book = ColumnBook(problem, self.kinds, self.programmes, columns)
        self.master = StockedMaster(self.book, Shared(problem, self.kinds), seed)

    def solve(self, limit_s: float) -> Solved[FloorPlan] | Infeasible | Stopped[FloorPlan]:
        """The plan, checked."""
        ends = time.monotonic() + limit_s
        priced = self.search(ends)
        plan = self.plan_of(priced)
        if not plan.groups:
            return Infeasible(tuple(why for _, why in plan.unplaced))
        faults = check_floor(self.problem, plan)
        if faults:
            raise PlanFaultError("; ".join(faults))
        if priced.is_proven:
            return Solved(plan, priced.cost, self._bound(priced), self._is_complete())
        return Stopped(plan, priced.cost, self._bound(priced))

    def _bound(self, priced: Priced) -> float:
        """Of any plan; nothing is known where groups or loads were left out beforehand."""
        return priced.bound if self._is_complete() else 0.0

    def search(self, ends: float) -> Priced:
        """The cheapest partition, no later than usual if that leaves nobody out."""
        search = CapSearch(self.master, price=self._round_price(), close_ratio=self.close_ratio)
        longest = int(self.book.columns.round_ds.max(initial=0))
        usual = int((DS * self.usual_s + CLOSE_S) // self.problem.scheme.sets)
        if self.problem.policy.no_later_than_usual and usual < longest:
            found = search.solve(usual, ends)
            if not len(found.partition.unplaced):
                return found
            self.book.make_dearer(self.book.columns.round_ds > usual, LATE_DS)
        return search.solve(longest, max(ends, time.monotonic() + MIN_LIMIT_S))

    def _round_price(self) -> float:
        """Of each ds of the longest round."""
        policy = self.problem.policy
        return policy.finish_weight * self.problem.scheme.sets + policy.wait_weight

    def _is_complete(self) -> bool:
        return all(one is None or one.is_complete for one in self.programmes)

    def plan_of(self, priced: Priced) -> FloorPlan:
        """The floor plan of a partition."""
        placed = [self.book.placed(int(column)) for column in priced.partition.chosen]
        groups: list[GroupPlan] = []
        for kind in range(len(self.kinds)):
            groups += self._on_platforms(kind, [one for one in placed if one.kind == kind])
        order = {platform.key: place for place, platform in enumerate(self.problem.platforms)}
        groups.sort(key=lambda group: order[group.platform])
        unplaced = tuple(
            (self.problem.lifters[at].athlete, self._why(at)) for at in priced.partition.unplaced
        )
        plan = FloorPlan(tuple(groups), unplaced, self.problem.scheme)
        return FloorPlan(
            plan.groups, plan.unplaced, plan.scheme, notes(self.problem, plan, self.usual_s)
        )

    def _why(self, at: int) -> str:
        return why_unplaced(self.problem, self.problem.lifters[at], self.kinds, self.programmes)

    def _on_platforms(self, kind: int, placed: list[Placed]) -> list[GroupPlan]:
        """Groups on the platforms of one kind, where most of them stand already."""
        if not placed:
            return []
        platforms = self.kinds[kind].platforms
        placed = sorted(placed, key=lambda one: (one.set_up, sorted(one.stacks)))
        gain = np.array([[self._gain(one, spot) for spot in platforms] for one in placed])
        rows, spots = linear_sum_assignment(-gain)
        return [
            group_plan(
                self.problem, platforms[spot], placed[row].set_up,
                self.stability.laid(platforms[spot], placed[row].stacks),
                self.stability.order_on(platforms[spot]),
            )
            for row, spot in zip(rows, spots, strict=True)
        ]  # fmt: skip

    def _gain(self, placed: Placed, platform: FloorPlatform) -> int:
        return self.stability.gain_ds(platform, placed.set_up, set(placed.stacks))


def notes(problem: FloorProblem, plan: FloorPlan, usual_s: float) -> tuple[str, ...]:
    """What the coach should know about a plan, in sentences."""
    found = [*load_notes(problem, plan), *_lone_notes(problem, plan)]
    if not fits_class(problem, plan.finish_s):
        found.append(
            f"The latest platform ends after {plan.finish_s / S_A_MIN:.0f} min; the class has "
            f"{problem.class_minutes:g} min. Take a scheme with fewer sets or another platform."
        )
    if problem.policy.no_later_than_usual and plan.finish_s > usual_s + CLOSE_S:
        found.append(
            f"The latest platform ends {(plan.finish_s - usual_s) / S_A_MIN:.1f} min later than "
            "groups by strength would, which leave out who suits which bands."
        )
    waiting = [wait for wait in waits(problem, plan) if wait.is_long]
    if waiting:
        found.append(
            f"{len(waiting)} lifters rest more than 2.5 times the asked "
            f"{plan.scheme.rest_s} s, up to {waiting[0].rest_s:.0f} s: keep warm, or make smaller "
            "groups."
        )
    return tuple(found)


def load_notes(problem: FloorProblem, plan: FloorPlan) -> list[str]:
    """Loads that no plates make within the tolerance."""
    found = []
    for group in plan.groups:
        for turn in group.order:
            lifter = problem.lifter(turn.athlete)
            away = turn.load - lifter.target
            if abs(away.ticks) > lifter.tolerance.ticks:
                found.append(
                    f"{lifter.called}: {turn.load} is the nearest at or below the wanted "
                    f"{lifter.target} that these plates make."
                )
    return found


def _lone_notes(problem: FloorProblem, plan: FloorPlan) -> list[str]:
    return [
        _lone_words(problem.lifter(group.order[0].athlete), group)
        for group in plan.groups
        if len(group.order) < problem.policy.group_min
    ]


def _lone_words(lifter: Lifter, group: GroupPlan) -> str:
    told = f"{lifter.called} lifts alone on platform {group.platform}: find a loader and spotter"
    if not lifter.is_minor:
        return f"{told}."
    return f"{told}. Under 18: needs the named supervisor beside them."
