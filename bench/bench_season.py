"""The season on the design's named instances: first plan, gap, blanks, re-planning, by hand.

All runs but ``…_house_rules…`` use the reference weights (``SeasonRules.reference()``), so that
values can be set beside the reference model's; the house rules add its mended faults (recovery
from bands, bands alternate, implement lifts rotate, easy weeks, class minutes).
"""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from bench.figure import Figure
from bench.season_instances import NAMES, read_instance
from heftwright.domain.catalogue import LiftKey, Resistance, Slot
from heftwright.domain.outcome import Infeasible, Solved, Stopped
from heftwright.domain.season import SeasonPlan, SeasonProblem, SeasonRules
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.explain import explain
from heftwright.domain.season.score import objective_of
from heftwright.solve.season import solve_season

PREFIXES = ("season_",)
LIMIT_S = {"S1": 10.0, "S2": 10.0, "M1": 10.0, "L1": 60.0}
FIRST_BOUND_S = {"S1": 1.0, "M1": 1.0, "L1": 3.0}
CURVE_POINTS_S = (2.0, 5.0, 10.0, 20.0, 40.0, 60.0)
HAND_RATIO = 1.15


@dataclass(slots=True)
class Measured:
    """One solve as it went."""

    problem: SeasonProblem
    plan: SeasonPlan
    points: float
    bound: float
    first_s: float
    wall_s: float
    cpu_s: float
    curve: list[tuple[float, float]] = field(default_factory=list)

    @property
    def gap_pct(self) -> float:
        """Proven gap [%]."""
        return 100 * (self.bound - self.points) / self.bound

    def shown(self) -> str:
        """The gap curve in words."""
        parts = []
        for at in CURVE_POINTS_S:
            known = [gap for elapsed, gap in self.curve if elapsed <= at]
            if known and at <= self.wall_s + 1:
                parts.append(f"{at:g} s {known[-1]:.2f} %")
        curve = ", ".join([*parts, f"end {self.wall_s:.1f} s {self.gap_pct:.2f} %"])
        return (
            f"gap {curve}; {self.points:.0f} of {self.bound:.0f}; {self.cpu_s:.1f} s of processor"
        )


def measure(name: str, limit_s: float, rules: SeasonRules | None = None) -> Measured:
    """Build and solve an instance, listening to its progress."""
    began, cpu = time.perf_counter(), time.process_time()
    problem = read_instance(name, rules)
    built_s = time.perf_counter() - began
    first: list[float] = []
    curve: list[tuple[float, float]] = []

    def hear(points: float, bound: float, elapsed_s: float, plan: SeasonPlan | None) -> bool:
        if plan is not None and not first:
            first.append(built_s + elapsed_s)
        if np.isfinite(bound):
            curve.append((elapsed_s, 100 * (bound - points) / bound))
        return True

    outcome = solve_season(problem, limit_s=limit_s, on_progress=hear, gap=0.0075)
    plan, points, bound = unpack(outcome)
    return Measured(
        problem, plan, points, bound, first[0], time.perf_counter() - began,
        time.process_time() - cpu, curve,
    )  # fmt: skip


def unpack(outcome: Solved[SeasonPlan] | Infeasible | Stopped[SeasonPlan]
           ) -> tuple[SeasonPlan, float, float]:  # fmt: skip
    """Plan, points, bound; an instance without a plan is a fault of ours."""
    if isinstance(outcome, Solved):
        return outcome.plan, outcome.cost, outcome.bound
    assert isinstance(outcome, Stopped), outcome
    assert outcome.best is not None
    assert outcome.cost is not None
    return outcome.best, outcome.cost, outcome.bound or np.inf


def figures() -> Iterator[Figure]:
    """All figures of the season."""
    runs = {name: measure(name, LIMIT_S[name]) for name in NAMES}
    for name, bound in FIRST_BOUND_S.items():
        note = "reading, building and the greedy plan"
        yield Figure(f"season_{name}_first_s", runs[name].first_s, "s", "lower", bound, note=note)
    for name, run in runs.items():
        figure = f"season_{name}_gap_{LIMIT_S[name]:.0f}s"
        yield Figure(figure, run.gap_pct, "%", "lower", 1.0, note=run.shown())
    house = measure("M1", LIMIT_S["M1"], SeasonRules())
    yield Figure(
        "season_M1_house_rules_gap_10s", house.gap_pct, "%", "lower", 1.0, note=house.shown()
    )
    yield from _quality([*runs.values(), house])
    yield from _replanning(runs)
    yield from _by_hand(runs["M1"])
    yield from _explaining(runs)


def _quality(runs: list[Measured]) -> Iterator[Figure]:
    blanks = sum(
        objective_of(run.problem).blank_count(run.problem.chosen_of(run.plan)) for run in runs
    )
    yield Figure("season_blanks", blanks, "count", "lower", 0, note="all instances, both rule sets")
    wrong = sum(len(check_season(run.problem, run.plan)) for run in runs)
    yield Figure("season_checker_violations", wrong, "count", "lower", 0)


