"""The coach moves somebody by hand: the cost is said, nobody else moves, the plan still checks."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from heftwright.domain.floor import FloorPolicy, check_floor
from heftwright.domain.floor.by_hand import FloorCost, HandMoveError, with_turn
from heftwright.domain.floor.instance import floor_instance
from heftwright.domain.floor.terms import BY_HAND_WEIGHT
from heftwright.domain.outcome import Solved
from heftwright.domain.squad import AthleteId
from heftwright.solve.floor import move_by_hand, replan_floor, solve_floor

INSTANCES = Path(__file__).parent.parent / "instances"


@pytest.fixture(scope="module")
def floor():
    record = json.loads((INSTANCES / "floor-3.json").read_text())
    return floor_instance(record, is_soft=True, policy=FloorPolicy())


@pytest.fixture(scope="module")
def plan(floor):
    answer = solve_floor(floor, limit_s=20)
    assert isinstance(answer, Solved)
    return answer.plan


def some_move(floor, plan):
    """A move that the bands and plates allow, and what came of it."""
    for group in plan.groups:
        for turn in group.order:
            for other in plan.groups:
                if other is not group and len(other.order) < 6 and len(group.order) > 2:
                    try:
                        moved = move_by_hand(floor, plan, turn.athlete, other.platform)
                    except HandMoveError:
                        continue
                    return turn.athlete, other.platform, moved
    raise AssertionError("no move is possible on this floor")


def platforms_of(plan):
    return {turn.athlete: group.platform for group in plan.groups for turn in group.order}


def test_only_the_one_who_is_moved_changes_platform_and_the_plan_checks(floor, plan):
    athlete, platform, moved = some_move(floor, plan)
    before, after = platforms_of(plan), platforms_of(moved)
    assert after[athlete] == platform
    assert {who: at for who, at in after.items() if who != athlete} == {
        who: at for who, at in before.items() if who != athlete
    }
    roomy = replace(floor, policy=replace(floor.policy, group_max=6))
    assert check_floor(roomy, moved) == ()


def test_a_move_from_the_best_plan_has_its_cost_in_words(floor, plan):
    _, _, moved = some_move(floor, plan)
    words = FloorCost.of(moved).words_against(FloorCost.of(plan))
    assert "plate moves" in words
    assert "done" in words


def test_words_say_fewer_and_sooner_as_well():
    good, bad = FloorCost(10, 20, 600), FloorCost(22, 28, 720)
    assert good.words_against(bad) == (
        "A round: 12 plate moves less, 8 s of changing less; done 2.0 min sooner."
    )
    assert good.words_against(good) == ("As many plate moves as before; done at the same time.")


def test_another_turn_is_taken_exactly_and_priced(floor, plan):
    group = max(plan.groups, key=lambda one: len(one.order))
    last = group.order[-1].athlete
    turned = with_turn(floor, plan, last, 1)
    assert turned.turn_of(last)[0].order[0].athlete == last
    assert check_floor(floor, turned) == ()
    assert FloorCost.of(turned).moves_a_round >= FloorCost.of(plan).moves_a_round


def test_a_turn_that_does_not_exist_is_refused(floor, plan):
    with pytest.raises(HandMoveError, match="has turns 1–"):
        with_turn(floor, plan, plan.groups[0].order[0].athlete, 9)


def test_a_platform_with_another_bar_is_refused_with_the_reason(floor, plan):
    other = replace(floor.platforms[-1], bar="log")
    mixed = replace(floor, platforms=(*floor.platforms[:-1], other))
    athlete = plan.groups[0].order[0].athlete
    with pytest.raises(
        HandMoveError, match="on platform P6 lies the log: choose a platform that has the bar"
    ):
        move_by_hand(mixed, plan, athlete, other.key)


def test_who_has_no_bar_cannot_be_moved(floor, plan):
    with pytest.raises(HandMoveError, match="has no bar"):
        move_by_hand(floor, plan, AthleteId("nobody"), plan.groups[0].platform)
    with pytest.raises(HandMoveError, match="has no bar"):
        with_turn(floor, plan, AthleteId("nobody"), 1)


def test_who_is_there_already_is_told_to_choose_a_turn(floor, plan):
    group = plan.groups[0]
    with pytest.raises(HandMoveError, match="already"):
        move_by_hand(floor, plan, group.order[0].athlete, group.platform)


def test_who_was_put_there_by_hand_stays_when_the_class_is_planned_again(floor, plan):
    athlete, platform, moved = some_move(floor, plan)
    held = tuple(
        replace(who, stay_weight=BY_HAND_WEIGHT) if who.athlete == athlete else who
        for who in floor.lifters
    )
    answer = replan_floor(replace(floor, lifters=held), moved, done_rounds=3)
    assert answer.plan.turn_of(athlete)[0].platform == platform


def test_whoever_the_plan_left_without_a_bar_can_be_put_on_a_platform_by_hand(floor):
    # four platforms of at most five for 24 lifters: somebody waits, and the coach makes a sixth
    short = replace(floor, platforms=floor.platforms[:4])
    answer = solve_floor(short, limit_s=5)
    plan = answer.plan if isinstance(answer, Solved) else answer.best
    assert plan.unplaced
    who, platform, moved = first_placed(short, plan)
    assert platforms_of(moved) == {**platforms_of(plan), who: platform}
    assert who not in {left for left, _ in moved.unplaced}
    assert len(moved.unplaced) == len(plan.unplaced) - 1
    roomy = replace(short, policy=replace(short.policy, group_max=6))
    assert check_floor(roomy, moved) == ()
    with pytest.raises(HandMoveError, match="has no bar in this plan"):
        move_by_hand(short, replace(plan, unplaced=()), who, platform)


def first_placed(floor, plan):
    """Somebody left out, and the first platform that can serve them."""
    for who, _ in plan.unplaced:
        for platform in floor.platforms:
            try:
                return who, platform.key, move_by_hand(floor, plan, who, platform.key)
            except HandMoveError:
                continue
    raise AssertionError("no platform serves anybody who was left out")
