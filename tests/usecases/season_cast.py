"""A small gym with a season of its own: eight athletes, five main days, two contests."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

from bench.season_gyms import EVENTS, KIT, SLOT_DAYS, timetable
from bench.season_gyms import squad as made_up

from heftwright.domain.catalogue import KitKey, LiftKey, Slot
from heftwright.domain.contest import Contest, ContestId, Entry
from heftwright.domain.season.problem import Pin
from heftwright.domain.stock import Stock
from heftwright.usecases import clock, contests, gym, season, squad, stock
from heftwright.usecases import timetable as timetables
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.gathering import monday_of
from heftwright.usecases.season import SeasonEdits

BARN = GymKey("salt-barn")
BY = Actor.at_terminal("Hilde")
IN_BARN = {"gym": BARN, "by": BY}
MONDAY = date(2026, 9, 7)
MAIN, SIDE = ContestId("main"), ContestId("side")


def noon(day: date) -> datetime:
    return datetime.combine(day, time(12), UTC)


def saturday(week: int, since: date = MONDAY) -> date:
    return since + timedelta(days=7 * week + 5)


def open_barn(since: date = MONDAY) -> GymKey:
    """The barn from a Monday on, without a season yet."""
    gym.create_gym(gym=BARN, name="Salt Barn", by=BY, time_zone="UTC")
    people = made_up(8)
    for person in people:
        squad.add_athlete(**IN_BARN, athlete=person)
    kit = {KitKey(key): count for key, count in KIT.items()}
    stock.replace_stock(**IN_BARN, stock=Stock(kit=kit))
    for item in timetable(people, tuple(SLOT_DAYS)).classes:
        timetables.add_class_time(**IN_BARN, class_time=item)
    all_in = tuple(Entry(person.id) for person in people)
    main = Contest(MAIN, "Harbour Day", saturday(8, since), 3, True, EVENTS[:4], all_in)
    side = Contest(SIDE, "Brine Novice", saturday(5, since), 1, False, EVENTS[4:6], all_in[:2])
    for item in (main, side):
        contests.add_contest(**IN_BARN, contest=item)
    return BARN


def move_main(weeks: int) -> None:
    contest = contests.get_contest(gym=BARN, contest=MAIN)
    on = contest.on + timedelta(weeks=weeks)
    contests.change_contest(**IN_BARN, contest=replace(contest, on=on))


def clash_in_background() -> None:
    """Ask for the same squat as a max in two weeks running."""
    this_week = monday_of(clock.today(BARN))
    days = [this_week + timedelta(weeks=n) for n in (1, 2)]
    pins = tuple(Pin(Slot.MAX_EFFORT_LOWER, day, LiftKey("back_squat")) for day in days)
    season.start_planning(**IN_BARN, limit_s=2.0, edits=SeasonEdits(pins=pins))
