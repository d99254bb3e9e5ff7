"""Dated classes: what is on tonight, the plan of a class, and what the coach changes in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from django.db import transaction

from heftwright.domain.catalogue import Slot
from heftwright.domain.mass import EnteredMass
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.season import SlotWork
from heftwright.domain.season.light import light_session
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.sheet import ClassSheet
from heftwright.domain.sheet.live import ClassClock
from heftwright.domain.sheet.planned import FloorDraft, PlannedClass, SetLoad, Tonight
from heftwright.domain.squad import AthleteId, ClassTime
from heftwright.store import floor_rows, plan_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import AttendanceState, Gym
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.attendance import get_attendance
from heftwright.usecases.changes import change, verb
from heftwright.usecases.class_order import ClassOrder, Running
from heftwright.usecases.class_planning import plan_floor_of_class, plan_stations_of_class
from heftwright.usecases.floor_solving import Change
from heftwright.usecases.floor_terms import get_floor_terms, get_floor_wishes
from heftwright.usecases.gathering import Gathered, monday_of
from heftwright.usecases.gym import get_gym
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.season import get_season, get_season_reasons
from heftwright.usecases.timetable import get_class_time, get_timetable
from heftwright.usecases.travels import away_at_contests

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
    """Who is expected: usual members less those marked away or at a contest, and whoever else was
    marked here or late. A mark of the coach's wins over the contest calendar.
    """
    marked = get_attendance(gym=gym, class_key=dated_key(class_time.key, on))
    away = {key for key, item in marked.items() if item.state is AttendanceState.AWAY}
    away |= away_at_contests(gym, on).keys() - marked.keys()
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
        If the season has no work for this class, the class does not meet on that day, or the
        day is past and its clock does not run.
    """
    check_may(by, gym, Right.PLAN_CLASS)
    stored = plan_rows.get_class_plan(gym=gym, class_key=class_key, on=on, kind=PlannedClass)
    before = stored.plan if stored else None
    order = order_of(gym, class_key, on, before, present)
    planned = plan_order(gym, order, before if keep_close or order.running else None)
    return keep_plan(gym, by, "plan_class", planned)


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
    check_set_load(load, line[1].load.in_kg / (line[1].bar_share_pct / 100), reason)
    mine = SetLoad(athlete, load, by.name, reason.strip(), line[1].load.shown(line[1].unit))
    others = tuple(item for item in before.set_loads if item.athlete != athlete)
    order = order_of(gym, class_key, on, before, before.present)
    planned = plan_order(gym, replace(order, set_loads=(*others, mine), is_settled=True), before)
    return keep_plan(gym, by, "change_load", planned)


@verb
def take_back_load(
    *, gym: GymKey, class_key: str, on: date, athlete: AthleteId, by: Actor
) -> ClassSheet:
    """Give an athlete the computed load again and re-plan."""
    check_may(by, gym, Right.PLAN_CLASS)
    before = get_planned_class(gym=gym, class_key=class_key, on=on)
    others = tuple(item for item in before.set_loads if item.athlete != athlete)
    order = order_of(gym, class_key, on, before, before.present)
    planned = plan_order(gym, replace(order, set_loads=others, is_settled=True), before)
    return keep_plan(gym, by, "take_back_load", planned)


def check_set_load(load: EnteredMass, max_kg: float, reason: str) -> None:
    """Refuse a load without a reason, or one far above the max.

    Raises
    ------
    ClassError
        If it is either.
    """
    if not reason.strip():
        raise ClassError("Say why the load is changed: the reason stays with the plan.")
    if load.mass.in_kg > TOO_FAR_RATIO * max_kg:
        raise ClassError(
            f"{load} is more than 110 % of the max in use ({max_kg:.1f} kg). If that max is "
            "wrong, correct it first; a load this far above it is not planned."
        )


