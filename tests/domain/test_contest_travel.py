"""Whom a contest takes out of the gym, and on which days."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from heftwright.domain.catalogue import EventFamily
from heftwright.domain.contest import (
    Contest,
    ContestEvent,
    ContestId,
    Entry,
    EventStyle,
    Travel,
    away_on,
    why_away,
)
from heftwright.domain.squad import AthleteId

SATURDAY = date(2026, 12, 12)
YOKE = ContestEvent("Yoke", EventFamily.YOKE, EventStyle.RUN)
ABROAD = Contest(
    ContestId("far"), "Far Shore Day", SATURDAY, 2, False, (YOKE,), (Entry(AthleteId("ada")),)
)
TRAVEL = Travel(ContestId("far"), 2, 1)


def away(day, travels=(TRAVEL,), contests=(ABROAD,)):
    return {who: contest.name for who, contest in away_on(contests, travels, day).items()}


@pytest.mark.parametrize("days", [-2, -1, 0, 1])
def test_an_entrant_is_away_from_the_first_day_of_travel_to_the_last(days):
    assert away(SATURDAY + timedelta(days=days)) == {"ada": "Far Shore Day"}


@pytest.mark.parametrize("days", [-3, 2])
def test_an_entrant_is_at_the_gym_the_day_before_travel_and_the_day_after(days):
    assert away(SATURDAY + timedelta(days=days)) == {}


def test_a_contest_without_travel_takes_its_entrants_on_its_own_day_alone():
    assert away(SATURDAY, travels=()) == {"ada": "Far Shore Day"}
    assert away(SATURDAY - timedelta(days=1), travels=()) == {}


def test_of_two_contests_on_one_journey_the_earlier_one_is_named():
    later = replace(ABROAD, id=ContestId("next"), name="Next Shore Day", on=date(2026, 12, 13))
    both = (later, ABROAD)
    assert away(date(2026, 12, 13), contests=both) == {"ada": "Far Shore Day"}


def test_where_somebody_is_is_said_by_the_day():
    said = [why_away(ABROAD, SATURDAY + timedelta(days=days)) for days in (-1, 0, 1)]
    assert said == [
        "on the way to Far Shore Day", "at Far Shore Day", "on the way home from Far Shore Day",
    ]  # fmt: skip
