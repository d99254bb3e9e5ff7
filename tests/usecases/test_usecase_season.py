"""A season over its weeks: planned, gone on with, changed by hand, taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from season_cast import BARN, BY, IN_BARN, MAIN, MONDAY, SIDE, move_main, noon, open_barn

from heftwright.domain.catalogue import KitKey, LiftKey, Slot, load_catalogue
from heftwright.domain.contest import ContestError, Travel
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.season.problem import Firmness, Forbid, ForbidPlace, Pin
from heftwright.domain.squad import AthleteId, Restriction
from heftwright.domain.squad.closed import ClosedSpan
from heftwright.store.documents import to_document
from heftwright.store.models import Gym, Job, JobState, SeasonPlanRow
from heftwright.usecases import (
    clock,
    closed_days,
    contests,
    own_seasons,
    season,
    season_editing,
    squad,
    travels,
    what_if,
)
from heftwright.usecases.season import (
    KitAway,
    SeasonConflictError,
    SeasonEdits,
    SeasonError,
    SeasonOutdatedError,
)
from heftwright.usecases.season_planning import save
from heftwright.usecases.season_refusals import SeasonChangedError
from heftwright.usecases.what_if import Hurt, MovedContest, Supposition

ME_LOWER = Slot.MAX_EFFORT_LOWER
CATALOGUE = load_catalogue()


@pytest.fixture(scope="module")
def barn(django_db_setup, django_db_blocker):
    """The barn with a season planned on its first Monday."""
    from django.core.management import call_command

    with django_db_blocker.unblock(), clock.held_at(noon(MONDAY)):
        open_barn()
        season.plan_season(**IN_BARN, limit_s=1.0)
        yield
        call_command("flush", interactive=False, verbosity=0)


@pytest.fixture
def today(barn, db):
    """Noon of the first Monday; what a test changes is rolled back."""
    with clock.held_at(noon(MONDAY)):
        yield MONDAY


def plan():
    return season.get_season(gym=BARN)


def lift_of(slot, monday):
    return plan().on(slot, monday)[0].lift


def main_work(season_plan):
    return [work for work in season_plan.work if not work.is_easy]


def test_weeks_without_main_work_have_light_sessions_that_say_why(today):
    kinds = {w.monday: w.kind for w in season.get_season_strip(gym=BARN).weeks}
    light = [work for work in plan().work if work.is_easy]
    assert {work.monday for work in light} <= {
        m for m, k in kinds.items() if k in ("contest", "easy")
    }
    assert light
    for work in light:
        assert "week: light" in season.get_season_reasons(gym=BARN, work=work)[0]


def test_nobody_trains_lightly_on_the_day_of_the_squads_contest(today):
    main = contests.get_contest(gym=BARN, contest="main")
    monday = main.on - timedelta(days=main.on.weekday())
    assert plan().on(Slot.IMPLEMENT, monday) == ()
    assert plan().on(Slot.DYNAMIC_LOWER, monday)


@pytest.mark.parametrize("weeks", [1, 4])
def test_weeks_later_what_was_trained_stays_and_the_rest_is_planned_on(today, weeks):
    before = plan()
    now = MONDAY + timedelta(weeks=weeks, days=2)
    with clock.held_at(noon(now)):
        season.plan_season(**IN_BARN, limit_s=0.5)
    after = plan()
    past = [w for w in before.work if w.monday < now - timedelta(days=now.weekday())]
    assert past
    assert set(past) <= set(after.work)
    assert season.get_season_strip(gym=BARN).this_week == weeks


def test_after_the_last_contest_there_are_weeks_ahead_again(today):
    now = MONDAY + timedelta(weeks=9, days=1)
    with clock.held_at(noon(now)):
        strip = season.plan_season(**IN_BARN, limit_s=0.5)
    assert strip.this_week is not None
    assert len(strip.weeks) - strip.this_week >= 8


def test_after_a_long_silence_the_season_starts_anew(today):
    now = MONDAY + timedelta(weeks=20)
    with clock.held_at(noon(now)):
        strip = season.plan_season(**IN_BARN, limit_s=0.5)
    assert strip.weeks[0].monday == now


def test_a_moved_contest_keeps_what_was_trained_in_its_old_taper(today):
    now = MONDAY + timedelta(weeks=8)
    with clock.held_at(noon(now)):
        move_main(2)
        season.plan_season(**IN_BARN, limit_s=0.5)
    kinds = {week.monday: week.kind for week in season.get_season_strip(gym=BARN).weeks}
    assert kinds[MONDAY + timedelta(weeks=10)] == "contest"
    old_taper = MONDAY + timedelta(weeks=7)
    assert plan().on(ME_LOWER, old_taper)


def test_a_week_with_half_its_days_shut_is_light(today):
    monday = MONDAY + timedelta(weeks=2)
    span = ClosedSpan(monday, monday + timedelta(days=3), "new floor")
    closed_days.close_days(**IN_BARN, span=span)
    season.plan_season(**IN_BARN, limit_s=0.5)
    assert all(work.is_easy for work in plan().work if work.monday == monday)
    assert plan().on(Slot.DYNAMIC_LOWER, monday) == ()  # the Monday itself is shut


def test_one_shut_day_is_said_and_the_week_stays(today):
    thursday = MONDAY + timedelta(weeks=2, days=3)
    closed_days.close_days(**IN_BARN, span=ClosedSpan(thursday, thursday, "public holiday"))
    season.plan_season(**IN_BARN, limit_s=0.5)
    assert lift_of(Slot.DYNAMIC_LOWER, MONDAY + timedelta(weeks=2))
    said = season.get_planned_season(gym=BARN).warnings
    assert any(f"shut on {thursday} (public holiday)" in line for line in said)


def choices(slot=ME_LOWER, week=2):
    monday = MONDAY + timedelta(weeks=week)
    lift = lift_of(slot, monday)
    return season_editing.get_choices(gym=BARN, slot=slot, monday=monday, lift=lift)


def take(found, wish, resistance=None):
    return season_editing.take_choice(
        **IN_BARN, slot=found.slot, monday=found.mondays[0], instead_of=found.lift, wish=wish,
        resistance=resistance,
    )  # fmt: skip


@pytest.mark.parametrize("slot", list(Slot))
def test_every_day_shows_what_else_could_stand_there_and_its_price(today, slot):
    found = choices(slot)
    assert found.legal
    costs = [item.cost_pct for item in found.legal]
    assert costs == sorted(costs)
    assert all(item.breaks for item in found.breaking)
    shown = {item.lift for item in (*found.legal, *found.breaking)}
    assert not shown & {name for name, _ in found.taken_out}


def test_a_legal_choice_is_taken_at_once_and_changes_nothing_else(today):
    found, before = choices(), plan()
    cheapest = found.legal[0]
    assert take(found, cheapest.lift).job is None
    changed = plan().changed_from(before)
    assert changed == ((found.slot, found.mondays[0]),)
    assert lift_of(found.slot, found.mondays[0]) == cheapest.lift
    assert season.get_planned_season(gym=BARN).pins == (
        Pin(found.slot, found.mondays[0], cheapest.lift),
    )


def test_the_price_shown_is_the_price_paid(today):
    """Choosing back from the other side shows the same price with the other sign."""
    found = choices()
    cheapest = found.legal[0]
    take(found, cheapest.lift)
    back = season_editing.get_choices(
        gym=BARN, slot=found.slot, monday=found.mondays[0], lift=cheapest.lift
    )
    old = next(item for item in back.legal if item.lift == found.lift)
    # ratios of slightly different totals: equal to first order
    assert old.cost_pct <= -cheapest.cost_pct + 0.02


def test_a_whole_wave_is_exchanged_together(today):
    found = choices(Slot.DYNAMIC_LOWER, 1)
    best = found.legal[0]
    take(found, best.lift, best.resistance)
    assert {lift_of(found.slot, monday) for monday in found.mondays} == {best.lift}


def test_a_choice_that_breaks_a_rule_is_planned_around_in_the_background(today, monkeypatch):
    started = []
    monkeypatch.setattr(
        season_editing, "start_planning", lambda **more: started.append(more["edits"]) or 7
    )
    found = choices()
    wish = found.breaking[0]
    assert take(found, wish.lift).job == 7
    assert started[0].pins[0].lift == wish.lift


def test_a_choice_can_be_taken_back(today):
    before, found = plan(), choices()
    version = season.get_season_strip(gym=BARN).plan_version
    take(found, found.legal[0].lift)
    strip = season.go_back(**IN_BARN, to=version)
    assert plan().work == before.work
    assert season.get_planned_season(gym=BARN).pins == ()
    assert strip.plan_version == version + 2


def test_only_a_version_that_is_there_can_be_put_back(today):
    with pytest.raises(NotFoundError, match="no season plan 99"):
        season.go_back(**IN_BARN, to=99)


def test_what_was_trained_is_not_chosen_again(today):
    lift = lift_of(ME_LOWER, MONDAY)
    with (
        clock.held_at(noon(MONDAY + timedelta(days=5))),
        pytest.raises(SeasonError, match="trained already"),
    ):
        season_editing.get_choices(gym=BARN, slot=ME_LOWER, monday=MONDAY, lift=lift)


def test_prices_are_refused_once_the_gym_is_another(today):
    move_main(1)
    with pytest.raises(SeasonOutdatedError, match="Plan again: the new plan stays close"):
        choices()


def test_two_who_change_the_season_at_once_do_not_overwrite_each_other(today):
    found = choices()
    take(found, found.legal[0].lift)
    with pytest.raises(SeasonChangedError, match="while it was being planned"):
        save(BARN, BY, _a_draft(), MONDAY, 1, "plan_season")


def _a_draft():
    from heftwright.usecases.gathering import Gathered
    from heftwright.usecases.season_planning import Draft, problem_of

    before = season.get_planned_season(gym=BARN)
    problem = problem_of(Gathered(BARN, MONDAY), before, before.edits)
    return Draft(problem, problem.plan_of(problem.chosen_of(before.plan)), None, before.edits)


def pins_that_clash():
    """The same squat as a max in two weeks running, and a pin that is in nobody's way."""
    weeks = [MONDAY + timedelta(weeks=n) for n in (1, 2)]
    lift = LiftKey("back_squat")
    harmless = Pin(Slot.MAX_EFFORT_UPPER, weeks[0], LiftKey("incline"))
    firm = Pin(ME_LOWER, weeks[0], lift, firmness=Firmness.RETEST)
    return firm, Pin(ME_LOWER, weeks[1], lift), harmless


