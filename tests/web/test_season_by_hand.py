"""The season's page as a coach uses it: prices, a pin, a clash, a what-if, taking it back."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.test import Client
from floor_cast import PASSWORD, client_of
from tests.usecases.season_cast import BARN, IN_BARN, MAIN, MONDAY, noon, open_barn

from heftwright.domain.catalogue import LiftKey, Slot
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.problem import Firmness, Forbid, ForbidPlace, Pin
from heftwright.store.documents import to_document
from heftwright.store.models import Gym, Job, JobState, SeasonPlanRow
from heftwright.usecases import accounts, clock, contests, jobs, lifts, season, what_if
from heftwright.usecases.permissions import Role
from heftwright.usecases.season import PLAN_JOB, PinConflict, SeasonEdits
from heftwright.usecases.what_if import WHAT_IF_JOB, MovedContest, Supposition

URL = f"/gym/{BARN}/season/"
ME_LOWER = Slot.MAX_EFFORT_LOWER


@pytest.fixture(scope="module")
def barn(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock(), clock.held_at(noon(MONDAY)):
        open_barn()
        for role, name in ((Role.HEAD_COACH, "Hal"), (Role.ASSISTANT, "Asa")):
            secret = accounts.make_first_sign_in_link(**IN_BARN, role=role)
            accounts.redeem_first_sign_in(secret=secret, name=name, password=PASSWORD)
        season.plan_season(**IN_BARN, limit_s=0.7)
        yield
        call_command("flush", interactive=False, verbosity=0)


@pytest.fixture
def coach(barn, db, monkeypatch) -> Client:
    """A head coach; jobs wait instead of starting threads."""
    monkeypatch.setattr(jobs, "_start_thread", lambda _: None)
    with clock.held_at(noon(MONDAY)):
        yield client_of("Hal")


@pytest.fixture
def assistant_coach(coach) -> Client:
    """Looks at the season, and plans none."""
    return client_of("Asa")


def text(answer):
    return answer.content.decode()


def planned():
    return season.get_planned_season(gym=BARN)


def place(slot=ME_LOWER, week=2):
    monday = MONDAY + timedelta(weeks=week)
    lift = planned().plan.on(slot, monday)[0].lift
    return {"slot": slot.value, "monday": str(monday), "lift": lift}


def open_menu(client, **where):
    return text(client.get(URL + "choices", where or place(), headers={"HX-Request": "true"}))


def first_wish(menu):
    """The first legal choice's lift, read from the page as a browser would send it."""
    return re.search(r'name="wish" value="([^"]+)"', menu).group(1)


def test_every_main_day_ahead_leads_to_its_choices(coach):
    page = text(coach.get(URL))
    assert "Other choices and their prices" in page
    assert "light" in page
    assert "style=" not in page


def test_the_menu_shows_prices_rules_and_what_cannot_be(coach):
    menu = open_menu(coach)
    assert "In place of" in menu
    assert re.search(r"costs|gains|practically tied", menu)
    assert "that break a rule as things stand" in menu
    near_contest = open_menu(coach, **place(week=7))
    assert "that cannot be had here" in near_contest
    assert "too close to the contest" in near_contest


def test_without_scripts_the_menu_is_a_page_of_its_own(coach):
    page = text(coach.get(URL + "choices", place()))
    assert "<html" in page
    assert "In place of" in page


def test_taking_a_choice_changes_that_day_and_offers_undo(coach):
    where = place()
    wish = first_wish(open_menu(coach))
    answer = coach.post(URL + "take", {**where, "wish": wish}, follow=True)
    page = text(answer)
    assert "Taken and pinned" in page
    now = planned().plan.on(ME_LOWER, MONDAY + timedelta(weeks=2))[0].lift
    assert now == wish
    back = re.search(r'action="([^"]+/season/back/\d+)"', page).group(1)
    assert "is back" in text(coach.post(back, follow=True))
    assert planned().plan.on(ME_LOWER, MONDAY + timedelta(weeks=2))[0].lift == where["lift"]


def test_a_choice_that_breaks_a_rule_is_planned_in_the_background(coach):
    menu = open_menu(coach)
    tail = menu.split("that break a rule as things stand")[1]
    answer = coach.post(URL + "take", {**place(), "wish": first_wish(tail)}, follow=True)
    assert "Planning the season" in text(answer)
    job = Job.objects.get(kind=PLAN_JOB)
    assert job.arguments["edits"]["pins"][0]["lift"] == first_wish(tail)


