"""Max-effort days on the floor: every round has its own loads and stacks, up to the top sets."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import (
    FloorPlan,
    FloorPlate,
    FloorPlatform,
    FloorPolicy,
    FloorProblem,
    Lifter,
    StackOrder,
)
from heftwright.domain.floor.stacks import group_plan
from heftwright.domain.floor.work_up import WorkUpStep, spare_pairs, work_up, work_ups
from heftwright.domain.floor.work_up_checker import check_work_up
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

PLATES = tuple(
    FloorPlate(key, Mass.kg(key), pairs, is_full_diameter=float(key) >= 10, thickness_mm=30)
    for key, pairs in (("25", 4), ("20", 2), ("15", 2), ("10", 2), ("5", 2), ("2.5", 2))
)
BAR = FloorPlatform("A", "bar", Mass.kg(20), sleeve_mm=415)
TOPS = {"ada": ("25", "25", "10"), "bo": ("25", "25"), "cy": ("25", "20", "5")}


def problem(**changes):
    lifters = tuple(Lifter(AthleteId(who), Mass.kg(100), 120, "bar") for who in TOPS)
    return FloorProblem(lifters, (BAR,), PLATES, schemes=(Scheme(7, 1, 150),), **changes)


def group(floor=None, tops=TOPS):
    stacks = {AthleteId(who): stack for who, stack in tops.items()}
    return group_plan(floor or problem(), BAR, "straight", stacks)


def steps_to(top: Mass, shares=((0.4, 5), (0.55, 3), (0.7, 2), (0.8, 1), (0.9, 1), (0.95, 1))):
    kg = top.in_kg
    below = [
        WorkUpStep(
            Mass.nearest_kg(share * kg),
            Mass.nearest_kg(share * kg * 0.94),
            Mass.nearest_kg(share * kg * 1.02),
            reps,
        )
        for share, reps in shares
    ]
    return (*below, WorkUpStep(top, top, top, 1))


def all_steps(plan):
    return {turn.athlete: steps_to(turn.load) for turn in plan.order}


def made(floor=None):
    floor = floor or problem()
    spare = {plate.key: plate.pairs for plate in floor.plates}
    here = group(floor)
    return floor, here, spare, work_up(floor, here, all_steps(here), spare)


def loads_of(up, who):
    turns = (item.turn for turns in up.rounds for item in turns)
    return [turn.load for turn in turns if turn.athlete == who]


def test_everybody_rises_to_the_planned_top_set():
    floor, here, spare, up = made()
    assert check_work_up(floor, here, spare, up) == ()
    for turn in here.order:
        assert loads_of(up, turn.athlete)[-1] == turn.load
        assert len(loads_of(up, turn.athlete)) > 3


def test_the_checker_bites_when_a_load_is_not_what_the_plates_make():
    floor, here, spare, up = made()
    first = up.rounds[0][0]
    wrong = replace(first, turn=replace(first.turn, load=first.turn.load + Mass.kg(5)))
    rounds = ((wrong, *up.rounds[0][1:]), *up.rounds[1:])
    assert any("another load" in fault for fault in _faults(floor, here, spare, up, rounds))


def test_the_checker_bites_when_the_top_round_is_left_out():
    floor, here, spare, up = made()
    found = _faults(floor, here, spare, up, up.rounds[:-1])
    assert any("planned top load" in fault for fault in found)


def test_the_checker_bites_when_plates_are_short():
    floor, here, spare, up = made()
    found = check_work_up(floor, here, dict.fromkeys(spare, 0), up)
    assert any("are at hand" in fault for fault in found)


def _faults(floor, here, spare, up, rounds):
    return check_work_up(floor, here, spare, replace(up, rounds=rounds))


def test_a_chain_moves_no_more_plates_than_stripping_the_bar_every_turn():
    _, _, _, up = made()
    turns = [item.turn for turns in up.rounds for item in turns]
    assert up.moves < 4 * sum(len(turn.stack) for turn in turns)


def test_who_has_fewer_steps_joins_later_and_all_end_together():
    here = group()
    steps = all_steps(here)
    steps[AthleteId("bo")] = steps[AthleteId("bo")][-2:]
    up = work_up(problem(), here, steps, {plate.key: plate.pairs for plate in PLATES})
    assert AthleteId("bo") not in {item.turn.athlete for item in up.rounds[0]}
    assert {item.turn.athlete for item in up.rounds[-1]} == {"ada", "bo", "cy"}


def test_straight_sets_beside_a_work_up_keep_their_load():
    here = group()
    top = next(turn.load for turn in here.order if turn.athlete == "bo")
    steps = {**all_steps(here), AthleteId("bo"): (WorkUpStep(top, top, top, 3),) * 3}
    spare = {plate.key: plate.pairs for plate in PLATES}
    up = work_up(problem(), here, steps, spare)
    assert loads_of(up, "bo") == [top] * 3
    assert check_work_up(problem(), here, spare, up) == ()


def test_a_step_lighter_than_the_lightest_full_plate_is_left_to_the_warm_up():
    light = group(tops={"ada": ("10", "5"), "bo": ("10",)})
    up = work_up(problem(), light, all_steps(light), {plate.key: plate.pairs for plate in PLATES})
    assert all(load >= Mass.kg(40) for load in loads_of(up, "ada"))


def test_heavy_inside_is_kept_where_the_coach_wants_it():
    floor = problem(policy=FloorPolicy(stack_order=StackOrder.HEAVY_INSIDE))
    _, _, _, up = made(floor)
    for item in (item for turns in up.rounds for item in turns):
        masses = [float(key) for key in item.turn.stack]
        assert masses == sorted(masses, reverse=True)


def test_two_platforms_never_need_more_plates_than_there_are():
    second = replace(BAR, key="B")
    floor = replace(problem(), platforms=(BAR, second))
    tops_b = {"dov": ("25", "15"), "eli": ("25", "10", "5")}
    lifters = tuple(Lifter(AthleteId(who), Mass.kg(90), 110, "bar") for who in tops_b)
    floor = replace(floor, lifters=(*floor.lifters, *lifters))
    one = group(floor)
    two = group_plan(floor, second, "straight", {AthleteId(w): s for w, s in tops_b.items()})
    plan = FloorPlan((one, two), (), floor.scheme)
    ups = work_ups(floor, plan, all_steps(one) | all_steps(two))
    total = {}
    for up in ups.values():
        for key in {key for turns in up.rounds for item in turns for key in item.turn.stack}:
            most = max(item.turn.stack.count(key) for turns in up.rounds for item in turns)
            total[key] = total.get(key, 0) + most
    assert all(pairs <= floor.plates_by_key()[key].pairs for key, pairs in total.items())


def test_without_a_shared_stock_every_platform_has_the_whole_shelf():
    floor = problem(policy=FloorPolicy(shares_plates=False))
    needs = {"A": group().plates_needed(), "B": group().plates_needed()}
    assert spare_pairs(floor, needs, "A") == {plate.key: plate.pairs for plate in PLATES}
    shared = spare_pairs(problem(), needs, "A")
    assert shared["25"] == 4 - 2


@settings(max_examples=25, deadline=None)
@given(
    tops=st.lists(
        st.tuples(
            st.sampled_from(["25", "20", "15", "10"]),
            st.lists(st.sampled_from(["25", "20", "10", "5", "2.5"]), max_size=2, unique=True),
        ),
        min_size=1,
        max_size=5,
    ),
    order=st.sampled_from(list(StackOrder)),
)
def test_every_work_up_stands_up_to_its_checker(tops, order):
    stacks = {
        f"a{at}": tuple(sorted((first, *more), key=lambda key: -float(key)))
        for at, (first, more) in enumerate(tops)
    }
    lifters = tuple(Lifter(AthleteId(who), Mass.kg(100), 120, "bar") for who in stacks)
    floor = replace(problem(policy=FloorPolicy(stack_order=order)), lifters=lifters)
    here = group(floor, stacks)
    if any(not floor.plates_by_key()[turn.stack[0]].is_full_diameter for turn in here.order):
        return
    spare = {plate.key: plate.pairs for plate in PLATES}
    up = work_up(floor, here, all_steps(here), spare)
    assert check_work_up(floor, here, spare, up) == ()
    assert up.finish_s == pytest.approx(sum(up.rounds_s))
