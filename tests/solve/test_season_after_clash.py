"""Pins that clash over a block pinned after a main lift: it is named, with the way out."""

from __future__ import annotations

from datetime import timedelta

import pytest
from bench.season_gyms import START, gym_season, squad, timetable

from heftwright.domain.catalogue import LiftKey, Region, Slot
from heftwright.domain.outcome import Infeasible
from heftwright.domain.season import Pin, SeasonRules, SlotWork
from heftwright.domain.season.after_pins import impossible_after_pins
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.problem import Firmness, Removal
from heftwright.solve.season import solve_season
from heftwright.solve.season.conflict import clash_reasons, find_conflict
from heftwright.usecases.season_planning import Draft, SeasonEdits, planned_of, solve
from heftwright.usecases.season_refusals import SeasonConflictError

MEU, DEU = Slot.MAX_EFFORT_UPPER, Slot.DYNAMIC_UPPER
MEL, DEL = Slot.MAX_EFFORT_LOWER, Slot.DYNAMIC_LOWER
WEEK_3 = START + timedelta(weeks=3)
# Thursday's high deadlift and Friday's push press fit the spine's two-day budget of 7.5; with a
# box squat under the yoke bar after the deadlift they do not.
PULL = Pin(MEL, WEEK_3, LiftKey("high_deadlift"), firmness=Firmness.CONTEST)
PRESS = Pin(DEU, WEEK_3, LiftKey("push_press"), firmness=Firmness.CONTEST)
APART = Pin(MEU, START + timedelta(weeks=1), LiftKey("incline"))
SQUAT_AFTER = AfterPin(MEL, WEEK_3, LiftKey("yoke_bar_box_squat"))
KEG_APART = AfterPin(DEL, START + timedelta(weeks=1), LiftKey("keg_loading"))


def season(*after, pins=(PULL, PRESS, APART), **more):
    return gym_season(weeks=8, slots=(DEL, MEU, MEL, DEU), pins=pins, after_pins=after, **more)


def test_without_the_block_the_main_pins_hold():
    assert not isinstance(solve_season(season(KEG_APART), limit_s=0.5, gap=0.5), Infeasible)


def test_a_block_after_a_main_lift_is_named_in_the_clash_and_is_the_cheapest_to_take_back():
    problem = season(SQUAT_AFTER, KEG_APART)
    assert isinstance(solve_season(problem, limit_s=20), Infeasible)
    clash = find_conflict(problem)
    assert clash is not None
    assert set(clash.pins) == {PULL, PRESS}  # not the incline press
    assert clash.blocks == (SQUAT_AFTER,)  # not the kegs
    assert (clash.cheapest, clash.cheapest_blocks) == ((), (SQUAT_AFTER,))
    way_out, named = clash_reasons(problem, clash)
    block = "Yoke-bar box squat pinned after max-effort lower, week of 2026-09-28"
    assert way_out.endswith(f"Cheapest way out: take back {block}.")
    assert block in named
    assert "Push press pinned to Dynamic-effort upper" in named


@pytest.mark.parametrize("spared", [PULL, PRESS, SQUAT_AFTER])
def test_any_one_of_a_clash_less_and_the_others_can_hold(spared):
    pins = tuple(pin for pin in (PULL, PRESS) if pin is not spared)
    after = tuple(pin for pin in (SQUAT_AFTER,) if pin is not spared)
    assert find_conflict(season(*after, pins=pins)) is None


def test_main_pins_that_clash_by_themselves_leave_the_blocks_out_of_it():
    lift, soft = LiftKey("back_squat"), START + timedelta(weeks=2)
    firm = Pin(MEL, START + timedelta(weeks=1), lift, firmness=Firmness.RETEST)
    problem = season(KEG_APART, pins=(firm, Pin(MEL, soft, lift), APART))
    clash = find_conflict(problem)
    assert clash is not None
    assert {pin.monday for pin in clash.pins} == {firm.monday, soft}
    assert clash.blocks == ()
    assert [pin.monday for pin in clash.cheapest] == [soft]


