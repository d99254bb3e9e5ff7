"""The independent checker: each thing that can be wrong is made wrong once and must be named."""

from __future__ import annotations

from dataclasses import replace

import pytest

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import (
    FloorPlan,
    FloorPlate,
    FloorPlatform,
    FloorPolicy,
    FloorProblem,
    FloorSetUp,
    FloorTimes,
    Lifter,
    StackOrder,
    check_floor,
)
from heftwright.domain.floor.stacks import group_plan, ordered_group
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

A, B, C = (AthleteId(name) for name in "abc")


def lifter(who: AthleteId, target: int, **changes) -> Lifter:
    set_ups = changes.pop("set_ups", {"straight": 0.0})
    return Lifter(who, Mass.kg(target), 200.0, "bar", set_ups, **changes)


def floor(**changes) -> FloorProblem:
    problem = FloorProblem(
        lifters=(lifter(A, 70), lifter(B, 80), lifter(C, 70)),
        platforms=(
            FloorPlatform("P1", "bar", Mass.kg(20)),
            FloorPlatform("P2", "axle", Mass.kg(20)),
        ),
        plates=(
            FloorPlate("25", Mass.kg(25), 2, True, 2.5, 2.5),
            FloorPlate("5", Mass.kg(5), 1, False, 1.5, 1.5),
        ),
        set_ups=(FloorSetUp("straight"), FloorSetUp("grey", {"grey": 1})),
        bands={"grey": 1},
        schemes=(Scheme(12, 2, 45),),
        times=FloorTimes(8.0, 8.0, 3.0, 4.0),
    )
    return replace(problem, **changes)


def plan(problem: FloorProblem, *, set_up="straight", platform=0, stacks=None) -> FloorPlan:
    stacks = stacks or {A: ("25",), B: ("25", "5"), C: ("25",)}
    group = group_plan(problem, problem.platforms[platform], set_up, stacks)
    return FloorPlan((group,), (), problem.scheme)


def with_group(good: FloorPlan, **changes) -> FloorPlan:
    return replace(good, groups=(replace(good.groups[0], **changes), *good.groups[1:]))


def faults(problem: FloorProblem, tried: FloorPlan) -> str:
    return " / ".join(check_floor(problem, tried))


def test_a_good_plan_has_no_fault():
    problem = floor()
    assert check_floor(problem, plan(problem)) == ()


def test_everybody_is_on_the_floor_once():
    problem = floor()
    without = plan(problem, stacks={A: ("25",), B: ("25", "5")})
    assert "c is on the floor 0 times" in faults(problem, without)
    twice = replace(without, groups=without.groups, unplaced=((A, "x"), (C, "x")))
    assert "a is on the floor 2 times" in faults(problem, twice)


def test_a_stranger_on_the_floor_is_named():
    problem = floor(lifters=(lifter(A, 70), lifter(B, 80)))
    assert "c is on the floor but not in the class" in faults(problem, plan(floor()))


def test_nobody_is_dropped_without_a_reason():
    problem = floor()
    silent = replace(plan(problem, stacks={A: ("25",), B: ("25", "5")}), unplaced=((C, " "),))
    assert "c is unplaced without a reason" in faults(problem, silent)


def test_a_plan_for_another_scheme_is_no_plan():
    problem = floor()
    assert "6 × 4" in faults(problem, replace(plan(problem), scheme=Scheme(6, 4)))


def test_a_platform_has_one_group_and_is_there():
    problem = floor()
    good = plan(problem)
    assert "P9 is not on the floor" in faults(problem, with_group(good, platform="P9"))
    double = replace(good, groups=good.groups * 2)
    assert "P1 has two groups" in faults(problem, double)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"group_max": 2}, "a group of 3 is outside"),
        ({"group_min": 4, "lone_allowed": False}, "a group of 3 is outside 4–5"),
        ({"stack_order": StackOrder.HEAVY_INSIDE}, ""),
    ],
)
def test_group_sizes_and_orders_follow_the_policy(changes, said):
    problem = floor(policy=FloorPolicy(**changes))
    found = faults(problem, plan(problem))
    assert said in found
    assert bool(found) == bool(said)


def test_a_bar_of_another_kind_is_noticed():
    problem = floor()
    assert "wants bar kind “bar”; platform P2 has “axle”" in faults(
        problem, plan(problem, platform=1)
    )


def test_who_needs_a_rack_gets_one():
    problem = floor(
        lifters=(lifter(A, 70, needs_rack=True), lifter(B, 80), lifter(C, 70)),
        platforms=(FloorPlatform("P1", "bar", Mass.kg(20), has_rack=False),),
    )
    assert "a needs a rack; platform P1 has none" in faults(problem, plan(problem))


def test_a_set_up_must_suit_everybody_and_the_pegs():
    problem = floor()
    assert "a cannot use set-up “grey”" in faults(problem, plan(problem, set_up="grey"))
    pegless = floor(
        platforms=(FloorPlatform("P1", "bar", Mass.kg(20), set_ups=frozenset({"straight"})),)
    )
    assert "its pegs do not allow set-up “grey”" in faults(pegless, plan(pegless, set_up="grey"))


def test_a_load_that_is_not_its_plates_is_noticed():
    problem = floor()
    good = plan(problem)
    turn = replace(good.groups[0].order[0], load=Mass.kg(72))
    wrong = with_group(good, order=(turn, *good.groups[0].order[1:]))
    assert "the plates make another load than 72 kg" in faults(problem, wrong)


