"""What the coach fixes after main lifts: kept, made room for, or refused with the way out."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from bench.season_gyms import EVENTS, START, contest, gym_season, squad, stock

from heftwright.domain.catalogue import LiftKey, Region, Slot, load_catalogue
from heftwright.domain.outcome import Infeasible
from heftwright.domain.season import Forbid, Pin
from heftwright.domain.season.after import after_options, with_after_work
from heftwright.domain.season.after_pins import impossible_after_pins
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.checker import check_main_work, check_season
from heftwright.domain.season.explain import explain
from heftwright.domain.season.problem import Removal
from heftwright.solve.season import solve_season

MEL, DEL = Slot.MAX_EFFORT_LOWER, Slot.DYNAMIC_LOWER
KEG = LiftKey("keg_loading")


def monday(week):
    return START + timedelta(weeks=week)


def planned(problem):
    ended = solve_season(problem, limit_s=0.4, gap=0.5)
    plan = getattr(ended, "plan", None) or ended.best
    return with_after_work(problem, plan)


def pinned(*pins, **more):
    return gym_season(weeks=8, after_pins=pins, **more)


def test_a_pinned_block_stands_where_the_coach_wants_it_and_says_so():
    problem = pinned(AfterPin(MEL, monday(3), KEG))
    plan, told = planned(problem)
    (block,) = plan.after_on(MEL, monday(3))
    assert block.lift == KEG
    assert "You have pinned it there." in told[block].reasons
    assert check_season(problem, plan) == ()


def test_main_lifts_leave_a_pinned_block_its_part_of_the_budget():
    # Keg loading costs the spine 1.3 (half of 2.5, halves up). Without a share kept back, a week
    # of 15 leaves the main lifts 13.7.
    lifts = load_catalogue()
    assert lifts[KEG].exposure[Region.SPINE] == 2.5
    problem = pinned(AfterPin(MEL, monday(3), KEG))
    problem = replace(problem, rules=replace(problem.rules, after_spine_share=0.0))
    plan, _ = planned(problem)
    assert plan.after_on(MEL, monday(3))
    assert check_season(problem, plan) == ()


def test_nothing_follows_where_the_coach_wants_nothing():
    free = gym_season(weeks=8)
    block = planned(free)[0].after[0]
    problem = pinned(AfterPin(block.slot, block.monday, None))
    plan, _ = planned(problem)
    assert not plan.after_on(block.slot, block.monday)
    assert check_season(problem, plan) == ()


def test_the_checker_misses_a_pinned_block_and_one_that_was_not_wanted():
    problem = pinned(AfterPin(MEL, monday(3), KEG))
    plan, _ = planned(problem)
    without = replace(plan, after=tuple(b for b in plan.after if b.lift != KEG))
    assert "Keg loading is pinned after" in " ".join(check_season(problem, without))
    assert check_main_work(problem, without) == ()
    nothing = replace(problem, after_pins=(AfterPin(MEL, monday(3), None),))
    assert "Nothing is pinned after" in " ".join(check_season(nothing, plan))


def test_the_main_lift_is_another_one_than_what_follows_it():
    box = LiftKey("box_squat")
    problem = pinned(AfterPin(MEL, monday(3), box))
    assert problem.removal_of(MEL, 3, box) is Removal.AFTER
    assert problem.removal_of(MEL, 2, box) is None


@pytest.mark.parametrize(
    ("pins", "more", "said"),
    [
        ([AfterPin(MEL, monday(7), KEG)], {}, "that day has no main lift"),
        ([AfterPin(MEL, monday(3), LiftKey("deadlift"))], {}, "no second lift or event practice"),
        ([AfterPin(MEL, monday(6), LiftKey("stone_series"))], {}, "too late for it"),
        ([AfterPin(MEL, monday(3), KEG)], {"stock": stock(keg=0)}, "the kit does not serve"),
        ([AfterPin(MEL, monday(3), KEG)], {"forbids": [Forbid(KEG, START, monday(5))]},
         "you have ruled it out"),
        ([AfterPin(MEL, monday(3), LiftKey("box_squat"))],
         {"pins": [Pin(MEL, monday(3), LiftKey("box_squat"))]}, "main lift as well"),
        ([AfterPin(MEL, monday(2), KEG), AfterPin(DEL, monday(4), KEG)], {},
         "too close together. Take one of the two pins back"),
    ],
)  # fmt: skip
def test_a_block_that_cannot_be_is_refused_with_the_reason_and_the_way_out(pins, more, said):
    problem = pinned(*pins, **more)
    reasons = " ".join(impossible_after_pins(problem))
    assert said in reasons
    assert "back" in reasons
    ended = solve_season(problem, limit_s=0.4)
    assert isinstance(ended, Infeasible)
    assert said in " ".join(ended.reasons)


def test_pins_that_stand_far_enough_apart_can_all_be():
    pins = [AfterPin(MEL, monday(week), KEG) for week in (1, 4)]
    assert impossible_after_pins(pinned(*pins)) == ()


def test_what_could_follow_says_what_it_adds_or_what_keeps_it_out():
    problem = gym_season(weeks=8)
    plan, _ = planned(problem)
    options = after_options(problem, plan, MEL, 3)
    assert options
    legal = [item for item in options if not item.breaks]
    assert legal == sorted(legal, key=lambda item: -item.points)
    assert all(item.breaks for item in options[len(legal) :])
    for item in legal[:2]:
        pin = AfterPin(MEL, monday(3), item.work.lift)
        taken, _ = with_after_work(replace(problem, after_pins=(pin,)), plan)
        assert check_season(replace(problem, after_pins=(pin,)), taken) == ()


def test_a_pin_of_a_lift_the_gym_has_no_more_is_said_and_stops_nothing_else():
    problem = pinned(AfterPin(MEL, monday(3), LiftKey("dropped_lift")))
    assert "no such lift any more" in " ".join(impossible_after_pins(problem))


def test_blocks_from_before_the_season_s_start_weigh_on_nothing():
    problem = gym_season(weeks=8)
    plan, _ = planned(problem)
    old = replace(plan.after[0], monday=monday(-1))
    older = replace(plan, after=(old, *plan.after))
    assert after_options(problem, older, MEL, 6) == after_options(problem, plan, MEL, 6)


def test_every_block_of_a_plan_with_pins_is_explained():
    athletes = squad(8)
    meet = contest(7, EVENTS[2:5], entrants=athletes)
    problem = pinned(AfterPin(DEL, monday(2), LiftKey("sandbag_shoulder")), contests=[meet])
    plan, told = planned(problem)
    assert all(told[block].reasons for block in plan.after)
    assert explain(problem, plan)
