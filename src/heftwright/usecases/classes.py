"""Dated classes: what is on tonight, the plan of a class, and what the coach changes in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from django.db import transaction

from heftwright.domain.catalogue import MaxEffortScheme, Resistance, Slot
from heftwright.domain.mass import EnteredMass
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.season import SlotWork
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.sheet import ClassSheet
from heftwright.domain.sheet.planned import PlannedClass, SetLoad
from heftwright.domain.squad import AthleteId, ClassTime
from heftwright.store import plan_rows
from heftwright.store.models import AttendanceState
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.attendance import get_attendance
from heftwright.usecases.changes import change, verb
from heftwright.usecases.class_planning import (
    ClassOrder,
    plan_floor_of_class,
    plan_stations_of_class,
)
from heftwright.usecases.gathering import Gathered, monday_of
from heftwright.usecases.gym import get_gym
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.season import get_season, get_season_reasons
from heftwright.usecases.timetable import get_class_time, get_timetable

TOO_FAR_RATIO = 1.10


class ClassError(Refusal):
    """A class that cannot be planned, or a change that needs more than was said."""


@dataclass(frozen=True, slots=True)
class ClassLine:
    """One class of a day; ``plan_version`` is 0 while it has no plan."""

    class_time: ClassTime
    on: date
    plan_version: int

    @property
    def dated_key(self) -> str:
        """The key that attendance and the log use, ``"2026-11-23/mon-1830"``."""
        return dated_key(self.class_time.key, self.on)


@dataclass(frozen=True, slots=True)
class TodayView:
    """The day at a glance.

    Parameters
    ----------
    today : date
        By the gym's wall clock.
    day : date or None
        The day shown: today if it has a class, else the next that has; None without classes.
    classes : tuple of ClassLine
        Of that day, by start.
    """

    today: date
    day: date | None
    classes: tuple[ClassLine, ...]


def dated_key(class_key: str, on: date) -> str:
    """The key of one dated class."""
    return f"{on.isoformat()}/{class_key}"


def get_today(*, gym: GymKey) -> TodayView:
    """What is on today, or on the next day with a class."""
    today = clock.today(gym)
    timetable = get_timetable(gym=gym)
    day = timetable.next_day_with_class(today)
    if day is None:
        return TodayView(today, None, ())
    lines = tuple(
        ClassLine(item, day, get_class_version(gym=gym, class_key=item.key, on=day))
        for item in timetable.on(day)
    )
    return TodayView(today, day, lines)


def get_class_version(*, gym: GymKey, class_key: str, on: date) -> int:
    """The latest plan's version, 0 without one; cheap enough for a board that polls."""
    return plan_rows.latest_class_version(gym=gym, class_key=class_key, on=on)


def get_planned_class(*, gym: GymKey, class_key: str, on: date) -> PlannedClass:
    """The latest plan of a dated class.

    Raises
    ------
    NotFoundError
        If it has no plan yet.
    """
    found = plan_rows.get_class_plan(gym=gym, class_key=class_key, on=on, kind=PlannedClass)
    if found is None:
        raise NotFoundError(
            f"The class {class_key} on {on} has no plan yet: plan it from Today, or with "
            "`heftwright tonight`."
        )
    return found.plan


def get_class_sheet(*, gym: GymKey, class_key: str, on: date) -> ClassSheet:
    """The sheet of a dated class, as last planned."""
    return get_planned_class(gym=gym, class_key=class_key, on=on).sheet


def who_comes(gym: GymKey, class_time: ClassTime, on: date) -> tuple[AthleteId, ...]:
    """Usual members less those marked away, and whoever else was marked here or late."""
    marked = get_attendance(gym=gym, class_key=dated_key(class_time.key, on))
    away = {key for key, item in marked.items() if item.state is AttendanceState.AWAY}
    usual = [key for key in class_time.members if key not in away]
    extra = [key for key in marked if key not in away and key not in class_time.members]
    return (*usual, *extra)


@verb
def plan_class(
    *,
    gym: GymKey,
    class_key: str,
    on: date,
    by: Actor,
    present: tuple[AthleteId, ...] | None = None,
    keep_close: bool = True,
) -> ClassSheet:
    """Plan a dated class, close to its last plan if there is one.

    Parameters
    ----------
    present : tuple of AthleteId or None
        Who is there; None: the usual members and the attendance noted so far.
    keep_close : bool
        Whether to keep people where the last plan put them unless the gain is worth it.

    Raises
    ------
    ClassError
        If the season has no work for this class, or the class does not meet on that day.
    """
    check_may(by, gym, Right.PLAN_CLASS)
    before = plan_rows.get_class_plan(gym=gym, class_key=class_key, on=on, kind=PlannedClass)
    set_loads = before.plan.set_loads if before else ()
    order = _order(gym, class_key, on, present, set_loads)
    planned = _plan(gym, order, before.plan if before and keep_close else None)
    return _save(gym, by, "plan_class", planned)


