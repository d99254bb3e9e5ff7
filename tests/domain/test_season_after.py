"""What follows the main lifts: second lifts, event practice, rep work, light weeks."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from bench.season_gyms import EVENTS, SLOT_DAYS, START, contest, gym_season, squad, stock
from bench.season_gyms import timetable as timetable_of

from heftwright.domain.catalogue import (
    LiftKey,
    MaxEffortScheme,
    Pattern,
    Slot,
    WeakPoint,
    load_catalogue,
)
from heftwright.domain.season import Forbid, ForbidPlace, SeasonRules
from heftwright.domain.season.after import after_options, with_after_work
from heftwright.domain.season.after_work import AfterKind, AfterPin, AfterWork, kind_after
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.emphasis import emphasis_on
from heftwright.domain.season.light import light_session, with_light_sessions
from heftwright.domain.season.problem import Removal
from heftwright.domain.season.warnings import warnings_of
from heftwright.domain.squad import Weekday
from heftwright.solve.season import solve_season

FOUR_DAYS = tuple(slot for slot in SLOT_DAYS if slot is not Slot.IMPLEMENT)


def planned(problem):
    """A quick plan of a problem with what follows its main lifts."""
    ended = solve_season(problem, limit_s=0.3, gap=0.5)
    plan = getattr(ended, "plan", None) or ended.best
    return with_after_work(problem, plan)


@pytest.fixture(scope="module")
def no_implement_day():
    problem = gym_season(weeks=8, slots=FOUR_DAYS)
    return problem, *planned(problem)


@pytest.fixture(scope="module")
def with_implement_day():
    problem = gym_season(weeks=8)
    return problem, *planned(problem)


def test_without_an_implement_day_events_are_practised_after_the_main_lift(no_implement_day):
    problem, plan, told = no_implement_day
    practised = {item.lift for item in plan.after if item.kind is AfterKind.EVENT_PRACTICE}
    assert {"yoke", "frame"} <= practised
    assert any("no implement day" in " ".join(told[item].reasons) for item in plan.after)
    assert check_season(problem, plan) == ()


def test_with_an_implement_day_second_lifts_come_on_the_lower_days_only(with_implement_day):
    problem, plan, _ = with_implement_day
    assert plan.after
    assert {item.kind for item in plan.after} == {AfterKind.SECOND_LIFT}
    assert all(item.slot.is_lower for item in plan.after)
    patterns = {problem.catalogue[item.lift].pattern for item in plan.after}
    assert patterns <= {Pattern.SQUAT, Pattern.LOAD}  # force in other shapes
    assert check_season(problem, plan) == ()


def test_second_lifts_find_room_beside_an_implement_day(with_implement_day):
    # Main work leaves them a tenth of the spine's budget; before that there were none.
    problem, plan, _ = with_implement_day
    weeks = {item.monday for item in plan.after}
    assert len(weeks) >= 2
    none_kept = replace(problem.rules, after_spine_share=0.0)
    assert check_season(replace(problem, rules=none_kept), plan) == ()
    all_kept = replace(problem, rules=replace(problem.rules, after_spine_share=0.9))
    assert any("no room for second lifts" in text for text in check_season(all_kept, plan))


def test_cleans_are_second_lifts_of_the_lower_days_and_nothing_else():
    lifts = load_catalogue()
    cleans = [lifts[LiftKey(key)] for key in ("power_clean", "log_clean", "axle_clean")]
    for lift in cleans:
        kinds = {slot: kind_after(lift, slot, has_implement_day=has_day)
                 for slot in Slot for has_day in (False, True)}  # fmt: skip
        assert {slot for slot, kind in kinds.items() if kind} == set(filter(is_lower, Slot))
        assert set(kinds.values()) == {AfterKind.SECOND_LIFT, None}
    problem = gym_season(weeks=8, after_pins=[AfterPin(Slot.DYNAMIC_LOWER, START, cleans[0].key)])
    plan, told = planned(problem)
    (clean,) = plan.after_on(Slot.DYNAMIC_LOWER, START)
    assert clean.lift == "power_clean"
    assert "Power clean as second lift" in " ".join(told[clean].reasons)
    assert check_season(problem, plan) == ()


def is_lower(slot):
    return slot.is_lower


def test_the_same_season_gives_the_same_blocks(no_implement_day):
    problem, plan, _ = no_implement_day
    again, _ = with_after_work(problem, replace(plan, after=()))
    assert again.after == plan.after


def test_a_gym_without_the_implement_does_not_practise_its_event():
    kit = stock(yoke=0)
    _, plan = (problem := gym_season(slots=FOUR_DAYS, stock=kit)), planned(problem)[0]
    assert "yoke" not in {item.lift for item in plan.after}


def test_a_ruled_out_lift_does_not_follow_a_main_lift():
    everywhere = Forbid(LiftKey("yoke"), *(gym_season().monday(week) for week in (0, 7)))
    problem = gym_season(slots=FOUR_DAYS, forbids=(everywhere,))
    assert "yoke" not in {item.lift for item in planned(problem)[0].after}


def test_a_second_lift_ruled_out_of_its_place_may_still_be_a_main_lift():
    # The box squat is both: a second lift on lower days, and a main lift of max-effort days.
    box, span = LiftKey("box_squat"), [gym_season().monday(week) for week in (0, 7)]
    assert "box_squat" in lifts_after(gym_season(slots=FOUR_DAYS))
    only_after = Forbid(box, *span, place=ForbidPlace.AFTER)
    problem = gym_season(slots=FOUR_DAYS, forbids=(only_after,))
    assert "box_squat" not in lifts_after(problem)
    assert problem.removal_of(Slot.MAX_EFFORT_LOWER, 2, box) is None
    everywhere = gym_season(slots=FOUR_DAYS, forbids=(Forbid(box, *span),))
    assert everywhere.removal_of(Slot.MAX_EFFORT_LOWER, 2, box) is Removal.FORBID


def test_the_checker_knows_where_a_lift_is_ruled_out():
    problem = gym_season(slots=FOUR_DAYS)
    plan, _ = planned(problem)
    main = next(work for work in plan.work if work.slot is Slot.MAX_EFFORT_LOWER)
    block, span = plan.after[0], [problem.monday(week) for week in (0, 7)]
    for lift, place, wrong in (
        (main.lift, ForbidPlace.AFTER, False), (main.lift, ForbidPlace.EVERYWHERE, True),
        (block.lift, ForbidPlace.AFTER, True), (block.lift, ForbidPlace.EVERYWHERE, True),
    ):  # fmt: skip
        banned = replace(problem, forbids=(Forbid(lift, *span, place=place),))
        assert ("it is forbidden then" in " ".join(check_season(banned, plan))) == wrong


def lifts_after(problem):
    """What could follow the main lift of the third week's max-effort lower day."""
    plan = planned(problem)[0]
    return {item.work.lift for item in after_options(problem, plan, Slot.MAX_EFFORT_LOWER, 2)}


