"""In the middle of a class: late, absent, failed, broken, changed; and little else moves."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from heftwright.domain.dose import Scheme
from heftwright.domain.floor import ChangeKind, FloorPolicy, check_floor, difference
from heftwright.domain.floor.instance import floor_instance
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.outcome import Infeasible, Solved
from heftwright.domain.squad import AthleteId
from heftwright.solve.floor import remaining, replan_floor, solve_floor

INSTANCES = Path(__file__).parent.parent / "instances"


@pytest.fixture(scope="module")
def floor():
    record = json.loads((INSTANCES / "floor-3.json").read_text())
    return floor_instance(record, is_soft=True, policy=FloorPolicy())


@pytest.fixture(scope="module")
def running(floor):
    answer = solve_floor(floor, limit_s=20)
    assert isinstance(answer, Solved)
    return answer.plan


def kinds(problem, before, answer):
    assert isinstance(answer, Solved)
    assert check_floor(problem, answer.plan) == ()
    return [change.kind for change in difference(problem, before, answer.plan)]


def test_nothing_moves_when_nothing_happened(floor, running):
    answer = replan_floor(floor, running, done_rounds=3)
    assert kinds(remaining(floor, 3), running, answer) == []


def test_the_plan_is_for_the_rounds_that_are_left(floor, running):
    answer = replan_floor(floor, running, done_rounds=5)
    assert answer.plan.scheme == Scheme(7, 2, 45)
    assert answer.plan.finish_s < running.finish_s


def test_a_late_arrival_joins_and_hardly_anybody_moves(floor):
    early = replace(floor, lifters=floor.lifters[:-1])
    before = solve_floor(early, limit_s=20).plan
    found = kinds(remaining(floor, 4), before, replan_floor(floor, before, done_rounds=4))
    assert found.count(ChangeKind.NEW) == 1
    assert found.count(ChangeKind.MOVED) <= 2
    assert ChangeKind.LEFT_OUT not in found


def test_an_absence_leaves_the_others_where_they_are(floor, running):
    smaller = replace(floor, lifters=floor.lifters[:-1])
    found = kinds(remaining(smaller, 1), running, replan_floor(smaller, running, done_rounds=1))
    assert found.count(ChangeKind.GONE) == 1
    assert found.count(ChangeKind.MOVED) <= 1


def test_after_a_failed_set_only_that_load_comes_down(floor, running):
    failed = floor.lifters[0]
    lighter = replace(failed, target=failed.target - Mass.kg(10))
    lowered = replace(floor, lifters=(lighter, *floor.lifters[1:]))
    answer = replan_floor(lowered, running, done_rounds=6)
    found = difference(lowered, running, answer.plan)
    assert ChangeKind.LOAD in [change.kind for change in found]
    assert failed.athlete in [change.subject for change in found]
    assert len(found) <= 3


def test_a_broken_band_moves_those_who_used_it(floor, running):
    used = {group.set_up for group in running.groups}
    rig = next(one for one in floor.set_ups if one.key in used and one.bands)
    band = next(iter(rig.bands))
    in_use = sum(
        dict(floor.set_ups_by_key()[group.set_up].bands).get(band, 0) for group in running.groups
    )
    broken = replace(floor, bands={**floor.bands, band: in_use - 1})
    answer = replan_floor(broken, running, done_rounds=2)
    found = kinds(remaining(broken, 2), running, answer)
    assert found
    assert set(found) & {ChangeKind.RIG, ChangeKind.MOVED, ChangeKind.LEFT_OUT}


def test_a_platform_that_is_taken_away_is_emptied(floor, running):
    gone = running.groups[0].platform
    fewer = replace(floor, platforms=tuple(one for one in floor.platforms if one.key != gone))
    answer = replan_floor(fewer, running, done_rounds=2)
    assert isinstance(answer, Solved)
    assert gone not in {group.platform for group in answer.plan.groups}
    assert check_floor(remaining(fewer, 2), answer.plan) == ()


def test_when_all_is_done_there_is_nothing_to_plan(floor, running):
    answer = replan_floor(floor, running, done_rounds=12)
    assert isinstance(answer, Infeasible)
    assert "nothing left to plan" in answer.reasons[0]


def test_an_emptied_class_says_so(floor, running):
    answer = replan_floor(replace(floor, lifters=()), running, done_rounds=1)
    assert isinstance(answer, Infeasible)
    assert "Nobody is in this class" in answer.reasons[0]


def test_the_same_seed_gives_the_same_plan(floor, running):
    assert solve_floor(floor, limit_s=20).plan == running


def test_the_difference_is_called_out_in_sentences(floor, running):
    group = running.groups[0]
    turn = group.order[0]
    lighter = replace(group, order=(replace(turn, load=Mass.kg(60)), *group.order[1:]))
    rigged = replace(lighter, set_up="other")
    after = replace(running, groups=(rigged, *running.groups[1:]))
    said = [change.words for change in difference(floor, running, after, MassUnit.LB)]
    assert f"Platform {group.platform}: change the set-up from {group.set_up} to other." in said
    assert f"{turn.athlete} lifts 132.28 lb instead of {turn.load.shown(MassUnit.LB)}." in said


def test_somebody_left_out_is_told_why(floor, running):
    group = running.groups[0]
    turn = group.order[0]
    short = replace(group, order=group.order[1:])
    after = replace(
        running, groups=(short, *running.groups[1:]), unplaced=((turn.athlete, "No bar."),)
    )
    found = difference(floor, running, after)
    assert [(change.kind, change.words) for change in found] == [(ChangeKind.LEFT_OUT, "No bar.")]
    back = difference(floor, after, running)
    assert [change.kind for change in back] == [ChangeKind.NEW]


def test_stable_ids_name_the_subject(floor, running):
    smaller = replace(floor, lifters=floor.lifters[:-1])
    answer = replan_floor(smaller, running)
    gone = [c for c in difference(smaller, running, answer.plan) if c.kind is ChangeKind.GONE]
    assert [change.subject for change in gone] == [AthleteId("A24")]


def test_the_minutes_that_are_gone_are_gone(floor, running):
    rest = remaining(floor, 6, running)
    assert rest.class_minutes == pytest.approx(60 - running.finish_s / 2 / 60)
    assert remaining(replace(floor, class_minutes=None), 6, running).class_minutes is None
    assert remaining(replace(floor, class_minutes=5.0), 6, running).class_minutes == 0
