"""Explanations, the strip, substitutions and own tapers."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from bench.season_gyms import EVENTS, START, contest, gym_season, squad, stock

from heftwright.domain.catalogue import (
    EventFamily,
    LiftKey,
    MaxEffortScheme,
    Resistance,
    Slot,
    WeakPoint,
)
from heftwright.domain.season import Firmness, Pin, SeasonPlan, SeasonProblem
from heftwright.domain.season.explain import Teller, explain, key_of
from heftwright.domain.season.legal_row import Rule
from heftwright.domain.season.questions import questions_of
from heftwright.domain.season.substitution import (
    KitLeft,
    own_taper,
    substitute,
)
from heftwright.domain.season.work import SlotWork
from heftwright.domain.sheet.build_strip import season_strip
from heftwright.domain.squad import Restriction

MEL, MEU, DEL = Slot.MAX_EFFORT_LOWER, Slot.MAX_EFFORT_UPPER, Slot.DYNAMIC_LOWER


def simple_plan(problem: SeasonProblem) -> SeasonPlan:
    """Each cell the first legal column: a plan to explain, not a good one."""
    teller = Teller(problem, SeasonPlan(problem.start, problem.weeks, ()))
    chosen = np.zeros(len(problem.columns))
    taken: set[tuple[Slot, int]] = set()
    drift = [row.rule in (Rule.DRIFT, Rule.COVER, Rule.PIN) for row in teller.rows.rows]
    high = np.where(drift, np.inf, teller.rows.high)
    for j, column in enumerate(problem.columns):
        cells = {(column.slot, week) for week in column.span}
        chosen[j] = 1.0
        if cells & taken or (teller.rows.matrix @ chosen > high + 1e-9).any():
            chosen[j] = 0.0
        else:
            taken |= cells
    return problem.plan_of(chosen)


@pytest.fixture(scope="module")
def told() -> tuple[SeasonProblem, SeasonPlan]:
    problem = gym_season(
        6, 6, slots=(DEL, MEL, MEU),
        pins=[Pin(MEL, START, LiftKey("front_squat"), None, Firmness.RETEST)],
    )  # fmt: skip
    return problem, simple_plan(problem)


def test_every_order_of_the_plan_is_explained(told: tuple[SeasonProblem, SeasonPlan]) -> None:
    problem, plan = told
    stories = explain(problem, plan)
    assert {key_of(work) for work in plan.work} == set(stories)
    assert all(story.reasons and story.reasons[0].endswith(".") for story in stories.values())


def test_shares_add_up_to_one(told: tuple[SeasonProblem, SeasonPlan]) -> None:
    for story in explain(*told).values():
        assert sum(story.shares.values()) == pytest.approx(1.0)
        assert all(share > 0 for share in story.shares.values())


def test_the_cost_of_every_swap_is_exactly_the_objective_s(
    told: tuple[SeasonProblem, SeasonPlan],
) -> None:
    problem, plan = told
    teller = Teller(problem, plan)
    for j in np.flatnonzero(teller.chosen):
        column = problem.columns[j]
        rivals = [
            i for i, c in enumerate(problem.columns)
            if (c.slot, c.week, c.weeks) == (column.slot, column.week, column.weeks) and i != j
        ][:25]  # fmt: skip
        for i, points in zip(rivals, teller.swapped_points(int(j), rivals), strict=True):
            swapped = teller.chosen.copy()
            swapped[j], swapped[i] = 0.0, 1.0
            assert points == pytest.approx(teller.objective.points(swapped))


def test_a_swap_breaks_a_rule_exactly_when_the_rows_say_so(
    told: tuple[SeasonProblem, SeasonPlan],
) -> None:
    problem, plan = told
    teller = Teller(problem, plan)
    before = {id(row) for row in teller.rows.broken_by(teller.chosen)}
    for j in np.flatnonzero(teller.chosen):
        column = problem.columns[j]
        rivals = [
            i for i, c in enumerate(problem.columns)
            if (c.slot, c.week, c.weeks) == (column.slot, column.week, column.weeks) and i != j
        ][:25]  # fmt: skip
        for i, row in zip(rivals, teller.broken_by_swap(int(j), rivals), strict=True):
            swapped = teller.chosen.copy()
            swapped[j], swapped[i] = 0.0, 1.0
            now = [r for r in teller.rows.broken_by(swapped) if id(r) not in before]
            if now:
                assert row is not None


def test_the_worth_of_a_choice_is_what_the_plan_loses_without_it(
    told: tuple[SeasonProblem, SeasonPlan],
) -> None:
    problem, plan = told
    teller = Teller(problem, plan)
    for j in np.flatnonzero(teller.chosen):
        if problem.columns[j].slot.is_dynamic:
            continue  # repeats of waves are a price, not a worth
        without = teller.chosen.copy()
        without[j] = 0.0
        lost = teller.points - teller.objective.points(without)
        blank = problem.rules.blank_points
        assert sum(teller.worth(int(j)).values()) == pytest.approx(lost - blank)


def test_a_pin_is_given_as_the_reason(told: tuple[SeasonProblem, SeasonPlan]) -> None:
    problem, _ = told
    work = SlotWork(MEL, START, LiftKey("front_squat"), max_effort=MaxEffortScheme.SINGLE)
    plan = SeasonPlan(problem.start, problem.weeks, (work,))
    assert "re-test holds it" in explain(problem, plan)[key_of(work)].reasons[0]


def test_done_work_is_explained_as_done() -> None:
    work = SlotWork(MEL, START, LiftKey("front_squat"), max_effort=MaxEffortScheme.SINGLE)
    problem = gym_season(4, 6, slots=(MEL,), done=(work,))
    plan = SeasonPlan(problem.start, problem.weeks, (work,))
    assert "Already trained" in explain(problem, plan)[key_of(work)].reasons[0]


def test_the_strip_has_a_lane_a_slot_in_the_order_of_the_week_and_a_post_a_contest(
    told: tuple[SeasonProblem, SeasonPlan],
) -> None:
    problem, plan = told
    strip = season_strip(problem, plan, explain(problem, plan), START + timedelta(days=9), 3)
    assert [lane.slot_key for lane in strip.lanes] == [DEL, MEU, MEL]
    assert [week.kind for week in strip.weeks][-2:] == ["taper", "contest"]
    assert strip.this_week == 1
    assert strip.plan_version == 3
    (post,) = strip.posts
    assert (post.week, post.weekday, post.is_main, post.entrants) == (5, 5, True, 6)


def test_a_wave_is_one_block_whose_steps_rise(told: tuple[SeasonProblem, SeasonPlan]) -> None:
    problem, plan = told
    strip = season_strip(problem, plan, {}, START, 1)
    waves = strip.lanes[0].blocks
    assert sum(block.weeks for block in waves) == len(plan.on(DEL, START)) * 5
    for block in waves:
        assert list(block.steps) == sorted(set(block.steps))
        assert len(block.steps) == block.weeks


def test_a_day_outside_the_season_marks_no_week(told: tuple[SeasonProblem, SeasonPlan]) -> None:
    assert season_strip(*told, {}, START - timedelta(days=1), 1).this_week is None


CLASS_WORK = SlotWork(MEU, START, LiftKey("log_clean_press"), max_effort=MaxEffortScheme.TRIPLE)
TUESDAY = START + timedelta(days=1)


def test_an_athlete_without_a_restriction_does_the_class_s_lift() -> None:
    problem = gym_season(4)
    assert substitute(problem.athletes[0], CLASS_WORK, problem, TUESDAY) == "log_clean_press"


def test_a_restricted_athlete_gets_an_allowed_lift_of_the_same_slot() -> None:
    problem = gym_season(4)
    sore = replace(problem.athletes[0], restrictions=(Restriction("overhead", START),))
    key = substitute(sore, CLASS_WORK, problem, TUESDAY)
    assert key is not None
    lift = problem.catalogue[key]
    assert MEU in lift.slots
    assert "overhead" not in lift.tags


def test_a_restriction_that_was_cleared_no_longer_counts() -> None:
    problem = gym_season(4)
    rule = Restriction("overhead", date(2026, 1, 1), START)
    asked = replace(problem.athletes[0], restrictions=(rule,))
    assert substitute(asked, CLASS_WORK, problem, TUESDAY) != "log_clean_press"
    well = replace(asked, restrictions=(replace(rule, cleared_on=START, cleared_by="Coach"),))
    assert substitute(well, CLASS_WORK, problem, TUESDAY) == "log_clean_press"


def test_two_athletes_get_what_their_own_weak_points_ask() -> None:
    problem = gym_season(4, contests=[])
    rule = (Restriction("log_clean_press", START),)
    by_point = {
        point: substitute(
            replace(problem.athletes[0], restrictions=rule, weak_points={point: 1.0}),
            CLASS_WORK, problem, TUESDAY,
        )
        for point in (WeakPoint.TRICEPS, WeakPoint.LEG_DRIVE)
    }  # fmt: skip
    lifts = problem.catalogue
    for point, key in by_point.items():
        assert key is not None
        assert lifts[key].weak_points.get(point, 0) >= 0.5


def test_the_class_s_own_kit_is_off_the_shelf() -> None:
    problem = gym_season(10, stock=stock(log=2))
    left = KitLeft.beside(problem, CLASS_WORK)
    assert left.units["log"] == 0  # 10 athletes at 5 a log
    assert not left.has_for(problem.catalogue[LiftKey("log_rack_press")], CLASS_WORK)
    assert left.units["axle"] == 2


def test_other_substitutes_take_kit_too() -> None:
    problem = gym_season(4, stock=stock(axle=1))
    left = KitLeft.beside(problem, CLASS_WORK)
    axle = problem.catalogue[LiftKey("axle_clean_press")]
    assert left.has_for(axle, CLASS_WORK)
    assert not left.without(axle, CLASS_WORK).has_for(axle, CLASS_WORK)


def test_nothing_allowed_is_said_as_none() -> None:
    problem = gym_season(4)
    every = tuple(Restriction(key, START) for key in problem.catalogue)
    off = replace(problem.athletes[0], restrictions=every)
    assert substitute(off, CLASS_WORK, problem, TUESDAY) is None


def test_a_dynamic_substitute_keeps_the_resistance() -> None:
    problem = gym_season(4)
    work = SlotWork(DEL, START, LiftKey("deadlift"), Resistance.BANDS, 1, 3)
    sore = replace(problem.athletes[0], restrictions=(Restriction("deadlift", START),))
    key = substitute(sore, work, problem, START)
    assert key is not None
    assert problem.catalogue[key].dynamic_form(Resistance.BANDS) is not None


def test_an_own_minor_contest_eases_only_its_entrants() -> None:
    # Winwood et al. 2018: 8.6 ± 5.0 days, volume −45.5 %, last training 3.9 ± 1.8 days before.
    athletes = squad(3)
    minor = contest(3, EVENTS[:1], name="Quay Cup", main=False, entrants=athletes[:1])
    problem = gym_season(3, contests=[minor, contest(9, entrants=athletes)])
    saturday = minor.on
    eight_before = own_taper(athletes[0], problem, saturday - timedelta(days=8))
    assert eight_before is not None
    assert eight_before.volume_ratio == 0.545
    assert own_taper(athletes[1], problem, saturday - timedelta(days=8)) is None
    assert own_taper(athletes[0], problem, saturday - timedelta(days=12)) is None


def test_the_last_session_before_a_saturday_contest_is_on_tuesday_or_wednesday() -> None:
    # Source: the design's checks.md, taper row (Winwood et al. 2018).
    athletes = squad(1)
    minor = contest(3, EVENTS[:1], name="Quay Cup", main=False, entrants=athletes)
    problem = gym_season(1, contests=[minor])
    wednesday, thursday = (minor.on - timedelta(days=k) for k in (3, 2))
    tapers = own_taper(athletes[0], problem, wednesday), own_taper(athletes[0], problem, thursday)
    assert [taper.volume_ratio for taper in tapers if taper] == [0.545, 0.0]


def test_heavy_pulls_end_in_time_for_an_own_contest() -> None:
    athletes = squad(1)
    minor = contest(3, EVENTS[6:7], name="Quay Cup", main=False, entrants=athletes)
    problem = gym_season(1, contests=[minor])
    work = SlotWork(MEL, START + timedelta(days=14), LiftKey("deadlift"),
                    max_effort=MaxEffortScheme.SINGLE)  # fmt: skip
    # Last heavy deadlift 8–10 days before (common practice; Winwood et al. 2018 for the taper).
    in_time, late = minor.on - timedelta(days=10), minor.on - timedelta(days=9)
    assert substitute(athletes[0], work, problem, in_time) == "deadlift"
    assert substitute(athletes[0], work, problem, late) != "deadlift"


def test_ten_tonnes_become_five_and_a_half_in_the_taper() -> None:
    # Source: Winwood et al. 2018 by way of checks.md: 10,000 kg -> 5,450 kg.
    assert 10_000 * gym_season(2).rules.taper_volume == pytest.approx(5450)


def test_changed_slots_are_those_with_another_lift_resistance_or_scheme() -> None:
    one = SlotWork(MEL, START, LiftKey("deadlift"), max_effort=MaxEffortScheme.SINGLE)
    old = SeasonPlan(START, 4, (one, replace(one, monday=START + timedelta(days=7))))
    new = SeasonPlan(START, 4, (replace(one, max_effort=MaxEffortScheme.TRIPLE),))
    assert new.changed_from(old) == ((MEL, START),)
    assert new.gained_or_lost(old) == ((MEL, START + timedelta(days=7)),)
    assert old.changed_from(old) == ()


def test_a_wave_that_ends_in_the_taper_week_says_that_its_volume_falls(
    told: tuple[SeasonProblem, SeasonPlan],
) -> None:
    problem, plan = told
    strip = season_strip(problem, plan, {}, START, 1)
    tapered = {(w.slot, problem.week_of(w.monday)) for w in plan.work if w.is_taper}
    assert tapered
    for lane in strip.lanes:
        for block in lane.blocks:
            weeks = range(block.week, block.week + block.weeks)
            is_tapered = any((lane.slot_key, week) in tapered for week in weeks)
            assert ("taper volume" in block.detail) == is_tapered


@pytest.mark.parametrize(("weeks_before", "is_asked"), [(5, True), (3, False)])
def test_an_event_whose_own_lift_was_last_done_long_before_is_asked_about(
    weeks_before: int, is_asked: bool
) -> None:
    # Common practice, no source: season.md wants specific work in the last five weeks.
    event = replace(EVENTS[0], name="Axle deadlift", family=EventFamily.DEADLIFT_MAX)
    ahead = contest(5, (event,), entrants=squad(8))
    problem = gym_season(8, 6, slots=(MEL,), contests=[ahead])
    monday = problem.monday(problem.week_of(ahead.on) - weeks_before)
    axle = SlotWork(MEL, monday, LiftKey("axle_deadlift"), max_effort=MaxEffortScheme.SINGLE)
    said = questions_of(problem, SeasonPlan(problem.start, problem.weeks, (axle,)))
    asked = f"the last Axle deadlift is {weeks_before} weeks before it"
    assert any(asked in sentence for sentence in said) == is_asked