def test_a_block_after_a_wave_under_way_says_whose_budget_it_exceeds():
    # A fast deadlift costs the spine 2.4 (4.5 × 0.6 × 0.9), a sandbag to shoulder after it 1.5;
    # a day of 3.5 has room for either.
    tight = {**SeasonRules().in_a_row_limit, Region.SPINE: 3.5}
    begun = SlotWork(DEL, START, LiftKey("deadlift"), wave_week=1, wave_weeks=3)
    block = AfterPin(DEL, START + timedelta(weeks=1), LiftKey("sandbag_shoulder"))
    problem = season(block, pins=(), done=(begun,), rules=SeasonRules(in_a_row_limit=tight))
    with pytest.raises(SeasonConflictError, match="more than a day's budget of the spine") as no:
        solve(problem, 0.5, None)
    assert "with the wave of Conventional deadlift under way" in str(no.value)
    assert "Take that pin back." in str(no.value)
    loose = season(block, pins=(), done=(begun,))
    assert impossible_after_pins(loose) == ()


def test_a_block_on_the_day_of_its_own_wave_is_refused():
    begun = SlotWork(DEL, START, LiftKey("box_squat"), wave_week=1, wave_weeks=3)
    block = AfterPin(DEL, START + timedelta(weeks=1), LiftKey("box_squat"))
    (said,) = impossible_after_pins(season(block, pins=(), done=(begun,)))
    assert "the wave under way there has it as its main lift" in said


def test_a_season_that_leaves_a_pinned_block_no_room_is_never_kept_and_says_so():
    main = solve(season(), 0.7, None).plan  # high deadlift and push press side by side
    draft = Draft(season(SQUAT_AFTER), main, None, SeasonEdits())
    with pytest.raises(SeasonConflictError, match="has no place there") as refused:
        planned_of(draft, START, 1)
    assert refused.value.conflict.after == refused.value.conflict.cheapest_after == (SQUAT_AFTER,)
    assert "Take that pin back, or pin the block in another week." in str(refused.value)


def test_a_main_lift_that_a_block_leaves_no_time_says_which_block_and_what_to_do():
    # Set-ups of 7 and 9 min, 45 min for the main lift and 20 after it: 81 min, in 80. Either alone
    # has its time.
    pull = Pin(MEL, WEEK_3, LiftKey("high_deadlift"))
    problem = season(SQUAT_AFTER, pins=(pull, APART), timetable=_short_classes())
    assert problem.removal_of(MEL, 3, pull.lift) is Removal.AFTER
    clash = find_conflict(problem)
    assert clash is not None
    assert (clash.pins, clash.blocks) == ((pull,), (SQUAT_AFTER,))
    assert (clash.cheapest, clash.cheapest_blocks) == ((), (SQUAT_AFTER,))
    ended = solve_season(problem, limit_s=0.5)
    assert isinstance(ended, Infeasible)
    block = "Yoke-bar box squat pinned after max-effort lower, week of 2026-09-28"
    assert f"cannot be: {block}, leaves it no time in that class." in ended.reasons[0]
    assert f"Take back {block}, or move or drop the main lift's pin." in ended.reasons[0]


def test_a_lift_pinned_twice_on_a_day_says_which_pin_to_take_back():
    box = LiftKey("box_squat")
    problem = season(AfterPin(MEL, WEEK_3, box), pins=(Pin(MEL, WEEK_3, box),))
    ended = solve_season(problem, limit_s=0.5)
    assert isinstance(ended, Infeasible)
    assert "you have pinned the same lift after that day's main lift" in ended.reasons[0]
    assert "Take back Box squat pinned after max-effort lower" in ended.reasons[0]


def _short_classes():
    return timetable(squad(8), (DEL, MEU, MEL, DEU), minutes=80)
