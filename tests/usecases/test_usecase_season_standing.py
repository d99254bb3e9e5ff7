"""A season kept for another gym or by older rules: what of it, which rule, and the one way out."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from season_cast import BARN, IN_BARN, MONDAY, move_main, noon, open_barn

from heftwright.domain.catalogue import KitKey, LiftKey, MaxEffortScheme, Slot
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.problem import Pin
from heftwright.store.documents import to_document
from heftwright.store.models import SeasonPlanRow
from heftwright.usecases import clock, jobs, season, season_after, season_editing, squad, stock
from heftwright.usecases import timetable as timetables
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.season import SeasonOutdatedError
from heftwright.usecases.season_planning import problem_of

LOWER = Slot.MAX_EFFORT_LOWER
WEEKS = [MONDAY + timedelta(weeks=n) for n in range(9)]


@pytest.fixture(scope="module")
def barn(django_db_setup, django_db_blocker):
    from django.core.management import call_command

    with django_db_blocker.unblock(), clock.held_at(noon(MONDAY)):
        open_barn()
        season.plan_season(**IN_BARN, limit_s=1.0)
        yield
        call_command("flush", interactive=False, verbosity=0)


@pytest.fixture(autouse=True)
def _today(barn, db):
    with clock.held_at(noon(MONDAY)):
        yield


@pytest.fixture
def in_background(monkeypatch):
    """Jobs are kept and not run."""
    monkeypatch.setattr(jobs, "_start_thread", lambda _: None)


def plan():
    return season.get_season(gym=BARN)


def lift_on(slot, week):
    return plan().on(slot, WEEKS[week])[0].lift


def choices(slot=LOWER, week=2):
    return season_editing.get_choices(
        gym=BARN, slot=slot, monday=WEEKS[week], lift=lift_on(slot, week)
    )


def kept_by_older_rules(slot, week, **changed):
    """The season as an older program might have kept it: one day otherwise."""
    row = SeasonPlanRow.objects.order_by("-version").first()
    old = plan()
    day = old.on(slot, WEEKS[week])[0]
    work = tuple(replace(item, **changed) if item == day else item for item in old.work)
    row.document["plan"] = to_document(replace(old, work=work))
    row.save()


def why_not(**asked):
    with pytest.raises(SeasonOutdatedError) as refused:
        choices(**asked)
    said = str(refused.value)
    assert said.startswith("This season was planned for another gym, or by other rules")
    assert said.endswith("Then change it by hand.")
    return " ".join(refused.value.lines)


def test_a_scheme_that_a_lift_is_no_longer_done_as_is_named_with_its_week():
    kept_by_older_rules(
        LOWER, 3, lift=LiftKey("romanian_deadlift"), max_effort=MaxEffortScheme.SINGLE
    )
    assert why_not() == (
        "Romanian deadlift, max-effort lower, week of 28 Sep: its scheme is not allowed there."
    )


def test_a_lift_whose_long_set_up_is_kept_for_later_weeks_says_so():
    kept_by_older_rules(LOWER, 1, lift=LiftKey("hung_good_morning"))
    assert "its long set-up is kept for the weeks before a squad contest" in why_not()


def test_a_wave_of_a_length_no_more_allowed_is_named():
    kept_by_older_rules(Slot.DYNAMIC_LOWER, 1, wave_weeks=5)
    assert "no wave of that length and scheme is allowed there" in why_not()


def test_kit_that_went_is_the_reason_that_is_given():
    kit = stock.get_stock(gym=BARN)
    gone = {**kit.kit, KitKey("rack"): 0, KitKey("straight_bar"): 0}
    stock.replace_stock(**IN_BARN, stock=replace(kit, kit=gone))
    said = why_not()
    assert "too little kit for the class" in said
    assert said.endswith("more.")  # no more than three lines of it


def test_a_moved_contest_says_what_its_weeks_are_now():
    move_main(-1)
    said = why_not()
    assert "week of 26 Oct: that is a contest week now." in said or "eases for a contest" in said


def test_a_day_without_a_class_is_named():
    for item in timetables.get_timetable(gym=BARN).classes:
        if item.slot is Slot.DYNAMIC_UPPER:
            timetables.remove_class_time(**IN_BARN, key=item.key)
    assert "no class of the week trains that any more" in why_not()


def test_planning_again_is_the_way_out_and_stays_close():
    kept_by_older_rules(
        LOWER, 3, lift=LiftKey("romanian_deadlift"), max_effort=MaxEffortScheme.SINGLE
    )
    old = plan()
    season.plan_season(**IN_BARN, limit_s=1.5)
    assert len(plan().changed_from(old)) <= 10
    assert choices().legal


def test_what_follows_a_main_lift_is_not_priced_in_an_outdated_season_either():
    kept_by_older_rules(LOWER, 1, lift=LiftKey("hung_good_morning"))
    with pytest.raises(SeasonOutdatedError, match="long set-up"):
        season_after.get_after_choices(gym=BARN, slot=LOWER, monday=WEEKS[2])


def breaking_a_rule():
    """The same max in two weeks running: a choice of each week, and against a rule of today's."""
    kept = plan().on(LOWER, WEEKS[3])[0]
    kept_by_older_rules(LOWER, 4, lift=kept.lift, max_effort=kept.max_effort)


def test_a_season_that_breaks_a_rule_of_today_says_which_and_in_which_week():
    assert choices().outdated == ()
    breaking_a_rule()
    said = " ".join(choices().outdated)
    assert "Max-effort lower, week of " in said
    assert "the same lift comes back too soon" in said
    place = {"slot": LOWER, "monday": WEEKS[2]}
    assert season_after.get_after_choices(gym=BARN, **place).outdated


def test_a_choice_in_such_a_season_is_planned_around_instead_of_refused(in_background):
    breaking_a_rule()
    found = choices(week=1)
    wish = found.legal[0]
    taken = season_editing.take_choice(
        **IN_BARN, slot=LOWER, monday=WEEKS[1], instead_of=found.lift, wish=wish.lift
    )
    assert taken.strip is None
    (job,) = jobs.get_jobs(gym=BARN, live_only=True)
    assert job.key == taken.job


def test_what_is_taken_there_holds_in_a_plan_that_keeps_every_rule():
    breaking_a_rule()
    old, found = plan(), choices(week=1)
    wish = found.legal[0].lift
    season.pin(**IN_BARN, wish=Pin(LOWER, WEEKS[1], wish))
    assert lift_on(LOWER, 1) == wish
    before = season.get_planned_season(gym=BARN)
    problem = problem_of(Gathered(BARN, MONDAY), before, before.edits)
    assert check_season(problem, plan()) == ()
    assert len(plan().changed_from(old)) <= 10


def test_a_block_in_such_a_season_is_planned_around_too(in_background):
    breaking_a_rule()
    block = plan().after[0]
    taken = season_after.take_after(
        **IN_BARN, slot=block.slot, monday=block.monday, wish=block.lift
    )
    assert taken.job is not None


def test_an_athlete_who_joins_outdates_nothing():
    person = squad.get_squad(gym=BARN)[0]
    squad.add_athlete(**IN_BARN, athlete=replace(person, id="new", number=99, name="Newcomer"))
    assert choices().outdated == ()
