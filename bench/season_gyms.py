"""Small made-up gyms for season tests, trust runs and random seasons."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta
from random import Random

from heftwright.domain.catalogue import (
    Catalogue,
    EventFamily,
    Implement,
    KitKey,
    LiftKey,
    Slot,
    WeakPoint,
    load_catalogue,
)
from heftwright.domain.contest import Contest, ContestEvent, ContestId, Entry, EventStyle
from heftwright.domain.height import Length
from heftwright.domain.season import SeasonProblem, SeasonRules, build_problem
from heftwright.domain.squad import Athlete, AthleteId, ClassTime, Restriction, Sex, Timetable
from heftwright.domain.squad.timetable import Weekday
from heftwright.domain.stock import Stock

START = date(2026, 9, 7)
SLOT_DAYS = {
    Slot.DYNAMIC_LOWER: Weekday.MONDAY,
    Slot.MAX_EFFORT_UPPER: Weekday.TUESDAY,
    Slot.MAX_EFFORT_LOWER: Weekday.THURSDAY,
    Slot.DYNAMIC_UPPER: Weekday.FRIDAY,
    Slot.IMPLEMENT: Weekday.SATURDAY,
}
KIT = {
    "straight_bar": 6, "rack": 5, "box": 5, "safety_bar": 2, "cambered_bar": 1, "hex_bar": 2,
    "multi_grip_bar": 2, "axle": 2, "log": 2, "yoke": 2, "farmers": 2, "frame": 2, "stones": 2,
    "sandbag": 3, "keg": 3, "wheel": 2, "thick_dumbbell": 2, "lever": 2, "sled": 2, "tyre": 2,
    "block": 4, "bench": 4, "board": 4, "band": 4, "chain": 3,
}  # fmt: skip
EVENTS = (
    ContestEvent("Axle deadlift for reps", EventFamily.DEADLIFT_REPS, EventStyle.REPS,
                 Implement.AXLE, Length.cm(22), "thick"),
    ContestEvent("Log for a max", EventFamily.PRESS_MAX, EventStyle.MAX, Implement.LOG, None,
                 "neutral"),
    ContestEvent("Yoke run", EventFamily.YOKE, EventStyle.RUN, Implement.YOKE),
    ContestEvent("Frame carry", EventFamily.FARMERS, EventStyle.RUN, Implement.FRAME, None,
                 "neutral"),
    ContestEvent("Stones", EventFamily.STONES, EventStyle.RUN, Implement.STONES, None, "hug"),
    ContestEvent("Axle press for reps", EventFamily.PRESS_REPS, EventStyle.REPS, Implement.AXLE,
                 None, "thick"),
    ContestEvent("Deadlift for a max", EventFamily.DEADLIFT_MAX, EventStyle.MAX,
                 Implement.STRAIGHT_BAR, Length.cm(22), "mixed"),
    ContestEvent("Squat for reps", EventFamily.SQUAT, EventStyle.REPS, Implement.STRAIGHT_BAR),
)  # fmt: skip


def stock(**counts: int) -> Stock:
    """The usual kit, with some counts changed."""
    return Stock(kit={KitKey(key): count for key, count in {**KIT, **counts}.items()})


def squad(size: int) -> tuple[Athlete, ...]:
    """Athletes with a weak point each in turn."""
    points = list(WeakPoint)
    return tuple(
        Athlete(AthleteId(f"a{n}"), f"Lifter {n}", n, Sex.WOMAN if n % 2 else Sex.MAN,
                weak_points={points[n % len(points)]: 1.0})
        for n in range(1, size + 1)
    )  # fmt: skip


def contest(
    week: int, events: tuple[ContestEvent, ...] = EVENTS[:4], *, name: str = "Harbour Day",
    main: bool = True, entrants: tuple[Athlete, ...] = (), importance: int = 3,
) -> Contest:  # fmt: skip
    """A Saturday contest in a week (0 is the first)."""
    return Contest(
        ContestId(name), name, START + timedelta(days=7 * week + 5), importance, main, events,
        tuple(Entry(athlete.id) for athlete in entrants),
    )  # fmt: skip


def timetable(
    athletes: tuple[Athlete, ...], slots: tuple[Slot, ...] = tuple(SLOT_DAYS), minutes: int = 90
) -> Timetable:
    """One class a slot, everyone in it."""
    members = tuple(athlete.id for athlete in athletes)
    return Timetable(
        tuple(
            ClassTime(
                slot.value, SLOT_DAYS[slot], time(18),
                120 if slot == Slot.IMPLEMENT else minutes, slot, members=members,
            )
            for slot in slots
        )
    )  # fmt: skip


def only(*keys: str) -> Catalogue:
    """The catalogue with only some lifts."""
    lifts = load_catalogue()
    return Catalogue(tuple(lifts[LiftKey(key)] for key in keys), lifts.athletes_per_unit)


def gym_season(
    size: int = 8, weeks: int = 8, *, slots: tuple[Slot, ...] = tuple(SLOT_DAYS),
    catalogue: Catalogue | None = None, rules: SeasonRules | None = None, **more: object,
) -> SeasonProblem:  # fmt: skip
    """A small season towards one squad contest in the last week."""
    athletes = squad(size)
    given = {
        "athletes": athletes,
        "stock": stock(),
        "contests": [contest(weeks - 1, entrants=athletes)],
        "timetable": timetable(athletes, slots),
        "catalogue": catalogue or load_catalogue(),
        "start": START,
        "rules": rules,
        **more,
    }
    return build_problem(**given)  # type: ignore[arg-type]


def random_season(seed: int, longest: int = 14) -> SeasonProblem:
    """A random small gym, calendar, kit and squad, for properties; ``longest`` in weeks."""
    draw = Random(seed)
    athletes = tuple(_random_athlete(draw, n) for n in range(1, draw.randint(3, 14) + 1))
    weeks = draw.randint(4, longest)
    contests = [
        contest(
            week, tuple(draw.sample(EVENTS, draw.randint(2, 5))), name=f"Contest {n}",
            main=draw.random() < 0.6, importance=draw.randint(1, 3),
            entrants=tuple(draw.sample(athletes, draw.randint(1, len(athletes)))),
        )
        for n, week in enumerate(sorted(draw.sample(range(2, weeks + 1), draw.randint(0, 2))))
    ]  # fmt: skip
    kit = {key: max(1, count + draw.randint(-2, 2)) for key, count in KIT.items()}
    slots = [slot for slot in SLOT_DAYS if slot != Slot.IMPLEMENT or draw.random() < 0.7]
    return build_problem(
        athletes=athletes, stock=stock(**kit), contests=contests,
        timetable=timetable(athletes, tuple(slots)), catalogue=load_catalogue(), start=START,
        rules=SeasonRules() if draw.random() < 0.7 else SeasonRules.reference(),
    )  # fmt: skip


def _random_athlete(draw: Random, number: int) -> Athlete:
    athlete = squad(number)[-1]
    if draw.random() < 0.3:
        first = START + timedelta(days=draw.randint(0, 40))
        tag = draw.choice(["overhead", "spine_heavy", "knee_heavy", "grip_heavy", "biceps_risk"])
        rule = Restriction(tag, first, first + timedelta(days=21))
        athlete = replace(athlete, restrictions=(rule,))
    return replace(athlete, priority=draw.choice([0.5, 1.0, 2.0]))