def test_two_plannings_at_once_are_refused_in_words(coach):
    coach.post(URL + "plan")
    lift = place()["lift"]
    typed = {"monday": str(MONDAY), "lift": lift, "weeks": "4"}
    answer = coach.post(URL + "forbid", typed)
    assert answer.status_code == 422
    assert "wait for it or stop it" in text(answer)


def test_ruling_out_a_lift_for_four_weeks_plans_again(coach):
    typed = {"monday": str(MONDAY), "lift": place()["lift"], "weeks": "4"}
    assert coach.post(URL + "forbid", typed).status_code == 302
    forbid = Job.objects.get(kind=PLAN_JOB).arguments["edits"]["forbids"][0]
    assert forbid["to_monday"] == str(MONDAY + timedelta(weeks=3))


def test_a_main_lift_is_ruled_out_everywhere(coach):
    typed = {"monday": str(MONDAY), "lift": place()["lift"], "weeks": "4"}
    coach.post(URL + "forbid", typed)
    forbid = Job.objects.get(kind=PLAN_JOB).arguments["edits"]["forbids"][0]
    assert forbid["place"] == "everywhere"


def test_what_follows_a_main_lift_is_ruled_out_of_its_place_unless_the_coach_says_everywhere(coach):
    menu = text(coach.get(URL + "after", after_place(), headers={"HX-Request": "true"}))
    assert '<option value="after" selected>only after main lifts</option>' in menu
    assert '<option value="everywhere">everywhere, as a main lift too</option>' in menu
    block = planned().plan.after[0]
    typed = {"monday": str(block.monday), "lift": block.lift, "weeks": "4", "place": "after"}
    coach.post(URL + "forbid", typed)
    (forbid,) = Job.objects.get(kind=PLAN_JOB).arguments["edits"]["forbids"]
    assert (forbid["lift"], forbid["place"]) == (block.lift, "after")


def test_the_list_says_where_a_lift_is_ruled_out_and_each_line_is_allowed_by_itself(coach):
    lift, last = LiftKey("box_squat"), MONDAY + timedelta(weeks=3)
    bans = tuple(Forbid(lift, MONDAY, last, place=place) for place in ForbidPlace)
    edits = SeasonEdits(forbids=bans)
    season.plan_season(**IN_BARN, limit_s=0.5, edits=edits)
    page = text(coach.get(URL))
    assert page.count("Box squat, weeks of") == 2
    assert page.count("; only as second lift or event practice") == 1
    coach.post(URL + "allow", {"lift": lift, "place": "after"})
    (left,) = Job.objects.get(kind=PLAN_JOB).arguments["edits"]["forbids"]
    assert left["place"] == "everywhere"


@pytest.mark.parametrize(
    ("way", "typed"),
    [
        ("forbid", {"monday": "2026-09-07", "lift": "x", "weeks": "4", "place": "nowhere"}),
        ("take", {"slot": "max_effort_lower"}),
        ("forbid", {"monday": "2026-09-07", "lift": "x", "weeks": "9"}),
        ("unpin", {"slot": "handstand", "monday": "2026-09-07"}),
    ],
)
def test_what_cannot_be_read_is_refused(coach, way, typed):
    assert coach.post(URL + way, typed).status_code == 422


def failed_job():
    monday = MONDAY + timedelta(weeks=1)
    firm = Pin(ME_LOWER, monday, LiftKey("back_squat"), firmness=Firmness.RETEST)
    soft = Pin(ME_LOWER, monday + timedelta(weeks=1), LiftKey("back_squat"))
    conflict = PinConflict((firm, soft), (soft,), ("Not all pins can hold together.",))
    edits = SeasonEdits(pins=(firm, soft))
    later = clock.now() + timedelta(days=365 * 5)  # versions carry the server's own time
    return Job.objects.create(
        gym=Gym.objects.get(slug=BARN), kind=PLAN_JOB, about="", started_by="Hal",
        created_at=clock.now(), ended_at=later, state=JobState.FAILED,
        message="Not all pins can hold together.",
        best={"conflict": to_document(conflict), "edits": to_document(edits)},
    ).pk  # fmt: skip


def after_place(**more):
    """A block that the plan chose by itself."""
    block = planned().plan.after[0]
    return {"slot": block.slot.value, "monday": str(block.monday), **more}