def _replanning(runs: dict[str, Measured]) -> Iterator[Figure]:
    for name, contest, bound_s in (("M1", "C3", 2.0), ("L1", "C8", 5.0), ("L1", "C1", 5.0)):
        tag = name if contest != "C1" else f"{name}_next"
        run = runs[name]
        week = {c.id: run.problem.week_of(c.on) + 1 for c in run.problem.contests}[contest]  # type: ignore[index]
        today = run.problem.monday(4)
        done = tuple(work for work in run.plan.work if work.monday < today)
        began = time.perf_counter()
        moved = read_instance(name, contest_weeks={contest: week + 1}, done=done, previous=run.plan)
        plan, _, _ = unpack(solve_season(moved, limit_s=0.75 * bound_s, gap=0.03))
        spent_s = time.perf_counter() - began
        changed = len(plan.changed_from(run.plan))
        note = (
            f"main contest {contest} a week later, today in week 5: {changed} slots changed, "
            f"{len(plan.gained_or_lost(run.plan))} gained or lost with the moved weeks, "
            f"{len(check_season(moved, plan))} rules broken, "
            f"{sum('no main lift' in text for text in plan.notes)} blank"
        )
        yield Figure(f"season_{tag}_replan_s", spent_s, "s", "lower", bound_s, note=note)
        yield Figure(f"season_{tag}_replan_changed", changed, "slots", "lower", 10, note=note)


_HAND: dict[Slot, tuple[str, ...]] = {
    Slot.MAX_EFFORT_LOWER: (
        "deadlift", "safety_bar_box_squat", "block_deadlift", "back_squat", "axle_deadlift",
        "front_squat",
    ),
    Slot.MAX_EFFORT_UPPER: (
        "log_clean_press", "close_grip_bench", "axle_clean_press", "incline", "push_press",
        "floor_press",
    ),
    Slot.DYNAMIC_LOWER: ("box_squat", "deadlift"),
    Slot.DYNAMIC_UPPER: ("bench", "push_press"),
    Slot.IMPLEMENT: ("yoke", "farmers", "stone_series", "frame", "sandbag_shoulder", "keg_loading"),
}  # fmt: skip


def hand_rotation(problem: SeasonProblem) -> np.ndarray:
    """A rotation as on paper: fixed lists in turn, straight weight, two stations a week."""
    chosen = np.zeros(len(problem.columns))
    places: dict[tuple[Slot, int, LiftKey], list[int]] = defaultdict(list)
    for j, column in enumerate(problem.columns):
        if column.resistance == Resistance.STRAIGHT:
            places[column.slot, column.week, column.lift].append(j)
    for slot, lifts in _HAND.items():
        for run in problem.runs:
            week, turn = run.start, 0
            while week < run.stop:
                names = [lifts[(turn + k) % len(lifts)] for k in range(len(lifts))]
                week += _take_by_hand(problem, chosen, places, (slot, week, names))
                turn += 2 if slot == Slot.IMPLEMENT else 1
    return chosen


def _take_by_hand(
    problem: SeasonProblem, chosen: np.ndarray,
    places: dict[tuple[Slot, int, LiftKey], list[int]], cell: tuple[Slot, int, list[str]],
) -> int:  # fmt: skip
    """The next lifts of the list that can stand there at all; returns weeks filled."""
    slot, week, names = cell
    wanted = 2 if slot == Slot.IMPLEMENT else 1
    weeks = 1
    for name in names:
        found = places.get((slot, week, LiftKey(name)))
        if not found or not wanted:
            continue
        best = max(found, key=lambda j: (problem.columns[j].weeks, -problem.columns[j].step))
        chosen[best] = 1.0
        weeks, wanted = problem.columns[best].weeks, wanted - 1
    return weeks


def _by_hand(run: Measured) -> Iterator[Figure]:
    objective = objective_of(run.problem)
    by_hand = hand_rotation(run.problem)
    broken = len(check_season(run.problem, run.problem.plan_of(by_hand)))
    yield Figure(
        "season_M1_vs_hand", run.points / objective.points(by_hand), "ratio", "higher", HAND_RATIO,
        note=f"our reconstruction of a paper rotation, as written: it breaks {broken} rule "
             "instances; no coach was asked",
    )  # fmt: skip


def _explaining(runs: dict[str, Measured]) -> Iterator[Figure]:
    for name in ("M1", "L1"):
        cpu = time.process_time()
        found = explain(runs[name].problem, runs[name].plan)
        spent_s = time.process_time() - cpu
        note = f"{len(found)} choices with runner-up, processor time"
        yield Figure(f"season_{name}_explain_s", spent_s, "s", "lower", 0.5, note=note)
