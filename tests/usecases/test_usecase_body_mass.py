"""A body mass that falls too fast is asked about where the coach looks; no cut is ever proposed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from yard_cast import TERMINAL, YARD

from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.usecases import clock, squad
from heftwright.usecases.squad_asks import get_squad_asks

ADA = AthleteId("ada")
TODAY = datetime(2026, 11, 23, 12, tzinfo=UTC)


def weigh(kg, days_ago):
    """Ada steps on the scale and the coach changes her record."""
    with clock.held_at(TODAY - timedelta(days=days_ago)):
        one = squad.get_athlete(gym=YARD, athlete=ADA)
        heavier = replace(one, body_mass=Mass.kg(kg))
        squad.change_athlete(gym=YARD, by=TERMINAL, athlete=heavier)


def said():
    with clock.held_at(TODAY):
        return [ask.words for ask in get_squad_asks(gym=YARD) if "Body mass falls" in ask.words]


@pytest.mark.parametrize(("now", "is_asked"), [("89", False), ("88.7", False), ("88", True)])
def test_more_than_one_and_a_half_percent_a_week_is_asked_about(yard, now, is_asked):
    # 1.5 % a week is ours (trust.md, weight cut): 90 kg less 1.5 % is 88.65 kg.
    weigh("90", 8)
    weigh(now, 1)
    assert bool(said()) is is_asked


def test_it_sends_the_coach_to_talk_and_to_a_licensed_professional(yard):
    weigh("90", 8)
    weigh("86", 1)
    (words,) = said()
    assert "talks to the athlete" in words
    assert "licensed professional" in words


def test_two_masses_a_day_apart_show_water_and_an_old_one_no_rate(yard):
    weigh("90", 60)
    weigh("88", 2)
    weigh("86", 1)
    assert said() == []


def test_a_gain_is_no_loss(yard):
    weigh("86", 8)
    weigh("90", 1)
    assert said() == []
