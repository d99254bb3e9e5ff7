"""Gyms, their clock, and the start of the house."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, date, datetime

import pytest
from yard_cast import TERMINAL, YARD

from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import NotFoundError
from heftwright.usecases import clock, gym
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.gym import GymError
from heftwright.usecases.permissions import ForbiddenError


def test_a_gym_is_opened_once_under_a_short_name(yard):
    assert gym.get_gym(gym=yard).name == "Iron Yard"
    with pytest.raises(GymError, match="a gym “iron-yard” already"):
        gym.create_gym(gym=YARD, name="Another", by=TERMINAL)


@pytest.mark.parametrize("slug", ["", "Iron", "a b", "-a", "a--b", "é", "a" * 61, "../x"])
def test_a_short_name_is_small_letters_digits_and_single_hyphens(db, slug):
    with pytest.raises(GymError, match="cannot be a short name"):
        gym.create_gym(gym=GymKey(slug), name="x", by=TERMINAL)


@pytest.mark.parametrize("zone", ["Vienna", "", "../etc/passwd", "Europe"])
def test_an_unknown_time_zone_is_refused(db, zone):
    with pytest.raises(GymError, match="is not a time zone"):
        gym.create_gym(gym=GymKey("a"), name="x", by=TERMINAL, time_zone=zone)


def test_a_gym_has_a_name(db):
    with pytest.raises(GymError, match="1–120 characters"):
        gym.create_gym(gym=GymKey("a"), name="  ", by=TERMINAL)


def test_a_gym_is_opened_at_the_terminal_only(db):
    with pytest.raises(ForbiddenError, match="own terminal"):
        gym.create_gym(gym=GymKey("a"), name="x", by=Actor.signed_in(1, "Olga"))


def test_name_zone_and_unit_can_change(people):
    card = gym.change_gym(gym=YARD, by=people.owner, name="Yard", unit=MassUnit.LB)
    assert card == gym.get_gym(gym=YARD)
    assert (card.name, card.unit, card.time_zone) == ("Yard", MassUnit.LB, "Europe/Vienna")
    with pytest.raises(GymError, match="not a time zone"):
        gym.change_gym(gym=YARD, by=people.owner, time_zone="Mars/Dome")


def test_a_gym_that_is_not_there_is_not_found(db):
    with pytest.raises(NotFoundError, match="no gym “x”"):
        gym.get_gym(gym=GymKey("x"))


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        (datetime(2026, 11, 22, 22, 59, tzinfo=UTC), date(2026, 11, 22)),
        (datetime(2026, 11, 22, 23, 0, tzinfo=UTC), date(2026, 11, 23)),
        (datetime(2027, 3, 28, 0, 59, tzinfo=UTC), date(2027, 3, 28)),  # an hour before the gap
        (datetime(2026, 10, 25, 22, 59, tzinfo=UTC), date(2026, 10, 25)),  # after the fold
        (datetime(2028, 2, 28, 23, 30, tzinfo=UTC), date(2028, 2, 29)),
        (datetime(2026, 12, 31, 23, 30, tzinfo=UTC), date(2027, 1, 1)),
    ],
)
def test_today_is_the_gyms_own_date(yard, moment, day):
    with clock.held_at(moment):
        assert clock.today(yard) == day
        assert clock.local_now(yard) == moment


def test_a_held_clock_says_its_zone_and_goes_on_afterwards(yard):
    with pytest.raises(clock.ClockError, match="time zone"), clock.held_at(datetime(2026, 1, 1)):  # noqa: DTZ001 - the mistake under test
        pass
    before = clock.now()
    with clock.held_at(datetime(2020, 1, 1, tzinfo=UTC)):
        assert clock.now().year == 2020
    assert clock.now() >= before


def test_the_house_opens_in_an_empty_directory_and_again(tmp_path):
    program = f"""
from pathlib import Path
from heftwright.usecases import start
start.open_house(Path({str(tmp_path / "data")!r}))
from heftwright.usecases import gym
from heftwright.usecases.actor import Actor, GymKey
print(len(gym.get_gyms(by=Actor.at_terminal())))
gym.create_gym(gym=GymKey("a"), name="A", by=Actor.at_terminal())
start.open_house()
print(len(gym.get_gyms(by=Actor.at_terminal())))
"""
    environ = {key: value for key, value in os.environ.items() if not key.startswith("HEFTWRIGHT_")}
    environ.pop("DJANGO_SETTINGS_MODULE", None)
    command = [sys.executable, "-W", "error", "-c", program]
    done = subprocess.run(command, env=environ, capture_output=True, text=True, check=False)
    assert done.stdout.split() == ["0", "1"], done.stderr
    assert (tmp_path / "data" / "heftwright.sqlite3").exists()