def test_short_classes_have_no_time_for_a_block():
    athletes = squad(8)
    problem = gym_season(timetable=timetable_of(athletes, FOUR_DAYS, minutes=60))
    assert planned(problem)[0].after == ()


def test_none_at_all_if_the_coach_wants_none():
    problem = gym_season(slots=FOUR_DAYS, rules=SeasonRules(after_most_a_week=0))
    assert planned(problem)[0].after == ()


def wrong(problem, plan, **changed):
    """What the checker says if the first block were otherwise."""
    bad = replace(plan.after[0], **changed)
    return " ".join(check_season(problem, replace(plan, after=(bad, *plan.after[1:]))))


def test_the_checker_names_what_is_wrong_with_a_block(no_implement_day):
    problem, plan, _ = no_implement_day
    taper = problem.monday(6)  # contest on Saturday of week 7
    late = AfterWork(
        Slot.MAX_EFFORT_LOWER, taper + timedelta(7), LiftKey("yoke"), AfterKind.EVENT_PRACTICE
    )
    upper = wrong(problem, plan, slot=Slot.MAX_EFFORT_UPPER, lift=LiftKey("yoke"))
    assert "no event practice of that day" in upper
    assert "no second lift" in wrong(problem, plan, kind=AfterKind.SECOND_LIFT, lift="frame")
    assert "marked wrongly" in wrong(problem, plan, is_taper=True)
    assert "no main lift comes before it" in " ".join(
        check_season(problem, replace(plan, after=(late,)))
    )


def test_the_checker_adds_blocks_to_the_budgets():
    # by hand: deadlift 4.5 + half of the stones' 4.0 is 6.5 of 7.5 on a day, but with a second
    # day in a row of 1.5 and more it would be over
    rules = replace(SeasonRules(), in_a_row_limit={**SeasonRules().in_a_row_limit, "spine": 5.0})
    problem = gym_season(slots=(Slot.MAX_EFFORT_LOWER,), rules=rules)
    plan, _ = planned(problem)
    main = plan.work[0]
    spine = problem.catalogue[main.lift].exposure["spine"]
    block = AfterWork(main.slot, main.monday, LiftKey("stone_series"), AfterKind.EVENT_PRACTICE)
    said = " ".join(check_season(problem, replace(plan, after=(block,))))
    assert ("in one day" in said) == (spine + 2.0 > 5.0)
    assert all("in one day" not in line for line in check_season(problem, plan))


