"""The clock against worked arithmetic (checks.md, part B, G1 and G2: arithmetic)."""

from __future__ import annotations

import pytest

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import (
    FloorPlan,
    FloorPlate,
    FloorPlatform,
    FloorProblem,
    FloorProblemError,
    FloorTimes,
    Lifter,
    compare_schemes,
    waits,
)
from heftwright.domain.floor.clock import (
    fits_class,
    idle_s,
    rep_up_s,
    scheme_finish_s,
    sets_s,
    turn_starts_s,
)
from heftwright.domain.floor.stacks import group_plan
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

SCHEMES = (Scheme(12, 2, 45), Scheme(8, 3, 60), Scheme(6, 4, 60))


def floor(athletes: int, *, minutes: float | None = 60.0, schemes=SCHEMES) -> FloorProblem:
    return FloorProblem(
        lifters=tuple(
            Lifter(AthleteId(f"A{place}"), Mass.kg(70 + 10 * (place % 2)), 200.0, "bar")
            for place in range(athletes)
        ),
        platforms=(FloorPlatform("P1", "bar", Mass.kg(20)),),
        plates=(
            FloorPlate("25", Mass.kg(25), 4, True, 2.5, 2.5),
            FloorPlate("5", Mass.kg(5), 4, False, 1.5, 1.5),
        ),
        schemes=schemes,
        class_minutes=minutes,
        times=FloorTimes(8.0, 8.0, 3.0, 4.0),
    )


def plan_of(problem: FloorProblem) -> FloorPlan:
    stacks = {
        lifter.athlete: ("25",) if place % 2 == 0 else ("25", "5")
        for place, lifter in enumerate(problem.lifters)
    }
    group = group_plan(problem, problem.platforms[0], "straight", stacks)
    return FloorPlan((group,), (), problem.scheme)


def test_a_repetition_of_56_cm_at_70_cm_a_second_takes_0_80_s_up():
    # checks.md G1
    assert rep_up_s(0.56, 0.7) == pytest.approx(0.80, abs=0.01)


def test_nine_sets_of_ten_seconds_with_a_minute_between_take_570_s():
    # checks.md G2
    assert sets_s(9, 10, 60) == 570
    assert sets_s(0, 10, 60) == 0


@pytest.mark.parametrize(("range_m", "speed"), [(-0.1, 0.5), (0.5, 0.0)])
def test_a_repetition_needs_a_range_and_a_speed(range_m, speed):
    with pytest.raises(FloorProblemError, match="range of 0 m or more and a speed above 0"):
        rep_up_s(range_m, speed)


def test_a_round_is_sets_set_ups_and_changes():
    problem = floor(4)
    plan = plan_of(problem)
    # 4 × (4 + 2·3 + 8) = 72 s; one 5 on and off = 3 s; two stacks × 8 s collars
    assert plan.groups[0].change_s == pytest.approx(19.0)
    assert plan.groups[0].round_s == pytest.approx(91.0)
    assert plan.finish_s == pytest.approx(12 * 91.0)
    assert idle_s(problem, plan.groups[0]) == 0.0


def test_everybody_rests_a_round_less_their_own_set():
    problem = floor(4)
    found = waits(problem, plan_of(problem))
    assert [wait.rest_s for wait in found] == pytest.approx([81.0] * 4)
    assert not any(wait.is_long for wait in found)


def test_a_wait_far_beyond_the_asked_rest_is_told():
    problem = floor(5, schemes=(Scheme(12, 2, 30),))
    assert all(wait.is_long for wait in waits(problem, plan_of(problem)))


def test_nobody_waits_too_long_when_no_rest_was_asked():
    problem = floor(5, schemes=(Scheme(12, 2, 0),))
    assert not any(wait.is_long for wait in waits(problem, plan_of(problem)))


def test_a_pair_leaves_the_bar_idle_until_the_rest_is_over():
    problem = floor(2, schemes=(Scheme(12, 2, 180),))
    group = plan_of(problem).groups[0]
    assert group.round_s == pytest.approx(190.0)
    assert idle_s(problem, group) == pytest.approx(190.0 - 55.0)


def test_turns_start_after_their_change_and_set_up():
    problem = floor(2)
    starts = turn_starts_s(problem, plan_of(problem).groups[0])
    # 5 off 1.5 + collars 8 + set-up 8; then set 10, 5 on 1.5, collars 8, set-up 8
    assert starts == pytest.approx((17.5, 45.0))


def test_twelve_doubles_have_half_again_as_many_set_ups_as_eight_triples():
    problem = floor(4)
    twelve, eight, six = compare_schemes(problem, plan_of(problem))
    assert twelve.set_ups == 48
    assert eight.set_ups == 32
    assert twelve.set_ups / eight.set_ups == 1.5
    assert six.finish_s < eight.finish_s < twelve.finish_s


def test_the_first_scheme_of_the_phase_that_fits_is_recommended():
    problem = floor(4, minutes=15.0)
    clocks = compare_schemes(problem, plan_of(problem))
    assert [clock.fits for clock in clocks] == [False, True, True]
    assert [clock.is_recommended for clock in clocks] == [False, True, False]


def test_when_no_scheme_fits_the_shortest_is_recommended():
    problem = floor(4, minutes=2.0)
    clocks = compare_schemes(problem, plan_of(problem))
    assert [clock.is_recommended for clock in clocks] == [False, False, True]


def test_a_class_without_a_time_limit_fits_everything():
    problem = floor(4, minutes=None)
    assert fits_class(problem, 1e6)


def test_the_chosen_scheme_keeps_its_own_clock():
    problem = floor(4)
    plan = plan_of(problem)
    group = plan.groups[0]
    assert scheme_finish_s(problem, group, problem.scheme) == pytest.approx(group.finish_s)


def test_a_plan_without_groups_takes_no_time():
    problem = floor(4)
    empty = FloorPlan((), (), problem.scheme)
    assert empty.finish_s == 0
    assert compare_schemes(problem, empty)[0].finish_s == 0
