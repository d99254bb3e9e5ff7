"""What is open about the squad is said once on its page; what waits for the coach also today."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from yard_cast import TERMINAL, athlete

from heftwright.domain.height import Length
from heftwright.domain.squad import AthleteId, Restriction
from heftwright.usecases import clock, squad
from heftwright.usecases.squad_asks import get_squad_asks, get_urgent_asks

NOON = datetime(2026, 11, 30, 12, tzinfo=UTC)
MONDAY = NOON.date()
TALL = Length.cm(170)


@pytest.fixture(autouse=True)
def noon():
    with clock.held_at(NOON):
        yield


def asked(yard):
    return [(ask.athlete.id, ask.is_urgent, ask.words) for ask in get_squad_asks(gym=yard)]


def settle(yard):
    """Everybody measured: nothing is open."""
    for one in squad.get_squad(gym=yard):
        squad.change_athlete(gym=yard, by=TERMINAL, athlete=replace(one, stature=TALL))


def test_a_settled_squad_asks_nothing(yard):
    assert asked(yard)  # control: people without a stature are asked about
    settle(yard)
    assert asked(yard) == []


def test_on_the_day_to_ask_again_the_coach_is_asked_and_the_lifts_stay_off(yard):
    settle(yard)
    rule = Restriction("overhead", MONDAY - timedelta(days=30), MONDAY)
    squad.add_restriction(gym=yard, by=TERMINAL, athlete=AthleteId("ada"), restriction=rule)
    ((who, urgent, words),) = asked(yard)
    assert (who, urgent) == ("ada", True)
    assert "until cleared by name" in words
    assert get_urgent_asks(gym=yard) == get_squad_asks(gym=yard)
    squad.clear_restriction(
        gym=yard, by=TERMINAL, athlete=AthleteId("ada"), restriction=rule, cleared_on=MONDAY,
        cleared_by="A. Physio",
    )  # fmt: skip
    assert asked(yard) == []


def test_before_that_day_nobody_is_asked(yard):
    settle(yard)
    rule = Restriction("overhead", MONDAY, MONDAY + timedelta(days=1))
    squad.add_restriction(gym=yard, by=TERMINAL, athlete=AthleteId("ada"), restriction=rule)
    assert asked(yard) == []


def test_a_missing_birth_date_or_supervisor_is_asked_for_once_and_the_urgent_come_first(yard):
    settle(yard)
    young = athlete("dee", 9, born_on=date(2011, 1, 1), stature=TALL, guardian="A. Parent")
    squad.add_athlete(gym=yard, by=TERMINAL, athlete=young)
    ada = squad.get_athlete(gym=yard, athlete=AthleteId("ada"))
    squad.change_athlete(
        gym=yard, by=TERMINAL,
        athlete=replace(ada, born_on=None, guardian="A. Parent", supervisor="Hal"),
    )  # fmt: skip
    assert [(who, urgent) for who, urgent, _ in asked(yard)] == [("dee", True), ("ada", False)]