def test_pins_that_cannot_hold_together_are_named_with_the_cheapest_way_out(today):
    firm, soft, harmless = pins_that_clash()
    edits = SeasonEdits(pins=(firm, soft, harmless))
    with pytest.raises(SeasonConflictError, match="Cheapest way out") as refused:
        season.plan_season(**IN_BARN, limit_s=3.0, edits=edits)
    conflict = refused.value.conflict
    assert set(conflict.clash) == {firm, soft}
    assert conflict.cheapest == (soft,)


def test_a_pin_on_what_cannot_be_says_why_it_cannot(today):
    contest_week = MONDAY + timedelta(weeks=8)
    edits = SeasonEdits(pins=(Pin(ME_LOWER, contest_week, LiftKey("back_squat")),))
    with pytest.raises(SeasonConflictError, match="contest week has no main work") as refused:
        season.plan_season(**IN_BARN, limit_s=0.5, edits=edits)
    assert refused.value.conflict.clash == edits.pins


def test_a_lift_ruled_out_before_there_was_a_choice_of_place_is_ruled_out_everywhere(today):
    """A season kept by an older version names no place; it was meant everywhere."""
    ban = Forbid(LiftKey("box_squat"), MONDAY, MONDAY + timedelta(weeks=7))
    season.plan_season(**IN_BARN, limit_s=0.5, edits=SeasonEdits(forbids=(ban,)))
    row = SeasonPlanRow.objects.order_by("-version").first()
    (kept,) = row.document["forbids"]
    del kept["place"]
    row.save()
    assert season.get_planned_season(gym=BARN).forbids == (ban,)
    season.plan_season(**IN_BARN, limit_s=0.5)
    assert season.get_planned_season(gym=BARN).forbids[0].place is ForbidPlace.EVERYWHERE
    used = {work.lift for work in plan().work} | {block.lift for block in plan().after}
    assert ban.lift not in used