def test_a_load_outside_the_tolerance_is_noticed():
    problem = floor()
    heavy = plan(problem, stacks={A: ("25", "5"), B: ("25", "5"), C: ("25",)})
    assert "a: the load is above target by more than the tolerance" in faults(problem, heavy)
    light = plan(problem, stacks={A: ("25",), B: ("25",), C: ("25",)})
    assert "b: a load nearer to target can be made" in faults(problem, light)


def test_a_load_that_may_never_be_above_its_target_has_its_room_below():
    # trust.md, rounding: down by default.
    strict = lifter(A, 72, never_above=True)
    problem = floor(lifters=(strict, lifter(B, 80), lifter(C, 70)))
    assert strict.heaviest == strict.target
    assert "a target that must not be passed" not in faults(problem, plan(problem))
    above = floor(lifters=(lifter(A, 68, never_above=True), lifter(B, 80), lifter(C, 70)))
    assert "a: the load is above a target that must not be passed" in faults(above, plan(above))


def test_the_nearest_below_is_right_where_nothing_is_within_tolerance():
    problem = floor(lifters=(lifter(A, 70), lifter(B, 77), lifter(C, 70)))
    low = {A: ("25",), B: ("25",), C: ("25",)}
    strict = replace(
        problem, lifters=tuple(replace(who, tolerance_ratio=0.0) for who in problem.lifters)
    )
    assert check_floor(strict, plan(strict, stacks=low)) == ()


def test_from_the_floor_the_first_plate_is_full_diameter():
    problem = floor()
    small = plan(problem, stacks={A: ("5", "25"), B: ("25", "5"), C: ("25",)})
    assert "a: the innermost plate must be full diameter" in faults(problem, small)


def test_heavy_inside_is_checked_where_asked_for():
    problem = floor(policy=FloorPolicy(stack_order=StackOrder.HEAVY_INSIDE, starts_on_floor=False))
    outside = plan(problem, stacks={A: ("25",), B: ("5", "25"), C: ("25",)})
    assert "b: a heavier plate is outside a lighter one" in faults(problem, outside)


def test_an_unknown_plate_is_named():
    problem = floor()
    good = plan(problem)
    turn = replace(good.groups[0].order[0], stack=("17",))
    wrong = with_group(good, order=(turn, *good.groups[0].order[1:]))
    assert "plate “17” is not in stock" in faults(problem, wrong)


def test_changes_are_re_enacted_on_the_sleeve():
    problem = floor()
    good = plan(problem)
    order = list(good.groups[0].order)
    order[-1] = replace(order[-1], on=())
    assert "the stack is not b's" in faults(problem, with_group(good, order=tuple(order)))
    order[0] = replace(order[0], off=("25", "5"))
    assert "“25” comes off but is not outermost" in faults(
        problem, with_group(good, order=tuple(order))
    )


@pytest.mark.parametrize("name", ["round_s", "finish_s", "change_s"])
def test_a_clock_that_does_not_add_up_is_noticed(name):
    problem = floor()
    good = plan(problem)
    wrong = with_group(good, **{name: getattr(good.groups[0], name) + 1})
    assert "the clock does not add up" in faults(problem, wrong)


def test_plate_moves_that_do_not_add_up_are_noticed():
    problem = floor()
    assert "the plate moves do not add up" in faults(problem, with_group(plan(problem), moves=1))


def test_a_dearer_turn_order_is_legal_but_its_clock_counts_it():
    problem = floor(plates=(*floor().plates, FloorPlate("2.5", Mass.kg("2.5"), 2, False)))
    stacks = [(A, ("25",)), (B, ("25", "5")), (C, ("25",))]
    group = ordered_group(problem, problem.platforms[0], "straight", stacks)
    assert check_floor(problem, FloorPlan((group,), (), problem.scheme)) == ()


def test_those_who_must_not_meet_do_not_meet():
    problem = floor(lifters=(lifter(A, 70, apart=frozenset({C})), lifter(B, 80), lifter(C, 70)))
    assert "a and c must not share platform P1" in faults(problem, plan(problem))


def test_plates_and_bands_are_counted_over_all_platforms():
    problem = floor(
        lifters=(lifter(A, 80), lifter(B, 80)),
        platforms=(
            FloorPlatform("P1", "bar", Mass.kg(20)),
            FloorPlatform("P2", "bar", Mass.kg(20)),
        ),
    )
    groups = tuple(
        group_plan(problem, problem.platforms[place], "straight", {who: ("25", "5")})
        for place, who in enumerate((A, B))
    )
    both = FloorPlan(groups, (), problem.scheme)
    assert "2 pairs of “5” are needed, 1 exist" in faults(problem, both)
    apart = replace(problem, policy=FloorPolicy(shares_plates=False))
    assert check_floor(apart, both) == ()
    banded = replace(
        problem,
        lifters=tuple(replace(who, set_ups={"grey": 0.0}) for who in problem.lifters),
        plates=(problem.plates[0], replace(problem.plates[1], pairs=2)),
    )
    grey = replace(both, groups=tuple(replace(group, set_up="grey") for group in groups))
    assert "2 pairs of band “grey” are needed, 1 exist" in faults(banded, grey)
