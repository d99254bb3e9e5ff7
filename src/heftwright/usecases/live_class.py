"""The clock of a running class: started by the coach, set right platform by platform."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.sheet import ClassSheet
from heftwright.domain.sheet.live import (
    ClassClock,
    ClassClockError,
    PlatformMark,
    Turn,
    class_starts,
    first_round,
    turn_at,
)
from heftwright.domain.sheet.planned import PlannedClass
from heftwright.store import floor_rows
from heftwright.store.documents import to_document
from heftwright.store.gym_rows import find_gym
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.classes import dated_key, get_planned_class
from heftwright.usecases.permissions import Right


class LiveClassError(Refusal):
    """Something that cannot be done in the middle of a class."""


@dataclass(frozen=True, slots=True)
class DatedClass:
    """Which class of which day."""

    gym: GymKey
    class_key: str
    on: date

    @property
    def key(self) -> str:
        """As attendance and the log name it."""
        return dated_key(self.class_key, self.on)

    def planned(self) -> PlannedClass:
        """Its latest plan."""
        return get_planned_class(gym=self.gym, class_key=self.class_key, on=self.on)


def get_class_clock(of: DatedClass) -> ClassClock | None:
    """The clock of a class that the coach started, or None."""
    return floor_rows.read_one(find_gym(of.gym), ClassClock, of.key)


def get_turns(of: DatedClass, sheet: ClassSheet) -> Mapping[str, Turn]:
    """Whose turn it is on every platform, by the coach's clock or else the timetable's."""
    running, now = get_class_clock(of), clock.local_now(of.gym)
    starts = class_starts(datetime.combine(of.on, sheet.starts_at, now.tzinfo), running)
    return {
        item.key: turn_at(item, starts, now, running.mark_of(item.key) if running else None)
        for item in sheet.platforms
    }


@verb
def start_class(of: DatedClass, *, by: Actor) -> ClassClock:
    """The first set begins now.

    Raises
    ------
    LiveClassError
        If it runs already, or is not today by the gym's calendar.
    """
    _check_is_today(of)
    sheet = of.planned().sheet
    if not sheet.platforms:
        raise LiveClassError("Nobody has a bar in this plan: plan the class first.")
    with change(of.gym, by, "start_class", Right.TAKE_ATTENDANCE) as trail:
        if floor_rows.read_one(trail.gym, ClassClock, of.key) is not None:
            raise LiveClassError("The class runs already: take the start back to start anew.")
        moment = trail.moment
        first = min(first_round(item, moment).round_began for item in sheet.platforms)
        started = ClassClock(of.key, moment - (first - moment))
        floor_rows.write(trail.gym, started)
        trail.note(f"class_clock/{of.key}", None, to_document(started))
    return started


@verb
def take_back_start(of: DatedClass, *, by: Actor) -> None:
    """The class has not begun after all."""
    with change(of.gym, by, "take_back_start", Right.TAKE_ATTENDANCE) as trail:
        running = _running(of)
        floor_rows.drop(trail.gym, ClassClock, of.key)
        trail.note(f"class_clock/{of.key}", to_document(running), None)


@verb
def mark_round(of: DatedClass, *, by: Actor, platform: str, done_sets: int) -> None:
    """So many rounds are over on a platform as of now; its clock goes on from here.

    Raises
    ------
    LiveClassError
        If the class has not begun.
    ClassClockError
        If the platform has no such round.
    NotFoundError
        If nobody lifts there.
    """
    sheet = of.planned().sheet
    here = next((item for item in sheet.platforms if item.key == platform), None)
    if here is None:
        raise NotFoundError(f"Nobody lifts on platform {platform} in this plan.")
    if done_sets > here.sets:
        raise ClassClockError(f"Platform {platform} has {here.sets} rounds, not {done_sets}.")
    with change(of.gym, by, "mark_round", Right.TAKE_ATTENDANCE) as trail:
        running = _running(of)
        mark = PlatformMark(platform, done_sets, trail.moment)
        others = tuple(item for item in running.marks if item.platform != platform)
        after = replace(running, marks=(*others, mark))
        floor_rows.write(trail.gym, after)
        trail.note(f"class_clock/{of.key}", to_document(running), to_document(after))


def _check_is_today(of: DatedClass) -> None:
    today = clock.today(of.gym)
    if of.on != today:
        raise LiveClassError(
            f"This class is on {of.on:%A} {of.on.day} {of.on:%B}, and today is {today:%A} "
            f"{today.day} {today:%B}: start it on its day."
        )


def _running(of: DatedClass) -> ClassClock:
    running = get_class_clock(of)
    if running is None:
        raise LiveClassError("The class has not begun: start its clock first.")
    return running
