"""What training a lift in a week is worth to the squad: the coefficients of the season."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from heftwright.domain.catalogue import Catalogue, EventFamily, Lift, LiftKey, WeakPoint
from heftwright.domain.contest import Contest, ContestEvent, EventStyle
from heftwright.domain.height import Length
from heftwright.domain.season.problem import Demand, Floats
from heftwright.domain.season.rules import SCHEMES_OF_KIND, SeasonRules, WorkKind
from heftwright.domain.squad import Athlete

HEIGHT_TOLERANCE = Length.cm(2)
NO_WISH_LIKENESS = 0.5


def likeness(lift: Lift, event: ContestEvent) -> float:
    """Share of the event's wanted properties (implement, start height, grip) a lift has, 0–1."""
    tests: list[bool] = []
    if event.implement is not None:
        tests.append(lift.implement == event.implement)
    if event.start_height is not None:
        tests.append(_same_height(lift.start_height, event.start_height))
    if event.grip:
        tests.append(lift.grip == event.grip)
    return sum(tests) / len(tests) if tests else NO_WISH_LIKENESS


def _same_height(mine: Length | None, wanted: Length) -> bool:
    if mine is None:
        return False
    return abs((mine - wanted).ticks) <= HEIGHT_TOLERANCE.ticks


def is_specific(lift: Lift, event: ContestEvent, rules: SeasonRules) -> bool:
    """Whether a lift counts as the event's own: like it, and carrying over to it.

    A lift with every property that the event names (the axle from the floor for an event with the
    axle from the floor) may carry over a little less: its reps are what differs, not the lift.
    """
    transfer, like = lift.transfer.get(event.family, 0.0), likeness(lift, event)
    is_same = like >= 1.0
    least = rules.specific_same_transfer if is_same else rules.specific_transfer
    return transfer >= least and like >= rules.specific_likeness


@dataclass(frozen=True, slots=True)
class Wants:
    """Who wants what: demands and the need of every athlete.

    Parameters
    ----------
    demands : tuple of Demand
        Events first, then weak points.
    need : array
        Athletes × demands, ≥ 0.
    """

    demands: tuple[Demand, ...]
    need: Floats


BASE_FAMILIES = (EventFamily.DEADLIFT_MAX, EventFamily.PRESS_MAX, EventFamily.SQUAT)


def gather_wants(
    athletes: Sequence[Athlete], contests: Sequence[tuple[Contest, int]], weeks: int,
    rules: SeasonRules,
) -> Wants:  # fmt: skip
    """Demands with their weights; without a contest, base strength at the season's end."""
    pairs = [(contest, week, event) for contest, week in contests for event in contest.events]
    event_need = np.array(
        [[_event_need(a, contest, event) for contest, _, event in pairs] for a in athletes]
    ).reshape(len(athletes), len(pairs))
    demands = [
        Demand(f"{event.name} ({contest.name})", week, contest, event, None, weight)
        for (contest, week, event), weight in zip(
            pairs, _shares(event_need, rules.contest_points), strict=True
        )
    ]
    if not demands:
        demands, event_need = _base_wants(athletes, weeks, rules)
    weak_need = np.array(
        [[a.priority * a.weak_points.get(q, 0.0) for q in WeakPoint] for a in athletes]
    ).reshape(len(athletes), len(WeakPoint))
    weights = _shares(weak_need, rules.weak_points)
    demands += [
        Demand(f"weak point: {point.shown}", -1, None, None, point, weight)
        for point, weight in zip(WeakPoint, weights, strict=True)
    ]
    return Wants(tuple(demands), np.hstack([event_need, weak_need]))


def _base_wants(
    athletes: Sequence[Athlete], weeks: int, rules: SeasonRules
) -> tuple[list[Demand], Floats]:
    share = rules.contest_points / len(BASE_FAMILIES)
    demands = [
        Demand(
            f"base strength: {family.value.replace('_', ' ')}", weeks, None,
            ContestEvent(family.value, family, EventStyle.MAX), None, share,
        )
        for family in BASE_FAMILIES
    ]  # fmt: skip
    need = np.array([[a.priority] * len(demands) for a in athletes])
    return demands, need.reshape(len(athletes), len(demands))


