"""What an athlete does who cannot do the class's lift: the best allowed lift of the same slot."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import KitKey, Lift, LiftKey
from heftwright.domain.contest import Contest
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.rules import SeasonRules
from heftwright.domain.season.work import SlotWork
from heftwright.domain.season.worth import likeness
from heftwright.domain.squad import Athlete

PATTERN_BONUS = 0.15


@dataclass(frozen=True, slots=True)
class KitLeft:
    """Kit units on the shelf after the class's own lift and other substitutes took theirs."""

    units: Mapping[KitKey, int]

    @classmethod
    def beside(cls, problem: SeasonProblem, work: SlotWork, others: int = 0) -> KitLeft:
        """What is left when the class does ``work`` and ``others`` athletes do not.

        Parameters
        ----------
        problem : SeasonProblem
            For stock and class size.
        work : SlotWork
            The class's own work.
        others : int
            Athletes who do something else, ≥ 0.
        """
        left = dict(problem.units)
        slot_day = problem.slot_day(work.slot)
        size = max(0, (slot_day.class_size if slot_day else 0) - others)
        for kit in kit_of(problem.catalogue[work.lift], work):
            needed = math.ceil(size / problem.catalogue.athletes_per_unit[kit])
            left[kit] = max(0, left.get(kit, 0) - needed)
        return cls(left)

    def has_for(self, lift: Lift, work: SlotWork) -> bool:
        """Whether one more athlete can do a lift."""
        return all(self.units.get(kit, 0) > 0 for kit in kit_of(lift, work))

    def without(self, lift: Lift, work: SlotWork) -> KitLeft:
        """What is left after one more unit of everything the lift needs."""
        left = dict(self.units)
        for kit in kit_of(lift, work):
            left[kit] = max(0, left.get(kit, 0) - 1)
        return KitLeft(left)


def kit_of(lift: Lift, work: SlotWork) -> tuple[KitKey, ...]:
    """Kit of a lift as done in a slot."""
    form = lift.dynamic_form(work.resistance) if work.slot.is_dynamic else None
    return form.kit if form else lift.kit


def substitute(
    athlete: Athlete, work: SlotWork, problem: SeasonProblem, day: date,
    kit_left: KitLeft | None = None,
) -> LiftKey | None:  # fmt: skip
    """The lift an athlete does on a day when the class does ``work``.

    Parameters
    ----------
    athlete : Athlete
        With restrictions and weak points.
    work : SlotWork
        The class's work.
    problem : SeasonProblem
        For catalogue, contests and stock.
    day : date
        The day of the class.
    kit_left : KitLeft or None
        What is on the shelf; None: beside the class's own work.

    Returns
    -------
    LiftKey or None
        The class's lift if the athlete may do it; else the best allowed lift of the slot for the
        athlete's own events and weak points, the same pattern preferred; None if nothing is
        allowed and available (the athlete does rep work, or rests).
    """
    lift = problem.catalogue[work.lift]
    # How late a heavy session may come says nothing about a light one.
    late = {
        other.key
        for other in problem.catalogue.for_slot(work.slot)
        if not work.is_easy and is_too_late(athlete, other, problem, day)
    }
    if athlete.may_do(lift, day) and lift.key not in late:
        return work.lift
    left = kit_left or KitLeft.beside(problem, work, others=1)
    able = [
        other
        for other in problem.catalogue.for_slot(work.slot)
        if other.key != work.lift
        and athlete.may_do(other, day)
        and other.key not in late
        and _has_form(other, work)
        and left.has_for(other, work)
    ]
    if not able:
        return None
    return max(able, key=lambda o: own_worth(athlete, o, problem, day) + _kinship(o, lift)).key


def _has_form(lift: Lift, work: SlotWork) -> bool:
    if not work.slot.is_dynamic:
        return True
    form = lift.dynamic_form(work.resistance)
    return form is not None and form.slot == work.slot


def _kinship(other: Lift, lift: Lift) -> float:
    return PATTERN_BONUS if other.pattern == lift.pattern else 0.0


def is_too_late(athlete: Athlete, lift: Lift, problem: SeasonProblem, day: date) -> bool:
    """Whether the athlete's own next contest is inside the lift's last-heavy days."""
    own = own_next_contest(athlete, problem, day)
    return own is not None and (own.on - day).days < lift.last_heavy_days


def own_next_contest(athlete: Athlete, problem: SeasonProblem, day: date) -> Contest | None:
    """The athlete's next contest at or after a day, or None."""
    mine = [c for c in problem.contests if c.on >= day and c.enters(athlete.id)]
    return min(mine, key=lambda contest: contest.on, default=None)


def own_worth(athlete: Athlete, lift: Lift, problem: SeasonProblem, day: date) -> float:
    """Worth of a lift for one athlete's own events ahead and weak points, in doses."""
    rules = problem.rules
    worth = sum(
        rules.weak_value * weight * lift.weak_points.get(point, 0.0)
        for point, weight in athlete.weak_points.items()
    )
    for contest in problem.contests:
        entry = next((item for item in contest.entries if item.athlete == athlete.id), None)
        if entry is None or contest.on <= day:
            continue
        for event in contest.events:
            need = entry.need.get(event.name, 1.0) * contest.importance
            transfer = lift.transfer.get(event.family, 0.0)
            like = likeness(lift, event)
            worth += need * transfer * _timely(like, (contest.on - day).days / 7, rules)
    return worth


def _timely(like: float, weeks: float, rules: SeasonRules) -> float:
    if weeks > rules.dose_horizon_weeks:
        return 0.0
    near = min(1.0, max(0.0, 1 - weeks / rules.near_weeks))
    shape = 1 + rules.likeness_gain * near * (2 * like - 1)
    return math.exp(-weeks / rules.dose_decay_weeks) * shape


@dataclass(frozen=True, slots=True)
class OwnTaper:
    """An athlete's own easing within the squad's plan.

    Parameters
    ----------
    volume_ratio : float
        Sets of the class's work to do, 0–1.
    reason : str
        Why, in a sentence.
    """

    volume_ratio: float
    reason: str


LAST_SESSION_DAYS = 3
TAPER_DAYS = 9


def own_taper(athlete: Athlete, problem: SeasonProblem, day: date) -> OwnTaper | None:
    """How an athlete eases for a contest that does not ease the squad; None if not now.

    Winwood et al. 2018 (strongman tapers): 8.6 ± 5.0 days, volume −45.5 %, last training
    3.9 ± 1.8 days before; so a Saturday contest has its last session on Tuesday or Wednesday.
    """
    contest = own_next_contest(athlete, problem, day)
    if contest is None or contest.squad_taper:
        return None
    days = (contest.on - day).days
    if days > TAPER_DAYS:
        return None
    if days < LAST_SESSION_DAYS:
        return OwnTaper(0.0, f"{athlete.name} rests: {contest.name} is in {days} days.")
    ratio = problem.rules.taper_volume
    return OwnTaper(
        ratio,
        f"{athlete.name} does {100 * ratio:.0f} % of the volume: {contest.name} is in {days} days.",
    )