def test_taking_back_what_is_not_there_is_refused(today):
    with pytest.raises(NotFoundError, match="is not ruled out"):
        season.edits_without_forbid(SeasonEdits(), LiftKey("deadlift"))
    with pytest.raises(NotFoundError, match="Nothing is pinned"):
        season.edits_without_pin(SeasonEdits(), ME_LOWER, date(2026, 9, 7))


def test_a_contest_for_a_few_does_not_ease_the_squad(today):
    side = contests.get_contest(gym=BARN, contest=SIDE)
    monday = side.on - timedelta(days=side.on.weekday())
    assert not any(work.is_easy or work.is_taper for work in plan().work if work.monday == monday)


def suppose(**more):
    return what_if.suppose(BARN, Supposition(**more), limit_s=1.0)


def test_a_moved_contest_is_tried_on_a_copy_and_nothing_is_kept(today):
    before = season.get_planned_season(gym=BARN)
    main = contests.get_contest(gym=BARN, contest=MAIN)
    found = suppose(moved=(MovedContest(MAIN, main.on + timedelta(weeks=1)),))
    assert found.words == (
        f"Harbour Day is on {main.on + timedelta(weeks=1)} instead of {main.on}.",
    )
    assert found.days
    assert len(found.after.strip.weeks) == len(found.before.weeks) + 1
    assert season.get_planned_season(gym=BARN) == before
    assert contests.get_contest(gym=BARN, contest=MAIN) == main


