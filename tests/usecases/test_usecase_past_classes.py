"""A class that is over is looked at: no door changes it, save while it still runs past midnight."""

import pytest
from demo_monday import BY, CLASS_KEY, GYM, MONDAY, OF

from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.usecases import classes, floor_drafts
from heftwright.usecases.live_class import start_class

CLASS = {"gym": GYM, "class_key": CLASS_KEY, "on": MONDAY}
MIDNIGHT = 330
"""Minutes from half past six to the end of the day."""
NEXT_MORNING = 15 * 60
TWO_DAYS_ON = 48 * 60
PAST = "Monday 30 November 2026 is past: its class can be looked at only"
LIGHT = EnteredMass(40_000, MassUnit.KG)


def lifter():
    return OF.planned().sheet.platforms[0].lifters[0].athlete


def change_load():
    classes.change_load(**CLASS, athlete=lifter(), load=LIGHT, by=BY, reason="sore back")


DOORS = {
    "plan_class": lambda: classes.plan_class(**CLASS, by=BY),
    "change_load": change_load,
    "take_back_load": lambda: classes.take_back_load(**CLASS, athlete=lifter(), by=BY),
    "a draft": lambda: floor_drafts.propose_people(OF, by=BY),
    "take_draft": lambda: floor_drafts.take_draft(OF, by=BY),
    "put_back_plan": lambda: floor_drafts.put_back_plan(OF, by=BY),
}
every_door = pytest.mark.parametrize("door", DOORS)


@pytest.fixture
def planned_twice(evening):
    """A plan with one before it, a load set by hand, and a draft that waits for its yes."""
    with evening(-60):
        change_load()
        floor_drafts.propose_people(OF, by=BY)
    return evening


@every_door
def test_the_day_after_a_class_that_never_ran_nothing_of_it_changes(planned_twice, door):
    before = OF.planned()
    with planned_twice(NEXT_MORNING):
        with pytest.raises(classes.ClassError, match=PAST):
            DOORS[door]()
        assert OF.planned() == before


@every_door
def test_two_days_on_a_clock_that_nobody_stopped_keeps_nothing_open(planned_twice, door):
    with planned_twice(10):
        start_class(OF, by=BY)
    before = OF.planned()
    with planned_twice(TWO_DAYS_ON):
        with pytest.raises(classes.ClassError, match=PAST):
            DOORS[door]()
        assert OF.planned() == before


@every_door
def test_a_class_that_runs_over_midnight_goes_on(planned_twice, door):
    with planned_twice(MIDNIGHT - 10):
        start_class(OF, by=BY)
        floor_drafts.propose_people(OF, by=BY)
    before = OF.planned().sheet.plan_version
    with planned_twice(MIDNIGHT + 10):
        DOORS[door]()
    assert OF.planned().sheet.plan_version == before + (door != "a draft")


@every_door
def test_until_midnight_every_door_is_open(planned_twice, door):
    with planned_twice(MIDNIGHT - 1):
        DOORS[door]()
