"""Today and the floor say what was changed since the plan was made, until it is planned again."""

from dataclasses import replace
from datetime import timedelta

import pytest
from floor_cast import ROW, TERMINAL

from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.usecases import clock, squad


@pytest.fixture
def heavier(house):
    """Tove's body mass is changed an hour after the plan was made."""
    tove = next(item for item in squad.get_squad(gym=ROW) if item.id == AthleteId("a7"))
    with clock.held_at(house.sheet.planned_at + timedelta(hours=1)):
        squad.change_athlete(gym=ROW, by=TERMINAL, athlete=replace(tove, body_mass=Mass.kg(90)))
    return house


def text(client, url):
    return " ".join(client.get(url).content.decode().split())


SAID = "Changed since this plan was made: <strong>Tove</strong>. Plan again to take it in."


def test_today_and_the_floor_say_it_and_what_to_do(head, heavier):
    assert SAID in text(head, heavier.class_url)
    assert SAID in text(head, heavier.class_url + "floor/")