def test_the_days_shown_are_those_that_differ_and_say_both_sides(today):
    found = suppose(away=(KitAway(KitKey("axle"), 2),))
    told = {(day.slot, day.monday): day for day in found.days}
    for (slot, monday), day in told.items():
        assert plan().on(slot, monday) != found.after.plan.on(slot, monday)
        assert day.before != day.after
    lost = [work for work in plan().work if "axle" in work.lift and not work.is_easy]
    assert {(work.slot, work.monday) for work in lost} <= set(told)
    assert not any("axle" in work.lift for work in main_work(found.after.plan))


def run_what_if(supposition):
    """The job's work, done here and now."""
    job = Job.objects.create(
        gym=Gym.objects.get(slug=BARN), kind=what_if.WHAT_IF_JOB, about="", started_by="Hilde",
        created_at=clock.now(), ended_at=clock.now(), state=JobState.DONE,
        result=to_document(what_if.suppose(BARN, supposition, limit_s=1.0)),
    )  # fmt: skip
    return job.pk


def test_adopting_makes_the_supposition_true(today):
    main = contests.get_contest(gym=BARN, contest=MAIN)
    later = main.on + timedelta(weeks=1)
    version = season.get_season_strip(gym=BARN).plan_version
    job = run_what_if(Supposition(moved=(MovedContest(MAIN, later),)))
    copy = what_if.get_what_if(gym=BARN, job=job)
    what_if.adopt_what_if(**IN_BARN, job=job)
    assert plan() == copy.after.plan
    assert contests.get_contest(gym=BARN, contest=MAIN).on == later
    assert season.get_season_strip(gym=BARN).plan_version == version + 1


def test_kit_that_is_away_stays_away_until_it_is_back(today):
    job = run_what_if(Supposition(away=(KitAway(KitKey("axle"), 2),)))
    what_if.adopt_what_if(**IN_BARN, job=job)
    season.plan_season(**IN_BARN, limit_s=0.5)
    assert not any("axle" in work.lift for work in main_work(plan()))
    edits = season.edits_with_kit_back(season.get_planned_season(gym=BARN).edits, KitKey("axle"))
    assert edits.away == ()


def test_a_copy_of_an_older_season_is_not_adopted(today):
    rule = Restriction("overhead", MONDAY, MONDAY + timedelta(weeks=4))
    job = run_what_if(Supposition(hurt=(Hurt(AthleteId("a1"), rule),)))
    found = choices()
    take(found, found.legal[0].lift)
    with pytest.raises(SeasonChangedError, match="while it was being planned"):
        what_if.adopt_what_if(**IN_BARN, job=job)
    assert squad.get_athlete(gym=BARN, athlete=AthleteId("a1")).restrictions == ()


