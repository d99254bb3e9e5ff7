"""A plan made in the morning knows nothing of what happened since: it is said, with what it was."""

from dataclasses import replace

import pytest
from demo_monday import BY, CLASS_KEY, GYM, MONDAY, OF

from heftwright.domain.mass import Mass
from heftwright.domain.squad import Restriction
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.usecases import classes, erasure, maxes, squad, stock
from heftwright.usecases.class_changes import get_changed_since
from heftwright.usecases.squad import get_squad
from heftwright.usecases.stock import get_stock

CLASS = {"gym": GYM, "class_key": CLASS_KEY, "on": MONDAY}


def changed():
    return get_changed_since(gym=GYM, planned=OF.planned())


def hurt(athlete):
    shoulder = Restriction("overhead", since=MONDAY, note="shoulder")
    squad.add_restriction(gym=GYM, by=BY, athlete=athlete.id, restriction=shoulder)


@pytest.fixture
def afternoon(evening):
    with evening(-60):
        yield evening


@pytest.fixture
def here():
    coming = OF.planned().present
    return [athlete for athlete in get_squad(gym=GYM) if athlete.id in coming]


def test_a_plan_that_nothing_was_changed_since_says_nothing(afternoon):
    assert changed() == ()


def test_who_may_no_longer_do_everything_is_named_and_only_if_they_come(afternoon, here):
    elsewhere = next(item for item in get_squad(gym=GYM) if item.id not in OF.planned().present)
    hurt(elsewhere)
    assert changed() == ()
    hurt(here[0])
    assert changed() == (f"what {here[0].name} may do",)


def test_another_body_mass_is_said_with_the_name_alone(afternoon, here):
    heavier = replace(here[0], body_mass=Mass.kg(101))
    squad.change_athlete(gym=GYM, by=BY, athlete=heavier)
    assert changed() == (here[0].name,)


def test_somebody_who_left_the_gym_is_named_still(afternoon, here):
    squad.remove_athlete(gym=GYM, by=BY, athlete=here[0].id)
    assert changed() == (here[0].name,)


def test_of_somebody_who_was_erased_only_that_is_said(afternoon, here):
    gone = here[0]
    hurt(gone)
    single = Evidence(gone.id, "deadlift", EvidenceKind.TEST, Mass.kg(150), MONDAY, 1)
    maxes.record_max(gym=GYM, by=BY, evidence=single, is_confirmed=True)
    erasure.erase_athlete(gym=GYM, by=BY, athlete=gone.id, typed_name=gone.name)
    assert changed() == ("a record that was erased",)


def test_a_bar_that_may_carry_less_is_named(afternoon):
    bar = get_stock(gym=GYM).bars[0]
    stock.change_item(gym=GYM, by=BY, item=replace(bar, rating=Mass.kg(120)))
    assert changed() == (f"bar “{bar.name}”",)


def test_a_max_recorded_since_is_said_of_those_who_come(afternoon, here):
    single = Evidence(here[0].id, "deadlift", EvidenceKind.TEST, Mass.kg(150), MONDAY, 1)
    maxes.record_max(gym=GYM, by=BY, evidence=single, is_confirmed=True)
    assert changed() == (f"a max of {here[0].name}",)


def test_planned_again_it_is_up_to_date(evening, here):
    with evening(-60):
        hurt(here[0])
    with evening(-50):
        assert changed() != ()
        classes.plan_class(**CLASS, by=BY)
        assert changed() == ()


def test_after_a_great_change_only_so_many_are_named(afternoon, here):
    for athlete in here:
        hurt(athlete)
    assert len(changed()) == 7
    assert changed()[-1] == f"{len(here) - 6} more"
    assert changed()[0] == f"what {here[-1].name} may do"  # the latest first


def test_a_past_class_has_nothing_to_be_brought_up_to_date(evening, here):
    with evening(-60):
        hurt(here[0])
    with evening(24 * 60):
        assert changed() == ()
