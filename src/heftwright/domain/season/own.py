"""One athlete's own season within the squad's: substitutions, own contests, own tapers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Slot
from heftwright.domain.contest import Contest, away_on, why_away
from heftwright.domain.season.after_pins import who_practises
from heftwright.domain.season.after_work import AfterWork
from heftwright.domain.season.own_limits import limits_on
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.substitution import (
    LAST_SESSION_DAYS,
    is_too_late,
    own_taper,
    substitute,
)
from heftwright.domain.season.work import SlotWork
from heftwright.domain.squad import Athlete


@dataclass(frozen=True, slots=True)
class OwnDay:
    """What one athlete does on one main day.

    Parameters
    ----------
    slot, on
        Which day.
    work : SlotWork
        The class's work.
    lift : LiftKey or None
        The athlete's own lift; None: no lift of that day is open to them.
    volume_ratio : float
        Sets of the class's work to do, 0–1; 0: rest.
    why : tuple of str
        Where it differs from the class's, in sentences.
    after : tuple of AfterWork
        What of the class's second lift or event practice is theirs too.
    top : MaxEffortScheme or None
        What the day builds up to in place of the class's; None: the class's.
    """

    slot: Slot
    on: date
    work: SlotWork
    lift: LiftKey | None
    volume_ratio: float
    why: tuple[str, ...]
    after: tuple[AfterWork, ...] = ()
    top: MaxEffortScheme | None = None

    @property
    def differs(self) -> bool:
        """Whether it is not simply the class's work."""
        return self.lift != self.work.lift or self.volume_ratio < 1 or self.top is not None


@dataclass(frozen=True, slots=True)
class OwnWeek:
    """One week of one athlete; ``contests`` are those they enter."""

    monday: date
    kind: str
    days: tuple[OwnDay, ...]
    contests: tuple[Contest, ...]


def own_season(
    problem: SeasonProblem, plan: SeasonPlan, athlete: Athlete, since: date
) -> tuple[OwnWeek, ...]:
    """An athlete's weeks from the one that holds ``since`` on.

    Parameters
    ----------
    problem, plan
        The squad's season, with its light sessions.
    athlete : Athlete
        With restrictions, weak points and entries.
    since : date
        Today.
    """
    weeks: list[OwnWeek] = []
    for week, kind in enumerate(problem.kinds):
        monday = problem.monday(week)
        if monday + timedelta(days=6) < since:
            continue
        days = tuple(_days(problem, plan, athlete, monday))
        mine = tuple(
            c for c in problem.contests if problem.week_of(c.on) == week and c.enters(athlete.id)
        )
        weeks.append(OwnWeek(monday, kind.value, days, mine))
    return tuple(weeks)


def _days(
    problem: SeasonProblem, plan: SeasonPlan, athlete: Athlete, monday: date
) -> Iterator[OwnDay]:
    for slot_day in problem.slot_days:
        on = monday + timedelta(days=slot_day.weekday)
        for work in plan.on(slot_day.slot, monday):
            blocks = plan.after_on(slot_day.slot, monday)
            yield _with_after(problem, athlete, _day(problem, athlete, work, on), blocks)


def _day(problem: SeasonProblem, athlete: Athlete, work: SlotWork, on: date) -> OwnDay:
    rest = _at_contest(problem, athlete, on) or _rest_before_main(problem, athlete, on)
    taper = own_taper(athlete, problem, on)
    lift = substitute(athlete, work, problem, on)
    done = problem.catalogue[lift or work.lift]
    limits = limits_on(athlete, work, done, on)
    ratio = 0.0 if rest else (taper.volume_ratio if taper else 1.0)
    ratio = min([ratio, *(limit.volume_ratio for limit in limits)])
    easing = rest or (taper.reason if taper else "")
    why = [*([easing] if easing else []), *(limit.why for limit in limits)]
    if lift != work.lift and ratio > 0:
        why.append(_why_other(problem, athlete, work, lift))
    if not all(limit.has_max for limit in limits):
        lift = None
    top = next((limit.top for limit in limits if limit.top is not None), None)
    return OwnDay(work.slot, on, work, lift, ratio, tuple(why), top=top)


def _with_after(
    problem: SeasonProblem, athlete: Athlete, day: OwnDay, blocks: tuple[AfterWork, ...]
) -> OwnDay:
    """The day with what follows the main lift for this athlete, and why something does not."""
    mine, why = [], list(day.why)
    for block in blocks if day.volume_ratio > 0 else ():
        lift = problem.catalogue[block.lift]
        practises = who_practises(problem, lift, block.monday)
        if not athlete.may_do(lift, day.on) or is_too_late(athlete, lift, problem, day.on):
            why.append(f"Rep work in place of {lift.name}, which is not open to {athlete.name}.")
        elif not practises or athlete.id in practises:
            mine.append(block)
    return replace(day, after=tuple(mine), why=tuple(why))


def _at_contest(problem: SeasonProblem, athlete: Athlete, on: date) -> str:
    """Whoever enters a contest does not train at the gym on its day, nor on those of travel."""
    contest = away_on(problem.contests, problem.travels, on).get(athlete.id)
    if contest is None:
        return ""
    more = "" if on == contest.on else ": no training at the gym"
    return f"{athlete.name} is {why_away(contest, on)}{more}."


def _rest_before_main(problem: SeasonProblem, athlete: Athlete, on: date) -> str:
    """Those who enter the squad's contest rest from three days before (Winwood et al. 2018)."""
    for contest in problem.contests:
        days = (contest.on - on).days
        if contest.squad_taper and 0 <= days < LAST_SESSION_DAYS and contest.enters(athlete.id):
            return f"{athlete.name} rests: {contest.name} is in {days} days."
    return ""


def _why_other(
    problem: SeasonProblem, athlete: Athlete, work: SlotWork, lift: LiftKey | None
) -> str:
    name = problem.catalogue[work.lift].name
    if lift is None:
        return f"{name} is not open to {athlete.name}, nor another lift of that day: rep work."
    other = problem.catalogue[lift].name
    return f"{other} in place of {name}, which is not open to {athlete.name} on that day."