def test_what_follows_a_main_lift_is_chosen_pinned_and_left_to_the_plan_again(coach):
    page = text(coach.get(URL))
    assert URL + "after?slot=" in page
    place, lift = after_place(), planned().plan.after[0].lift
    menu = text(coach.get(URL + "after", place, headers={"HX-Request": "true"}))
    assert "Pin it" in menu
    page = text(coach.post(URL + "after/take", {**place, "wish": lift}, follow=True))
    assert "Pinned. The main lifts stay as they are." in page
    whole = text(coach.get(URL + "after", place))
    assert "pinned by you" in whole
    assert "Nothing after it this week" in whole
    coach.post(URL + "after/take", {**place, "wish": ""})
    assert "and nothing else" in text(coach.get(URL))
    page = text(coach.post(URL + "after/free", place, follow=True))
    assert "the plan has chosen again" in page


def test_a_block_that_cannot_follow_is_refused_in_words(coach):
    answer = coach.post(URL + "after/take", after_place(wish="deadlift"))
    assert answer.status_code == 422
    assert "no second lift or event practice of that day" in text(answer)


def kept_by_older_rules():
    """A good morning with a long set-up in the second week, as an older program kept it."""
    row = SeasonPlanRow.objects.order_by("-version").first()
    day = planned().plan.on(ME_LOWER, MONDAY + timedelta(weeks=1))[0]
    work = [
        replace(item, lift=LiftKey("hung_good_morning")) if item == day else item
        for item in planned().plan.work
    ]
    row.document["plan"] = to_document(replace(planned().plan, work=tuple(work)))
    row.save()


@pytest.mark.parametrize("headers", [{}, {"HX-Request": "true"}])
def test_a_season_of_older_rules_says_which_rule_and_offers_to_plan_again(coach, headers):
    kept_by_older_rules()
    ways = ((URL + "choices", place()), (URL + "after", {"slot": "max_effort_lower",
             "monday": str(MONDAY + timedelta(weeks=2))}))  # fmt: skip
    for url, asked in ways:
        answer = coach.get(url, asked, headers=headers)
        page = text(answer)
        assert answer.status_code == 200
        assert "This season no longer fits the gym or the rules of today." in page
        assert "week of 14 Sep: its long set-up is kept for the weeks before" in page
        assert f'action="{URL}plan"' in page
        assert "Plan again, close to this one" in page


def test_a_choice_from_an_older_page_is_answered_the_same_way(coach):
    found = first_wish(text(coach.get(URL + "choices", place())))
    kept_by_older_rules()
    answer = coach.post(URL + "take", {**place(), "wish": found})
    assert answer.status_code == 422
    assert "Plan again, close to this one" in text(answer)
    coach.post(URL + "plan")
    assert Job.objects.get(kind=PLAN_JOB).arguments["edits"] is None  # its pins and bans are kept


def test_who_may_not_plan_is_told_who_may(assistant_coach):
    kept_by_older_rules()
    page = text(assistant_coach.get(URL + "choices", place()))
    assert "Whoever plans the season can plan it again" in page
    assert f'action="{URL}plan"' not in page


def test_a_season_that_breaks_a_rule_of_today_shows_prices_and_the_rule(coach):
    row = SeasonPlanRow.objects.order_by("-version").first()
    one, two = (planned().plan.on(ME_LOWER, MONDAY + timedelta(weeks=n))[0] for n in (3, 4))
    work = tuple(
        replace(item, lift=one.lift, max_effort=one.max_effort) if item == two else item
        for item in planned().plan.work
    )
    row.document["plan"] = to_document(replace(planned().plan, work=work))
    row.save()
    menu = text(coach.get(URL + "choices", place(), headers={"HX-Request": "true"}))
    assert "As it stands this season breaks a rule of today's." in menu
    assert "the same lift comes back too soon" in menu
    assert "Plan again without a change by hand" in menu
    assert "Take" in menu


def test_a_clash_names_the_pins_and_the_cheapest_way_out(coach):
    failed_job()
    page = text(coach.get(URL))
    assert "These pins cannot hold together" in page
    assert page.count("Drop this one") == 2
    assert "the cheapest way out" in page


def test_dropping_one_pin_of_a_clash_plans_with_the_other(coach):
    job = failed_job()
    coach.post(f"{URL}settle/{job}", {"drop": "1"})
    pins = Job.objects.exclude(pk=job).get().arguments["edits"]["pins"]
    assert [pin["firmness"] for pin in pins] == [Firmness.RETEST]


