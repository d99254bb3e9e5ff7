"""Who and what the use-case tests are about: an invented gym and its fixed cast."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from uuid import UUID, uuid4

from heftwright.domain.catalogue import EventFamily, Implement, LiftKey, Slot
from heftwright.domain.contest import Contest, ContestEvent, ContestId, Entry, EventStyle
from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId, ClassTime, Sex, Weekday
from heftwright.usecases import accounts
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.permissions import Role

YARD = GymKey("iron-yard")
OTHER = GymKey("far-shed")
TERMINAL = Actor.at_terminal()
PASSWORD = "chalk-on-the-axle-7"


@dataclass(frozen=True)
class Cast:
    """Who is who."""

    owner: Actor
    head: Actor
    assistant: Actor
    stranger: Actor


def athlete(key: str, number: int, **more) -> Athlete:
    more = {"born_on": date(1990, 5, 1), "sex": Sex.WOMAN, "name": key.title(), **more}
    return Athlete(id=AthleteId(key), number=number, **more)


def logged(who: str = "ada", **more) -> LoggedSet:
    facts = {
        "id": uuid4(),
        "athlete": AthleteId(who),
        "lift": LiftKey("axle_deadlift"),
        "class_key": "2026-11-23/mon-1830",
        "set_number": 1,
        "load": EnteredMass(97_500, MassUnit.KG),
        "reps_done": 2,
        "outcome": SetOutcome.DONE,
        "reps_in_reserve": 3.0,
        "plan_version": 4,
        "logged_at": datetime(2026, 11, 23, 18, 45, tzinfo=UTC),
        **more,
    }
    return LoggedSet(**facts)


def spring_contest(**more) -> Contest:
    facts = {
        "id": ContestId("spring"),
        "name": "Spring in the Yard",
        "on": date(2027, 4, 3),
        "importance": 3,
        "squad_taper": True,
        "events": (
            ContestEvent(
                "Axle deadlift",
                EventFamily.DEADLIFT_REPS,
                EventStyle.REPS,
                implement=Implement.AXLE,
                load_men=Mass.kg(180),
                load_women=Mass.lb(265),
                time_cap_s=60,
            ),
            ContestEvent("Yoke", EventFamily.YOKE, EventStyle.RUN, course_m=15.24),
        ),
        "entries": (Entry(AthleteId("ada"), "women open", {"Yoke": 1.4}),),
        **more,
    }
    return Contest(**facts)


def monday_class(**more) -> ClassTime:
    facts = {
        "key": "mon-1830",
        "weekday": Weekday.MONDAY,
        "starts_at": time(18, 30),
        "minutes": 90,
        "slot": Slot.DYNAMIC_LOWER,
        "coach": "Iris",
        "members": (AthleteId("bo"), AthleteId("ada")),
        **more,
    }
    return ClassTime(**facts)


def sign_up(key: GymKey, role: Role, name: str) -> Actor:
    secret = accounts.make_first_sign_in_link(gym=key, by=TERMINAL, role=role)
    return accounts.redeem_first_sign_in(secret=secret, name=name, password=PASSWORD)


def some_id(number: int) -> UUID:
    return UUID(int=number)
