"""A gym in a test: its coaches, its squad, a planned class, and clients who came in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.test import Client
from sheets import make_class_sheet

from heftwright.domain.catalogue import LiftKey, Slot
from heftwright.domain.height import Length
from heftwright.domain.season import SlotWork
from heftwright.domain.sheet import ClassSheet
from heftwright.domain.sheet.planned import PlannedClass
from heftwright.domain.squad import Athlete, AthleteId, ClassTime, Sex, Weekday
from heftwright.store import plan_rows
from heftwright.usecases import accounts, clock, squad, timetable
from heftwright.usecases import gym as gyms
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.permissions import Role

ROW = GymKey("dunnock-row")
FAR = GymKey("far-shed")
TERMINAL = Actor.at_terminal()
CLASS_KEY = "mon-1830"
PASSWORD = "chalk on the platform"


@dataclass(frozen=True)
class House:
    """A gym with people and links; ``on`` is the day of its planned class."""

    on: date
    sheet: ClassSheet
    board_secret: str
    card_secret: str
    card_athlete: AthleteId

    @property
    def class_url(self) -> str:
        return f"/gym/{ROW}/class/{self.on}/{CLASS_KEY}/"

    @property
    def dated_key(self) -> str:
        return f"{self.on}/{CLASS_KEY}"


def open_house(starts_at: time = time(18, 30), on: date | None = None) -> House:
    """Two gyms, coaches of every role, a squad and one planned class on ``on`` (today)."""
    gyms.create_gym(gym=ROW, name="Dunnock Row", by=TERMINAL, time_zone="UTC")
    gyms.create_gym(gym=FAR, name="Far Shed", by=TERMINAL)
    for name, role in (
        ("Olga", Role.OWNER), ("Hal", Role.HEAD_COACH), ("Asa", Role.ASSISTANT)
    ):  # fmt: skip
        sign_up(ROW, role, name)
    sign_up(FAR, Role.OWNER, "Stig")
    day = on or clock.today(ROW)
    sheet = make_class_sheet(gym="Dunnock Row", on=day, starts_at=starts_at, plan_version=1)
    people = add_squad(sheet)
    timetable.add_class_time(
        gym=ROW, by=TERMINAL,
        class_time=ClassTime(
            CLASS_KEY, Weekday(day.weekday()), starts_at, 75, Slot.DYNAMIC_LOWER, "Asa", people
        ),
    )  # fmt: skip
    save_plan(sheet, people)
    mine = sheet.platforms[0].lifters[0].athlete
    return House(
        day, sheet,
        accounts.make_board_link(gym=ROW, by=TERMINAL),
        accounts.make_card_link(gym=ROW, by=TERMINAL, athlete=mine),
        mine,
    )  # fmt: skip


def add_squad(sheet: ClassSheet) -> tuple[AthleteId, ...]:
    lines = [line for platform in sheet.platforms for line in platform.lifters]
    people = [(line.athlete, line.number, line.name) for line in lines]
    people += [(item.athlete, item.number, item.name) for item in sheet.unplaced]
    for key, number, name in people:
        squad.add_athlete(
            gym=ROW, by=TERMINAL,
            athlete=Athlete(
                key, name, number, Sex.WOMAN, born_on=date(1996, 5, 1), stature=Length.cm(170)
            ),
        )  # fmt: skip
    return tuple(key for key, _, _ in people)


def save_plan(sheet: ClassSheet, people: tuple[AthleteId, ...]) -> None:
    monday = sheet.on - timedelta(days=sheet.on.weekday())
    work = SlotWork(Slot.DYNAMIC_LOWER, monday, LiftKey("block_deadlift"))
    plan_rows.save_class_plan(
        gym=ROW, class_key=CLASS_KEY, on=sheet.on,
        plan=PlannedClass(sheet, None, (work,), people), kind=PlannedClass, made_by="test",
    )  # fmt: skip


def sign_up(gym: GymKey, role: Role, name: str) -> Actor:
    secret = accounts.make_first_sign_in_link(gym=gym, by=TERMINAL, role=role)
    return accounts.redeem_first_sign_in(secret=secret, name=name, password=PASSWORD)


def client_of(name: str) -> Client:
    """A browser in which a coach has signed in."""
    client = Client()
    answer = client.post("/sign-in", {"name": name, "password": PASSWORD})
    assert answer.status_code == 302, answer.content
    return client


def at(on: date, hour: int, minute: int = 0) -> datetime:
    return datetime.combine(on, time(hour, minute), tzinfo=clock.zone(ROW))