def failed_by_a_block():
    """A squat after Thursday's pull, which leaves the pull and Friday's press no room."""
    monday = MONDAY + timedelta(weeks=1)
    pull = Pin(ME_LOWER, monday, LiftKey("high_deadlift"), firmness=Firmness.CONTEST)
    squat = AfterPin(ME_LOWER, monday, LiftKey("yoke_bar_box_squat"))
    keg = AfterPin(Slot.DYNAMIC_LOWER, monday, LiftKey("keg_loading"))
    said = ("Not all pins can hold together.",)
    conflict = PinConflict((pull,), (), said, (squat,), (squat,))
    edits = SeasonEdits(pins=(pull,), after_pins=(squat, keg))
    later = clock.now() + timedelta(days=365 * 5)
    return Job.objects.create(
        gym=Gym.objects.get(slug=BARN), kind=PLAN_JOB, about="", started_by="Hal",
        created_at=clock.now(), ended_at=later, state=JobState.FAILED, message=said[0],
        best={"conflict": to_document(conflict), "edits": to_document(edits)},
    ).pk  # fmt: skip


def test_a_clash_names_the_block_after_a_main_lift_as_the_cheapest_way_out(coach):
    failed_by_a_block()
    page = text(coach.get(URL))
    assert page.count("Drop this one") == 2
    named = "Yoke-bar box squat after max-effort lower, week of 14 Sep"
    assert f'{named}<span class="quiet">the cheapest way out</span>' in page
    assert page.count("the cheapest way out") == 1


def test_dropping_the_block_keeps_the_main_pin_and_the_other_blocks(coach):
    job = failed_by_a_block()
    coach.post(f"{URL}settle/{job}", {"drop": "1"})
    edits = Job.objects.exclude(pk=job).get().arguments["edits"]
    assert [pin["lift"] for pin in edits["pins"]] == ["high_deadlift"]
    assert [pin["lift"] for pin in edits["after_pins"]] == ["keg_loading"]


def test_a_clash_needs_a_pin_to_drop(coach):
    job = failed_job()
    assert coach.post(f"{URL}settle/{job}", {}).status_code == 422
    other = Job.objects.create(
        gym=Gym.objects.get(slug=BARN), kind="other", about="", started_by="Hal",
        created_at=clock.now(),
    )  # fmt: skip
    assert coach.post(f"{URL}settle/{other.pk}", {"drop": "0"}).status_code == 404


def test_every_supposition_starts_a_copy(coach):
    main = contests.get_contest(gym=BARN, contest=MAIN)
    later = str(main.on + timedelta(weeks=1))
    asked = [
        {"kind": "moved", "contest": MAIN, "on": later},
        {"kind": "added", "name": "Ebb Day", "on": later, "like": MAIN, "importance": "1"},
        {"kind": "away", "kit": "axle", "units": "1"},
        {"kind": "hurt", "athlete": "a1", "tag": "overhead", "until": later},
    ]
    for typed in asked:
        answer = coach.post(URL + "what-if/", typed)
        assert answer.status_code == 302, typed
        assert "A copy is being planned" in text(coach.get(answer.headers["Location"]))
    assert Job.objects.filter(kind=WHAT_IF_JOB).count() == len(asked)


@pytest.mark.parametrize(
    "typed",
    [{}, {"kind": "moved"}, {"kind": "away", "kit": "axle", "units": "0"}, {"kind": "tide"}],
)
def test_a_supposition_that_says_nothing_is_refused_at_the_form(coach, typed):
    assert coach.post(URL + "what-if/", typed).status_code == 422


def made_copy():
    main = contests.get_contest(gym=BARN, contest=MAIN)
    supposed = Supposition(moved=(MovedContest(MAIN, main.on + timedelta(weeks=1)),))
    return Job.objects.create(
        gym=Gym.objects.get(slug=BARN), kind=WHAT_IF_JOB, about="", started_by="Hal",
        created_at=clock.now(), ended_at=clock.now(), state=JobState.DONE,
        result=to_document(what_if.suppose(BARN, supposed, limit_s=0.7)),
    ).pk  # fmt: skip


def test_a_copy_stands_beside_the_season_and_is_adopted_or_dropped(coach):
    job, before = made_copy(), planned()
    page = text(coach.get(f"{URL}what-if/{job}/"))
    assert "Side by side" in page
    assert "Harbour Day is on" in page
    assert "Drop it" in page
    assert planned() == before
    assert "Adopted" in text(coach.post(f"{URL}what-if/{job}/adopt", follow=True))
    assert planned().plan != before.plan


def test_a_planning_job_is_no_what_if(coach):
    coach.post(URL + "plan")
    job = Job.objects.get(kind=PLAN_JOB)
    assert coach.get(f"{URL}what-if/{job.pk}/").status_code == 404