@verb
def change_load(  # noqa: PLR0913 - which class, whose bar, how much, who says so and why
    *,
    gym: GymKey,
    class_key: str,
    on: date,
    athlete: AthleteId,
    load: EnteredMass,
    by: Actor,
    reason: str,
) -> ClassSheet:
    """Set one athlete's load by hand and re-plan around it; it stays until it is taken back.

    Raises
    ------
    ClassError
        Without a reason, or above 110 % of the max in use: test first, or correct the max.
    NotFoundError
        If the athlete has no bar in the plan.
    """
    check_may(by, gym, Right.PLAN_CLASS)
    before = get_planned_class(gym=gym, class_key=class_key, on=on)
    line = before.sheet.line_of(athlete)
    if line is None:
        raise NotFoundError(f"{athlete} has no bar in this class: mark them here and plan again.")
    _check_set_load(load, line[1].load.in_kg / (line[1].bar_share_pct / 100), reason)
    mine = SetLoad(athlete, load, by.name, reason.strip(), line[1].load.shown(line[1].unit))
    others = tuple(item for item in before.set_loads if item.athlete != athlete)
    order = _order(gym, class_key, on, before.present, (*others, mine))
    return _save(gym, by, "change_load", _plan(gym, order, before))


@verb
def take_back_load(
    *, gym: GymKey, class_key: str, on: date, athlete: AthleteId, by: Actor
) -> ClassSheet:
    """Give an athlete the computed load again and re-plan."""
    check_may(by, gym, Right.PLAN_CLASS)
    before = get_planned_class(gym=gym, class_key=class_key, on=on)
    others = tuple(item for item in before.set_loads if item.athlete != athlete)
    order = _order(gym, class_key, on, before.present, others)
    return _save(gym, by, "take_back_load", _plan(gym, order, before))


def _check_set_load(load: EnteredMass, max_kg: float, reason: str) -> None:
    if not reason.strip():
        raise ClassError("Say why the load is changed: the reason stays with the plan.")
    if load.mass.in_kg > TOO_FAR_RATIO * max_kg:
        raise ClassError(
            f"{load} is more than 110 % of the max in use ({max_kg:.1f} kg). If that max is "
            "wrong, correct it first; a load this far above it is not planned."
        )


def _order(
    gym: GymKey,
    class_key: str,
    on: date,
    present: tuple[AthleteId, ...] | None,
    set_loads: tuple[SetLoad, ...],
) -> ClassOrder:
    card, class_time = get_gym(gym=gym), get_class_time(gym=gym, key=class_key)
    if on.weekday() != class_time.weekday:
        raise ClassError(
            f"{class_key} meets on {class_time.weekday.shown}s; {on} is a "
            f"{on:%A}. Choose {_next_meeting(class_time, on)}."
        )
    season = get_season(gym=gym)
    work = _work_of(season, class_time, on)
    why = get_season_reasons(gym=gym, work=work[0])
    people = present if present is not None else who_comes(gym, class_time, on)
    return ClassOrder(
        gym_name=card.name, class_time=class_time, on=on, work=work, why=why, present=people,
        set_loads=set_loads, unit=card.unit,
    )  # fmt: skip


def _next_meeting(class_time: ClassTime, on: date) -> date:
    return on + timedelta(days=(class_time.weekday - on.weekday()) % 7)


def _work_of(season: SeasonPlan, class_time: ClassTime, on: date) -> tuple[SlotWork, ...]:
    work = season.on(class_time.slot, monday_of(on))
    if work:
        return work
    light = light_work(season, class_time.slot, monday_of(on))
    if light is None:
        raise ClassError(
            f"The season has no {class_time.slot.shown.lower()} work in the week of "
            f"{monday_of(on)}, nor any before it: plan the season again."
        )
    return (light,)


def light_work(season: SeasonPlan, slot: Slot, monday: date) -> SlotWork | None:
    """Light work in a week without main work: the slot's last lift, straight and easy.

    Contest weeks and the easy weeks after them have no main work in the season; who comes all
    the same trains lightly (common practice, no source).
    """
    before = [work for work in season.work if work.slot == slot and work.monday < monday]
    if not before:
        return None
    last = max(before, key=lambda work: work.monday)
    top = MaxEffortScheme.TRIPLE if last.max_effort is not None else None
    return replace(
        last, monday=monday, resistance=Resistance.STRAIGHT, wave_week=1, wave_weeks=1,
        max_effort=top, is_taper=False, is_easy=True,
    )  # fmt: skip


def _plan(gym: GymKey, order: ClassOrder, before: PlannedClass | None) -> PlannedClass:
    gathered, now = Gathered(gym, order.on), clock.now()
    if order.class_time.slot is Slot.IMPLEMENT:
        return plan_stations_of_class(order, gathered, version=0, planned_at=now)
    return plan_floor_of_class(
        order, gathered, version=0, planned_at=now, previous=before.floor if before else None
    )


def _save(gym: GymKey, by: Actor, verb_name: str, planned: PlannedClass) -> ClassSheet:
    """Keep the plan under the next version; planning itself ran outside the transaction."""
    sheet = planned.sheet
    with transaction.atomic():
        version = plan_rows.next_class_version(gym, sheet.class_key, sheet.on)
        numbered = replace(planned, sheet=replace(sheet, plan_version=version))
        plan_rows.save_class_plan(
            gym=gym, class_key=sheet.class_key, on=sheet.on, plan=numbered, kind=PlannedClass,
            made_by=by.name,
        )  # fmt: skip
        with change(gym, by, verb_name, Right.PLAN_CLASS) as trail:
            subject = f"class/{dated_key(sheet.class_key, sheet.on)}"
            trail.note(subject, None, {"version": version, "present": len(planned.present)})
    return numbered.sheet
