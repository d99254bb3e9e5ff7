"""Stacks, changes and cycles: only the outermost plate comes off."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import (
    FloorPlan,
    FloorPlate,
    FloorPlatform,
    FloorProblem,
    FloorTimes,
    Lifter,
)
from heftwright.domain.floor.stacks import (
    change,
    change_round_s,
    common_prefix,
    depth_first,
    group_plan,
    load_of,
    moves_of,
    strip_order,
    tidied,
    tree_edges,
    without,
)
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

PLATES = {
    "25": FloorPlate("25", Mass.kg(25), 4, True, 2.5, 2.5),
    "10": FloorPlate("10", Mass.kg(10), 4, True, 2.0, 2.0),
    "5": FloorPlate("5", Mass.kg(5), 4, False, 1.5, 1.5),
    "2.5": FloorPlate("2.5", Mass.kg("2.5"), 4, False, 1.5, 1.5),
}
stacks = st.lists(st.sampled_from(sorted(PLATES)), max_size=4).map(tuple)
classes = st.lists(stacks, min_size=1, max_size=4)


def problem_for(athletes, *, sets=12) -> FloorProblem:
    return FloorProblem(
        lifters=tuple(Lifter(who, Mass.kg(100), 200.0, "bar") for who in athletes),
        platforms=(FloorPlatform("P1", "bar", Mass.kg(20)),),
        plates=tuple(PLATES.values()),
        schemes=(Scheme(sets, 2, 45),),
        times=FloorTimes(8.0, 8.0, 3.0, 4.0),
    )


def test_a_load_is_the_bar_and_both_sides():
    assert load_of(Mass.kg(20), ("25", "10", "2.5"), PLATES) == Mass.kg(95)
    assert load_of(Mass.kg(20), (), PLATES) == Mass.kg(20)


def test_pound_plates_on_a_kilogram_bar_add_up_exactly():
    plate = {"45": FloorPlate("45", Mass.lb(45), 1)}
    assert load_of(Mass.kg(20), ("45",), plate).ticks == Mass.kg(20).ticks + 2 * Mass.lb(45).ticks


def test_a_change_goes_down_to_the_common_stack_and_up_again():
    assert change(("25", "10", "5"), ("25", "2.5")) == (("5", "10"), ("2.5",))
    assert change(("25",), ("25",)) == ((), ())
    assert change((), ("25", "5")) == ((), ("25", "5"))


def test_what_is_inside_a_small_plate_cannot_be_reached_without_it():
    off, on = change(("5", "25"), ("25",))
    assert off == ("25", "5")
    assert on == ("25",)


@given(before=stacks, after=stacks)
def test_doing_a_change_turns_one_stack_into_the_other(before, after):
    sleeve = list(before)
    off, on = change(before, after)
    for plate in off:
        assert sleeve.pop() == plate
    assert tuple(sleeve) + on == after


def test_the_common_stack_stays_on_all_through_the_class():
    assert common_prefix([("25", "10"), ("25", "5"), ("25",)]) == ("25",)
    assert common_prefix([]) == ()
    assert tree_edges([("25", "10"), ("25", "5", "2.5"), ("25", "5")]) == (
        ["25"],
        ["10", "5", "2.5"],
    )


def test_one_stack_for_everybody_needs_no_change_and_no_collars():
    assert change_round_s([("25", "10")] * 4, PLATES, 8.0) == 0.0


def test_a_hand_worked_round():
    # 25 stays; 10 on and off (4 s), 5 on and off (3 s), two distinct stacks × 8 s collars
    assert change_round_s([("25", "10"), ("25", "5")], PLATES, 8.0) == pytest.approx(23.0)
    # both sides, on and off: 25 once a class, 10 and 5 twelve times
    assert moves_of([("25", "10"), ("25", "5")], 12) == 4 * (1 + 12 * 2)


def cyclic_change_s(order, plates, collars_s):
    total = 0.0
    for place, stack in enumerate(order):
        off, on = change(order[place - 1], stack)
        total += sum(plates[key].off_s for key in off) + sum(plates[key].on_s for key in on)
        total += collars_s if off or on else 0.0
    return total


@settings(max_examples=60, deadline=None)
@given(classes)
def test_no_turn_order_changes_plates_in_less_time_than_depth_first(listed):
    named = {AthleteId(f"A{place}"): stack for place, stack in enumerate(listed)}
    order = [named[who] for who in depth_first(named)]
    depth = cyclic_change_s(order, PLATES, 8.0)
    best = min(cyclic_change_s(other, PLATES, 8.0) for other in permutations(listed))
    assert depth == pytest.approx(best)
    assert depth == pytest.approx(change_round_s(listed, PLATES, 8.0))


@given(classes)
def test_depth_first_calls_everybody_once(listed):
    named = {AthleteId(f"A{place}"): stack for place, stack in enumerate(listed)}
    assert sorted(depth_first(named)) == sorted(named)


def test_a_wished_order_is_kept_where_it_costs_no_move():
    named = {
        AthleteId(key): ("25", plate) for key, plate in zip("abc", ("10", "5", "2.5"), strict=True)
    }
    wish = [AthleteId("c"), AthleteId("a"), AthleteId("b")]
    assert depth_first(named, wish) == wish


def test_stripping_goes_from_side_to_side_one_plate_at_a_time():
    assert strip_order(("5", "25")) == (
        ("left", "5"), ("right", "5"), ("left", "25"), ("right", "25"),
    )  # fmt: skip


@settings(max_examples=50, deadline=None)
@given(classes)
def test_stripping_never_leaves_the_sides_more_than_one_plate_apart(listed):
    off = listed[0]
    on_side = {"left": len(off), "right": len(off)}
    for side, _ in strip_order(off):
        on_side[side] -= 1
        assert abs(on_side["left"] - on_side["right"]) <= 1


def test_a_group_waits_for_the_asked_rest_when_it_is_quicker():
    athletes = [AthleteId("a"), AthleteId("b")]
    problem = problem_for(athletes)
    plan = group_plan(problem, problem.platforms[0], "straight", dict.fromkeys(athletes, ("25",)))
    # 2 × (10 + 8) = 36 s of work, 45 + 10 = 55 s asked
    assert plan.round_s == pytest.approx(55.0)
    assert plan.finish_s == pytest.approx(12 * 55.0)
    assert plan.moves == 4


def test_a_full_platform_is_as_slow_as_its_turns_and_changes():
    # Six turns of 10 s under the bar and 8 s of set-up, and one round of changes: 10 on and off
    # 4 s, 5 on and off 3 s, collars twice 8 s.
    named = {AthleteId(name): ("25", "10" if name < "d" else "5") for name in "abcdef"}
    problem = problem_for(list(named))
    plan = group_plan(problem, problem.platforms[0], "straight", named)
    assert plan.change_s == pytest.approx(23.0)
    assert plan.round_s == pytest.approx(6 * 18 + 23.0)


def test_collars_come_off_for_a_plate_that_is_only_added_or_only_taken():
    named = {AthleteId("a"): ("25",), AthleteId("b"): ("25", "10")}
    problem = problem_for(list(named))
    plan = group_plan(problem, problem.platforms[0], "straight", named)
    assert plan.change_s == pytest.approx(2.0 + 2.0 + 2 * 8.0)


def test_whoever_is_taken_off_leaves_the_others_to_change_from_each_other():
    named = {AthleteId("a"): ("25",), AthleteId("b"): ("25", "10"), AthleteId("c"): ("25", "5")}
    problem = problem_for(list(named))
    platform = problem.platforms[0]
    group = group_plan(problem, platform, "straight", named)
    whole = FloorPlan((group,), (), problem.scheme)
    kept = {who: stack for who, stack in named.items() if who != "b"}
    (left,) = without(problem, whole, {AthleteId("b")}).groups
    assert left == group_plan(problem, platform, "straight", kept)
    assert without(problem, whole, {AthleteId("z")}) == whole
    assert without(problem, whole, set(named)).groups == ()


def test_what_everybody_shares_is_put_on_once_and_taken_off_once():
    named = {AthleteId("a"): ("25", "25", "10"), AthleteId("b"): ("25", "25", "5")}
    problem = problem_for(list(named))
    plan = group_plan(problem, problem.platforms[0], "straight", named)
    assert plan.moves == 4 * (2 + 12 * 2)  # both sides, on and off


def test_the_first_turn_shows_the_change_from_the_last():
    named = {AthleteId("a"): ("25",), AthleteId("b"): ("25", "10")}
    problem = problem_for(list(named))
    plan = group_plan(problem, problem.platforms[0], "straight", named)
    first, last = plan.order
    assert (first.off, first.on) == (("10",), ())
    assert (last.off, last.on) == ((), ("10",))
    assert plan.moves == 4 * (1 + 12)
    assert plan.plates_needed() == {"25": 1, "10": 1}


def tidy(*found, from_floor=True, as_before=()):
    named = {AthleteId(str(at)): stack for at, stack in enumerate(found)}
    done = tidied(named, PLATES, from_floor=from_floor, as_before=as_before)
    return [done[who] for who in named]


def test_no_small_plate_is_shut_in_where_that_saves_nothing():
    assert tidy(("10", "2.5", "25"), ("10", "2.5", "25", "5")) == [
        ("25", "10", "2.5"),
        ("25", "10", "2.5", "5"),
    ]
    assert tidy(("25", "2.5", "10")) == [("25", "10", "2.5")]


def test_what_lay_inside_so_far_stays_there():
    assert tidy(("25", "10", "5"), as_before=("10", "25")) == [("10", "25", "5")]
    assert tidy(("25", "10", "5"), as_before=("5",)) == [("25", "10", "5")]  # not full diameter


def test_from_the_floor_a_full_size_plate_is_first_even_if_it_is_lighter():
    plates = {**PLATES, "11": FloorPlate("11", Mass.kg(11), 2, False)}
    done = tidied({AthleteId("a"): ("10", "11")}, plates, from_floor=True)
    assert done == {"a": ("10", "11")}
    assert tidied({AthleteId("a"): ("10", "11")}, plates, from_floor=False) == {"a": ("11", "10")}


@given(found=classes, as_before=stacks, from_floor=st.booleans())
def test_tidying_changes_no_load_and_costs_no_move(found, as_before, from_floor):
    if from_floor:  # as a bar on the floor is loaded
        found = [("25", *stack) if stack else stack for stack in found]
    done = tidy(*found, from_floor=from_floor, as_before=as_before)
    assert [sorted(stack) for stack in done] == [sorted(stack) for stack in found]
    assert moves_of(done, 12) <= moves_of(found, 12)
    assert change_round_s(done, PLATES, 8) <= change_round_s(found, PLATES, 8)
    if from_floor:
        assert all(PLATES[stack[0]].is_full_diameter for stack in done if stack)