def test_an_athletes_own_season_says_where_it_differs(coach):
    page = text(coach.get(f"/gym/{BARN}/squad/a1/season"))
    assert "season" in page
    assert "Brine Novice" in page
    assert "55\u202f% of the sets" in page.replace("&#8239;", "\u202f") or "rest" in page


def test_a_coach_adds_a_lift_by_copying_the_nearest(coach):
    answer = coach.post(URL + "lifts/new", {"name": "Wheel axle deadlift", "like": ""}, follow=True)
    page = text(answer)
    assert "copied from Axle deadlift" in page
    form = dict(re.findall(r'name="([a-z_]+)"[^>]*?value="([^"]*)"', page))
    picked = re.findall(r'<select id="f-([a-z_]+)".*?<option value="([^"]*)" selected', page, re.S)
    typed = {**form, **dict(picked), "setup_min": "7", "tag_overhead": ""}
    saved = coach.post(URL + "lifts/wheel_axle_deadlift/", typed, follow=True)
    assert "is saved" in text(saved)
    own = lifts.get_own_lifts(gym=BARN)[0]
    assert (own.key, own.setup_min) == ("wheel_axle_deadlift", 7.0)
    assert "your own" in text(coach.get(URL + "lifts/"))
    assert "The lift is removed" in text(
        coach.post(URL + "lifts/wheel_axle_deadlift/drop", follow=True)
    )


@pytest.mark.parametrize("name", ["", "Axle deadlift"])
def test_a_lift_needs_a_name_of_its_own(coach, name):
    assert coach.post(URL + "lifts/new", {"name": name, "like": ""}).status_code == 422


def test_a_number_out_of_range_keeps_what_was_typed(coach):
    page = text(coach.get(URL + "lifts/axle_deadlift/"))
    form = dict(re.findall(r'name="([a-z_]+)"[^>]*?value="([^"]*)"', page))
    answer = coach.post(
        URL + "lifts/axle_deadlift/",
        {**form, "implement": "axle", "grip": "thick", "stance": "conventional", "range": "full",
         "setup_min": "90"},
    )  # fmt: skip
    assert answer.status_code == 422
    assert "must lie in 0–60" in text(answer)
    assert 'value="90"' in text(answer)


def test_no_lift_no_page(coach):
    assert coach.get(URL + "lifts/handstand/").status_code == 404


def test_shut_days_are_entered_and_taken_back(coach):
    typed = {"first": "2026-12-24", "last": "2026-12-26", "why": "Yuletide"}
    assert "Yuletide" in text(coach.post(URL + "shut/", typed, follow=True))
    gone = text(coach.post(URL + "shut/2026-12-24/remove", follow=True))
    assert "open all year" in gone
    wrong = coach.post(URL + "shut/", {"first": "2026-12-24", "last": "2026-12-20", "why": "x"})
    assert wrong.status_code == 422
    assert coach.post(URL + "shut/", {"first": "", "why": ""}).status_code == 422


def test_days_of_travel_to_a_contest_abroad_are_entered_on_its_page(coach):
    page = f"/gym/{BARN}/contests/{MAIN}/"
    assert "No days of travel" in text(coach.get(page))
    typed = {"days_before": "3", "days_after": "1"}
    answer = coach.post(page + "travel", typed, follow=True)
    assert "away 3 days before and 1 after it" in text(answer)
    assert (
        coach.post(f"/gym/{BARN}/contests/{MAIN}/travel", {"days_before": "x"}).status_code == 422
    )
    typed = {"days_before": "0", "days_after": "0"}
    answer = coach.post(page + "travel", typed, follow=True)
    assert "No days of travel" in text(answer)


def test_a_calendar_link_feeds_whoever_has_it_until_it_is_revoked(coach):
    page = text(coach.post(URL + "calendar"))
    path = re.search(r"/calendar/[^/\"]+/classes\.ics", page).group(0)
    answer = Client().get(path)
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.content.startswith(b"BEGIN:VCALENDAR")
    line = accounts.get_links(gym=BARN)[0]
    accounts.revoke_link(**IN_BARN, link=line.key)
    assert Client().get(path).status_code == 404
    mine = text(coach.post(f"/gym/{BARN}/squad/a1/calendar"))
    assert "Lifter 1&#x27;s calendar" in mine


def test_an_assistant_sees_prices_but_changes_nothing(coach):
    assistant = client_of("Asa")
    menu = open_menu(assistant)
    assert "In place of" in menu
    assert "<form" not in menu
    assert assistant.post(URL + "take", place()).status_code == 403
