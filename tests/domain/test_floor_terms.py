"""The gym's own times and prices, and everybody's wishes, reach the floor problem."""

from __future__ import annotations

import pytest

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import (
    FloorPlate,
    FloorPlatform,
    FloorProblem,
    FloorTimes,
    Lifter,
    StackOrder,
)
from heftwright.domain.floor.terms import (
    BY_HAND_WEIGHT,
    Company,
    FloorTerms,
    FloorTermsError,
    FloorWish,
    on_terms,
)
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

ADA, BO, CY = AthleteId("ada"), AthleteId("bo"), AthleteId("cy")


def problem():
    return FloorProblem(
        tuple(Lifter(who, Mass.kg(100), 200, "bar") for who in (ADA, BO, CY)),
        (FloorPlatform("A", "bar", Mass.kg(20)), FloorPlatform("B", "bar", Mass.kg(20))),
        (FloorPlate("20", Mass.kg(20), 4),),
        schemes=(Scheme(12, 2, 45),),
    )


def planned(*wishes, terms=FloorTerms(), **company):  # noqa: B008 - a frozen value
    made = on_terms(problem(), terms, Company({wish.key: wish for wish in wishes}, **company))
    return {lifter.athlete: lifter for lifter in made.lifters}, made


def test_apart_holds_for_both_though_only_one_said_so():
    lifters, _ = planned(FloorWish(ADA, apart=(BO,)))
    assert lifters[ADA].apart == {BO}
    assert lifters[BO].apart == {ADA}
    assert lifters[CY].apart == frozenset()


def test_together_holds_for_both_and_only_among_those_here():
    lifters, _ = planned(FloorWish(ADA, together=(CY, AthleteId("away"))))
    assert lifters[ADA].together == {CY}
    assert lifters[CY].together == {ADA}


def test_beginners_are_those_who_are_marked_and_those_who_are_new():
    lifters, _ = planned(FloorWish(ADA, is_beginner=True), beginners={BO})
    assert [lifters[who].is_beginner for who in (ADA, BO, CY)] == [True, True, False]


def test_who_was_moved_by_hand_has_a_high_price_of_moving():
    lifters, _ = planned(by_hand={CY})
    assert lifters[CY].stay_weight == BY_HAND_WEIGHT
    assert lifters[ADA].stay_weight == 1


def test_times_prices_and_the_coachs_place_are_the_gyms_own():
    terms = FloorTerms(
        FloorTimes(collars_s=12),
        plate_on_s=4,
        plate_off_s=3,
        change_weight=2,
        finish_weight=0.5,
        coach_platforms=("B",),
        stack_order=StackOrder.HEAVY_INSIDE,
    )
    lifters, made = planned(FloorWish(BO, wants_coach_near=True), terms=terms)
    assert made.times.collars_s == 12
    assert made.plates[0].round_trip_s == 7
    assert (made.policy.change_weight, made.policy.finish_weight) == (2, 0.5)
    assert made.policy.stack_order is StackOrder.HEAVY_INSIDE
    assert [platform.is_near_coach for platform in made.platforms] == [False, True]
    assert lifters[BO].wants_coach_near


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"plate_on_s": 0}, "plate_on_s of 0 s is outside"),
        ({"warm_up_min": 90}, "warm-up of 90 min is outside"),
        ({"change_weight": 11}, "change_weight must be 0–10"),
    ],
)
def test_terms_that_nobody_can_mean_are_refused(wrong, words):
    with pytest.raises(FloorTermsError, match=words):
        FloorTerms(**wrong)


def test_a_wish_cannot_contradict_itself():
    with pytest.raises(FloorTermsError, match="both together with and apart"):
        FloorWish(ADA, together=(BO,), apart=(BO,))
    with pytest.raises(FloorTermsError, match="themselves"):
        FloorWish(ADA, together=(ADA,))


def test_an_empty_wish_knows_it():
    assert FloorWish(ADA).is_empty
    assert not FloorWish(ADA, wants_coach_near=True).is_empty
