"""A gym with a fixed cast: owner, head coach, assistant, a stranger, three athletes."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from demo_monday import BEGINS, BY, CLASS_KEY, GYM, MONDAY, NOON
from django.core.management import call_command
from yard_cast import OTHER, TERMINAL, YARD, Cast, athlete, sign_up

from heftwright.demo.build import make_demo
from heftwright.usecases import classes, clock, gym, season, squad
from heftwright.usecases.actor import GymKey
from heftwright.usecases.permissions import Role


@pytest.fixture
def yard(db) -> GymKey:
    """A gym with three athletes and another gym beside it."""
    gym.create_gym(gym=YARD, name="Iron Yard", by=TERMINAL, time_zone="Europe/Vienna")
    gym.create_gym(gym=OTHER, name="Far Shed", by=TERMINAL)
    for number, key in enumerate(("ada", "bo", "cy"), 1):
        squad.add_athlete(gym=YARD, by=TERMINAL, athlete=athlete(key, number))
    return YARD


@pytest.fixture
def people(yard) -> Cast:
    """Coaches of the gym and a stranger who owns the other one."""
    return Cast(
        owner=sign_up(YARD, Role.OWNER, "Olga"),
        head=sign_up(YARD, Role.HEAD_COACH, "Hal"),
        assistant=sign_up(YARD, Role.ASSISTANT, "Asa"),
        stranger=sign_up(OTHER, Role.OWNER, "Stig"),
    )


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker, tmp_path_factory):
    """The demo gym with its season and its Monday class planned."""
    with django_db_blocker.unblock(), clock.held_at(NOON):
        make_demo(tmp_path_factory.mktemp("sheets"), lambda _: None)
        season.plan_season(gym=GYM, by=BY, limit_s=4.0)
        classes.plan_class(gym=GYM, class_key=CLASS_KEY, on=MONDAY, by=BY)
        yield
        call_command("flush", interactive=False, verbosity=0)


@pytest.fixture
def evening(demo, db):
    """The moments of the evening: ``at(minutes)`` holds the clock that long after half past six."""
    begins = datetime.combine(MONDAY, BEGINS, tzinfo=clock.zone(GYM))

    def at(minutes):
        return clock.held_at(begins + timedelta(minutes=minutes))

    return at
