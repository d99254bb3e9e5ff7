"""A coach adds a lift in a minute: copy the nearest, change it, and it is there everywhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from season_scenarios import NEW_YEAR, own_lift
from yard_cast import TERMINAL

from heftwright.domain.catalogue import LiftKey, Region, load_catalogue
from heftwright.domain.catalogue.lift import CatalogueDataError
from heftwright.domain.catalogue.own import copy_of, nearest_lift
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId
from heftwright.domain.squad.closed import ClosedSpan, ClosedSpanError
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.usecases import closed_days, lifts, maxes, trail
from heftwright.usecases.lifts import catalogue_of

AXLE = load_catalogue()[LiftKey("axle_deadlift")]


def test_a_new_lift_starts_from_the_one_whose_name_is_most_like_it():
    found = nearest_lift(load_catalogue(), "Axle deadlift from high blocks")
    assert "axle" in found.name.lower()


def test_a_copied_lift_keeps_everything_but_its_name():
    mine = copy_of(AXLE, "Wheel axle deadlift")
    assert mine.key == "wheel_axle_deadlift"
    assert replace(mine, key=AXLE.key, name=AXLE.name) == AXLE


def test_an_own_lift_is_in_the_gyms_catalogue_and_in_nobody_elses(yard):
    lifts.keep_lift(gym=yard, by=TERMINAL, lift=own_lift(), is_new=True)
    assert catalogue_of(yard)[own_lift().key] == own_lift()
    assert own_lift().key not in load_catalogue()
    assert len(catalogue_of(yard)) == len(load_catalogue()) + 1


def test_a_max_can_be_recorded_in_an_own_lift_and_is_believed(yard):
    lifts.keep_lift(gym=yard, by=TERMINAL, lift=own_lift(), is_new=True)
    single = Evidence(
        AthleteId("ada"), own_lift().key, EvidenceKind.TEST, Mass.kg(140), date(2026, 11, 1)
    )
    maxes.record_max(gym=yard, by=TERMINAL, evidence=single, is_confirmed=True)
    beliefs = maxes.get_beliefs(gym=yard, on=date(2026, 11, 2))
    assert abs(beliefs[AthleteId("ada"), own_lift().key].median_kg - 140) < 10


def test_a_changed_shipped_lift_stands_in_its_place_and_can_go_back(yard):
    lifts.keep_lift(gym=yard, by=TERMINAL, lift=replace(AXLE, setup_min=9.0))
    assert catalogue_of(yard)[AXLE.key].setup_min == 9.0
    assert list(catalogue_of(yard)) == list(load_catalogue())
    lifts.drop_lift(gym=yard, by=TERMINAL, lift=AXLE.key)
    assert catalogue_of(yard) is load_catalogue()


def test_removing_a_lift_can_be_undone(yard):
    lifts.keep_lift(gym=yard, by=TERMINAL, lift=own_lift(), is_new=True)
    lifts.drop_lift(gym=yard, by=TERMINAL, lift=own_lift().key)
    act = trail.get_trail(gym=yard, limit=1)[0].act
    trail.undo(gym=yard, by=TERMINAL, act=act)
    assert lifts.get_own_lifts(gym=yard) == (own_lift(),)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"setup_min": 90.0}, "Set-up of .* must lie in 0–60 min"),
        ({"last_heavy_days": 40}, "must lie in 0–28 days before"),
        ({"exposure": {Region.SPINE: 7.0}}, "Strain on spine .* must lie in 0–5"),
        ({"kit": ("anvil",)}, "needs kit that no gym counts: anvil"),
        ({"name": " "}, "1–60 characters"),
        ({"name": AXLE.name.upper()}, "There is a lift called"),
    ],
)
def test_a_number_outside_its_range_is_refused_with_the_range(yard, change, said):
    with pytest.raises(CatalogueDataError, match=said):
        lifts.keep_lift(gym=yard, by=TERMINAL, lift=replace(own_lift(), **change))
    assert lifts.get_own_lifts(gym=yard) == ()


def test_a_new_lift_never_overwrites_another(yard):
    with pytest.raises(Refusal, match="already: name it apart"):
        lifts.keep_lift(gym=yard, by=TERMINAL, lift=AXLE, is_new=True)


def test_only_an_own_lift_can_be_dropped(yard):
    with pytest.raises(NotFoundError, match="no lift “axle_deadlift” of its own"):
        lifts.drop_lift(gym=yard, by=TERMINAL, lift=AXLE.key)


def test_closed_days_stand_by_their_first_day(yard):
    easter = ClosedSpan(date(2027, 3, 26), date(2027, 3, 29), "Easter")
    for span in (easter, NEW_YEAR):
        closed_days.close_days(gym=yard, by=TERMINAL, span=span)
    assert closed_days.get_closed_days(gym=yard) == (NEW_YEAR, easter)
    closed_days.open_days(gym=yard, by=TERMINAL, first=NEW_YEAR.first)
    assert closed_days.get_closed_days(gym=yard) == (easter,)


@pytest.mark.parametrize(
    ("first", "last", "why", "said"),
    [
        (date(2027, 1, 2), date(2027, 1, 1), "x", "must not lie before"),
        (date(2027, 1, 1), date(2027, 12, 1), "x", "more than 62 days"),
        (date(2027, 1, 1), date(2027, 1, 1), " ", "why the gym is shut"),
    ],
)
def test_a_gym_cannot_be_shut_so(first, last, why, said):
    with pytest.raises(ClosedSpanError, match=said):
        ClosedSpan(first, last, why)