def test_an_injured_athlete_gets_a_restriction_when_adopted(today):
    rule = Restriction("overhead", MONDAY, MONDAY + timedelta(weeks=4))
    job = run_what_if(Supposition(hurt=(Hurt(AthleteId("a1"), rule),)))
    what_if.adopt_what_if(**IN_BARN, job=job)
    assert squad.get_athlete(gym=BARN, athlete=AthleteId("a1")).restrictions == (rule,)
    mine = own_seasons.get_own_season(gym=BARN, athlete=AthleteId("a1"))
    others = [day for week in mine.weeks[:4] for day in week.days if day.lift != day.work.lift]
    assert others
    for day in others:
        assert "overhead" not in mine.catalogue[day.lift].tags
        assert "not open to" in day.why[-1]


@pytest.mark.parametrize(
    ("supposition", "error", "said"),
    [
        (Supposition(), SeasonError, "Suppose something"),
        (
            Supposition(moved=(MovedContest("none", MONDAY),)), NotFoundError, "no contest “none”",
        ),
        (
            Supposition(hurt=(Hurt(AthleteId("x"), Restriction("overhead", MONDAY)),)),
            NotFoundError, "no athlete “x”",
        ),
    ],
)  # fmt: skip
def test_a_supposition_must_name_what_is_there(today, supposition, error, said):
    with pytest.raises(error, match=said):
        what_if.start_what_if(**IN_BARN, supposition=supposition)


def test_those_who_enter_a_small_contest_taper_for_it_alone(today):
    """Winwood et al. 2018: volume −45.5 %, last training 3.9 ± 1.8 days before."""
    side = contests.get_contest(gym=BARN, contest=SIDE)
    monday = side.on - timedelta(days=side.on.weekday())

    def days_of(athlete):
        found = own_seasons.get_own_season(gym=BARN, athlete=AthleteId(athlete)).weeks
        return next(week for week in found if week.monday == monday)

    mine, theirs = days_of("a1"), days_of("a8")
    assert [contest.id for contest in mine.contests] == [SIDE]
    assert theirs.contests == ()
    for day in mine.days:
        before = (side.on - day.on).days
        assert day.volume_ratio == pytest.approx(0.0 if before < 3 else 0.545)
    assert all(day.volume_ratio == 1 for day in theirs.days)


def test_those_who_enter_the_squads_contest_rest_before_it(today):
    main = contests.get_contest(gym=BARN, contest=MAIN)
    weeks = own_seasons.get_own_season(gym=BARN, athlete=AthleteId("a1")).weeks
    last = next(week for week in weeks if week.contests and week.contests[0].id == MAIN)
    rested = [day.on for day in last.days if day.volume_ratio == 0]
    assert all(day.lift == day.work.lift for day in last.days)  # light: no last heavy day to keep
    assert rested
    assert all((main.on - on).days < 3 for on in rested)


def test_whoever_travels_to_a_contest_abroad_does_not_train_on_those_days(today):
    # Brine Novice is on a Saturday: three days before it is the Wednesday, two after the Monday.
    side = contests.get_contest(gym=BARN, contest=SIDE)
    travels.set_travel(**IN_BARN, travel=Travel(SIDE, 3, 2))
    first, last = side.on - timedelta(days=3), side.on + timedelta(days=2)
    entrant, other = side.entries[0].athlete, "a8"
    days = {day.on: day for week in own_seasons.get_own_season(gym=BARN, athlete=entrant).weeks
            for day in week.days}  # fmt: skip
    away = [day for on, day in days.items() if first <= on <= last]
    assert len(away) == 4  # Thursday, Friday, Saturday, Monday
    assert all(day.volume_ratio == 0 for day in away)
    said = {day.on: " ".join(day.why) for day in away}
    assert "on the way to Brine Novice" in said[side.on - timedelta(days=1)]
    assert "is at Brine Novice" in said[side.on]
    assert "on the way home from Brine Novice" in said[last]
    stays = own_seasons.get_own_season(gym=BARN, athlete=other)
    assert not any("Brine" in " ".join(day.why) for week in stays.weeks for day in week.days)
    season.plan_season(**IN_BARN, limit_s=0.7)
    warned = " ".join(season.get_planned_season(gym=BARN).warnings)
    assert "2 of the squad travel to Brine Novice" in warned
    assert "they miss 4 main days" in warned