def order_of(
    gym: GymKey,
    class_key: str,
    on: date,
    before: PlannedClass | None,
    present: tuple[AthleteId, ...] | None = None,
) -> ClassOrder:
    """What is wanted of a dated class now, with all that was set by hand so far.

    Raises
    ------
    ClassError
        If the class does not meet on that day, the day is past, or the season has no work for it.
    """
    card, class_time = get_gym(gym=gym), get_class_time(gym=gym, key=class_key)
    if on.weekday() != class_time.weekday:
        raise ClassError(
            f"{class_key} meets on {class_time.weekday.shown}s; {on} is a "
            f"{on:%A}. Choose {_next_meeting(class_time, on)}."
        )
    _check_not_past(gym, class_key, on)
    season = get_season(gym=gym)
    work = _work_of(season, class_time, on)
    why = get_season_reasons(gym=gym, work=work[0])
    people = present if present is not None else who_comes(gym, class_time, on)
    return ClassOrder(
        gym_name=card.name, class_time=class_time, on=on, work=work, why=why, present=people,
        set_loads=before.set_loads if before else (), unit=card.unit,
        tonight=before.tonight if before else Tonight(), terms=get_floor_terms(gym=gym),
        wishes=get_floor_wishes(gym=gym), running=_running(gym, class_key, on, before),
        after=season.after_on(class_time.slot, monday_of(on)),
    )  # fmt: skip


def _check_not_past(gym: GymKey, class_key: str, on: date) -> None:
    """Nothing of a past class changes: people lifted it as it stood, and the log hangs on it."""
    days_ago = (clock.today(gym) - on).days
    if days_ago <= 0:
        return
    # A class that runs over midnight goes on; a clock nobody stopped does not keep a day open.
    if days_ago == 1 and _clock_of(gym, class_key, on) is not None:
        return
    raise ClassError(f"{on:%A} {on.day} {on:%B %Y} is past: its class can be looked at only.")


def _clock_of(gym: GymKey, class_key: str, on: date) -> ClassClock | None:
    return floor_rows.read_one(find_gym(gym), ClassClock, dated_key(class_key, on))


def _running(gym: GymKey, class_key: str, on: date, before: PlannedClass | None) -> Running | None:
    started = _clock_of(gym, class_key, on)
    if started is None or before is None:
        return None
    return Running(started, clock.now(), before.sheet.platforms)


def _next_meeting(class_time: ClassTime, on: date) -> date:
    return on + timedelta(days=(class_time.weekday - on.weekday()) % 7)


def _work_of(season: SeasonPlan, class_time: ClassTime, on: date) -> tuple[SlotWork, ...]:
    work = season.on(class_time.slot, monday_of(on))
    if work:
        return work
    light = light_session(season.work, class_time.slot, monday_of(on))
    if light is None:
        raise ClassError(
            f"The season has no {class_time.slot.shown.lower()} work in the week of "
            f"{monday_of(on)}, nor any other: plan the season again."
        )
    return (light,)


def plan_order(
    gym: GymKey, order: ClassOrder, before: PlannedClass | None, change: Change | None = None
) -> PlannedClass:
    """Plan what is wanted, close to the plan before; with ``change``, that plan changed by hand."""
    gathered, now = Gathered(gym, order.on), clock.local_now(gym)
    if order.class_time.slot is Slot.IMPLEMENT:
        return plan_stations_of_class(order, gathered, planned_at=now)
    return plan_floor_of_class(
        order, gathered, planned_at=now, previous=before.floor if before else None, change=change
    )


def keep_plan(gym: GymKey, by: Actor, verb_name: str, planned: PlannedClass) -> ClassSheet:
    """Keep the plan under the next version; planning itself ran outside the transaction.

    A running class goes on from what the plan took in: marks and drafts are cleared.

    Raises
    ------
    ClassError
        If the day is past: a plan that was worked out before midnight comes too late as well.
    """
    sheet = planned.sheet
    _check_not_past(gym, sheet.class_key, sheet.on)
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
            _clear_live(trail.gym, dated_key(sheet.class_key, sheet.on))
    return numbered.sheet


def _clear_live(gym: Gym, key: str) -> None:
    floor_rows.drop(gym, FloorDraft, key)
    running = floor_rows.read_one(gym, ClassClock, key)
    if running is not None and running.marks:
        floor_rows.write(gym, replace(running, marks=()))