def _event_need(athlete: Athlete, contest: Contest, event: ContestEvent) -> float:
    entry = next((item for item in contest.entries if item.athlete == athlete.id), None)
    if entry is None:
        return 0.0
    return athlete.priority * entry.need.get(event.name, 1.0) * contest.importance


def _shares(need: Floats, points: float) -> list[float]:
    total = need.sum()
    sums = need.sum(axis=0)
    return [float(points * value / total) if total > 0 else 0.0 for value in sums]


@dataclass(frozen=True, slots=True)
class Tables:
    """Worth by week, lift and demand before anyone's kit or restriction counts.

    Parameters
    ----------
    value : array
        Weeks × lifts × demands.
    scheme : mapping
        (kind, step) -> weeks × demands factor of the scheme.
    row_of : mapping
        Lift -> index.
    """

    value: Floats
    scheme: dict[tuple[WorkKind, int], Floats]
    row_of: dict[LiftKey, int]


def tabulate(
    catalogue: Catalogue, demands: Sequence[Demand], weeks: int, main_weeks: Sequence[int],
    rules: SeasonRules,
) -> Tables:  # fmt: skip
    """Tables of worth."""
    distance = np.array([[d.week - w for d in demands] for w in range(weeks)], dtype=float)
    is_event = np.array([d.event is not None for d in demands])
    near = np.where((distance >= 0) & is_event, 1 - distance / rules.near_weeks, 0).clip(0, 1)
    counts = (distance > 0) & (distance <= rules.dose_horizon_weeks) & is_event
    dose = np.where(counts, np.exp(-distance / rules.dose_decay_weeks), 0.0)
    phase = _weak_phase(weeks, main_weeks, rules)
    dose[:, ~is_event] = phase[:, None] * rules.weak_value
    transfer, like = _lift_tables(catalogue, demands)
    shape = 1 + rules.likeness_gain * near[:, None, :] * (2 * like[None] - 1)
    value = transfer[None] * shape * dose[:, None, :]
    scheme = {
        (kind, step): _scheme_factor(demands, near, kind, step, rules)
        for kind, steps in SCHEMES_OF_KIND.items()
        for step in range(steps)
    }
    return Tables(value, scheme, {key: i for i, key in enumerate(catalogue)})


def _weak_phase(weeks: int, main_weeks: Sequence[int], rules: SeasonRules) -> Floats:
    nearest = [max([0.0, *_pulls(week, main_weeks, rules)]) for week in range(weeks)]
    return np.asarray(np.maximum(rules.weak_phase_least, 1 - np.array(nearest)))


def _pulls(week: int, main_weeks: Sequence[int], rules: SeasonRules) -> list[float]:
    return [1 - (main - week) / rules.near_weeks for main in main_weeks if main >= week]


def _lift_tables(catalogue: Catalogue, demands: Sequence[Demand]) -> tuple[Floats, Floats]:
    transfer = np.zeros((len(catalogue), len(demands)))
    like = np.full((len(catalogue), len(demands)), NO_WISH_LIKENESS)
    for i, lift in enumerate(catalogue.values()):
        for k, demand in enumerate(demands):
            if demand.event is not None:
                transfer[i, k] = lift.transfer.get(demand.event.family, 0.0)
                like[i, k] = likeness(lift, demand.event)
            elif demand.weak_point is not None:
                transfer[i, k] = lift.weak_points.get(demand.weak_point, 0.0)
    return transfer, like


def _scheme_factor(
    demands: Sequence[Demand], near: Floats, kind: WorkKind, step: int, rules: SeasonRules
) -> Floats:
    match = [1.0 if d.event is None else rules.scheme_match[kind][d.event.style][step]
             for d in demands]  # fmt: skip
    return 1 + (np.array(match) - 1) * np.minimum(1, near + 0.3)
