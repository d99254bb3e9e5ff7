"""A gym with a fixed cast: owner, head coach, assistant, a stranger, three athletes."""

from __future__ import annotations

import pytest
from yard_cast import OTHER, TERMINAL, YARD, Cast, athlete, sign_up

from heftwright.usecases import gym, squad
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