def test_yoke_and_stones_are_last_practised_eight_days_before_the_squads_contest(
    no_implement_day,
):
    problem, plan, _ = no_implement_day
    day = problem.contests[0].on
    for item in plan.after:
        on = item.monday + timedelta(days=SLOT_DAYS[item.slot])
        assert (day - on).days >= problem.catalogue[item.lift].last_heavy_days


def test_rep_work_leans_on_weak_points_early_and_on_the_events_later():
    athletes = tuple(replace(a, weak_points={WeakPoint.QUADS: 1.0}) for a in squad(4))
    meet = contest(12, EVENTS[3:4], entrants=athletes)  # a frame carry
    early = emphasis_on(athletes, [meet], meet.on - timedelta(weeks=12))
    late = emphasis_on(athletes, [meet], meet.on - timedelta(weeks=1))
    assert max(early.weights, key=early.weights.get) is WeakPoint.QUADS
    assert max(late.weights, key=late.weights.get) is WeakPoint.GRIP
    assert late.weights[WeakPoint.CONDITIONING] > early.weights.get(WeakPoint.CONDITIONING, 0)
    assert late.words == "Rep work leans on grip and conditioning (Harbour Day)."


def test_nobody_there_nothing_to_lean_on():
    assert emphasis_on((), (), gym_season().start).weights == {}


def test_an_easy_first_week_takes_the_next_lift_lightly(with_implement_day):
    _, plan, _ = with_implement_day
    first = min(item.monday for item in plan.work)
    light = light_session(plan.work, Slot.MAX_EFFORT_LOWER, first)
    assert light.is_easy
    assert light.max_effort is MaxEffortScheme.TRIPLE
    assert light.lift == plan.on(Slot.MAX_EFFORT_LOWER, first)[0].lift


def test_the_checker_knows_where_light_work_belongs(with_implement_day):
    problem, plan, _ = with_implement_day
    whole = with_light_sessions(problem, plan)
    light = [item for item in whole.work if item.is_easy]
    assert {item.monday for item in light} == {problem.monday(7)}  # the contest week
    assert check_season(problem, whole) == ()
    misplaced = replace(light[0], monday=problem.monday(1))
    single = replace(
        next(item for item in light if item.slot.is_max_effort), max_effort=MaxEffortScheme.SINGLE
    )
    said = " ".join(check_season(problem, replace(whole, work=(*plan.work, misplaced, single))))
    assert "a week of main work" in said
    assert "no single" in said


WEEK = [Slot.DYNAMIC_LOWER, Slot.MAX_EFFORT_UPPER, Slot.MAX_EFFORT_LOWER, Slot.DYNAMIC_UPPER]


@pytest.mark.parametrize("days", [2, 3, 4, 5, 6])
def test_a_week_of_two_to_six_training_days_is_planned_and_keeps_every_rule(days):
    """The sixth day repeats the dynamic-effort lower day for a second group."""
    slots = [*WEEK, Slot.IMPLEMENT][: min(days, 5)]
    athletes = squad(8)
    table = timetable_of(athletes, tuple(slots))
    if days == 6:
        first = table.classes[0]
        second = replace(first, key="second group", weekday=Weekday.WEDNESDAY)
        table = replace(table, classes=(*table.classes, second))
    problem = gym_season(timetable=table)
    plan, _ = planned(problem)
    assert {item.slot for item in plan.work} == set(slots)
    assert check_season(problem, plan) == ()


def test_a_contest_on_any_day_of_the_week_tapers_from_its_own_date():
    """A contest abroad on a Wednesday: the last heavy days count from that day."""
    for offset in (-3, 0, 1):  # Wednesday, Saturday, Sunday
        meet = contest(7, entrants=squad(8))
        meet = replace(meet, on=meet.on + timedelta(days=offset))
        problem = gym_season(contests=[meet])
        plan, _ = planned(problem)
        assert check_season(problem, plan) == ()
        heavy = [item for item in plan.work if item.slot.is_max_effort and not item.is_easy]
        for item in heavy:
            on = item.monday + timedelta(days=SLOT_DAYS[item.slot])
            assert (meet.on - on).days >= problem.catalogue[item.lift].last_heavy_days


def test_an_event_practised_after_the_main_lift_is_not_said_to_be_trained_by_others_only(
    no_implement_day,
):
    problem, plan, _ = no_implement_day
    practised = {item.lift for item in plan.after if item.kind is AfterKind.EVENT_PRACTICE}
    assert "yoke" in practised
    mine = "only trained through lifts that carry over"
    before = [text for text in warnings_of(problem) if mine in text and "Yoke" in text]
    assert before
    assert not set(before) & set(warnings_of(problem, plan.after))