def test_whoever_competes_near_home_is_away_on_the_day_alone(today):
    side = contests.get_contest(gym=BARN, contest=SIDE)
    entrant = side.entries[0].athlete
    told = {day.on: " ".join(day.why) for day in own_days(entrant)}
    assert "is at Brine Novice" in told[side.on]
    assert not any("on the way" in words for words in told.values())


@pytest.mark.parametrize(("before", "after"), [(0, 0), (-1, 2), (15, 0)])
def test_days_of_travel_are_a_few(before, after):
    with pytest.raises(ContestError, match="0 to 14"):
        Travel(SIDE, before, after)


def test_nobody_unknown_has_a_season(today):
    with pytest.raises(NotFoundError, match="no athlete “zed”"):
        own_seasons.get_own_season(gym=BARN, athlete=AthleteId("zed"))


def own_days(athlete, slot=None):
    """An athlete's days ahead, of one slot or all."""
    weeks = own_seasons.get_own_season(gym=BARN, athlete=AthleteId(athlete)).weeks
    return [day for week in weeks for day in week.days if slot in (None, day.slot)]


def change(athlete, **more):
    person = squad.get_athlete(gym=BARN, athlete=AthleteId(athlete))
    squad.change_athlete(**IN_BARN, athlete=replace(person, **more))


def test_whoever_comes_back_from_a_lay_off_starts_with_half_and_without_a_max(today):
    """CSCCa–NSCA 2019 (memory): 50, 70, 80, 90 % of the usual volume, no max till then."""
    back = MONDAY + timedelta(weeks=1)
    change("a1", away_since=MONDAY - timedelta(weeks=4), back_on=back, born_on=date(1990, 1, 1))
    away = [day for day in own_days("a1") if day.on < back]
    assert away
    assert all(day.volume_ratio == 0 and "is away until" in day.why[0] for day in away)
    for n, ratio in enumerate((0.5, 0.7, 0.8, 0.9)):
        first, last = back + timedelta(weeks=n), back + timedelta(weeks=n + 1)
        days = [day for day in own_days("a1") if first <= day.on < last]
        assert days
        assert all(day.volume_ratio <= ratio for day in days)
        heavy = [day for day in days if day.work.max_effort is not None]
        assert all(day.lift is None for day in heavy)


def test_nobody_under_18_builds_up_to_a_single(today):
    change("a2", born_on=MONDAY - timedelta(days=16 * 366))
    change("a3", born_on=date(1990, 1, 1))
    singles = [day for day in own_days("a2") if day.work.max_effort == "single"]
    assert singles
    assert all(day.top == "triple" and "Under 18" in " ".join(day.why) for day in singles)
    grown = [day for day in own_days("a3") if day.work.max_effort == "single"]
    assert all(day.top is None for day in grown)


def test_a_beginner_who_joins_mid_season_trains_with_the_class_from_that_day_on(today):
    joins = MONDAY + timedelta(weeks=3)
    person = squad.get_athlete(gym=BARN, athlete=AthleteId("a3"))
    new = replace(person, id=AthleteId("new"), name="Wren", number=99, joined_on=joins)
    squad.add_athlete(**IN_BARN, athlete=new)
    for day in own_days("new"):
        assert (day.volume_ratio == 0) == (day.on < joins)
        if day.on < joins:
            assert day.why == (f"Wren joins on {joins:%-d %B}.",)


def test_a_substitute_of_the_same_day_stands_in_for_what_is_restricted(today):
    overhead = {
        day.on
        for day in own_days("a4", Slot.MAX_EFFORT_UPPER)
        if "overhead" in CATALOGUE[day.work.lift].tags
    }
    rule = Restriction("overhead", MONDAY, MONDAY + timedelta(weeks=30))
    change("a4", restrictions=(rule,))
    days = [day for day in own_days("a4", Slot.MAX_EFFORT_UPPER) if day.on in overhead]
    assert days
    for day in days:
        assert day.lift is not None
        assert "overhead" not in CATALOGUE[day.lift].tags
        assert Slot.MAX_EFFORT_UPPER in CATALOGUE[day.lift].slots
        assert "not open to" in " ".join(day.why)
