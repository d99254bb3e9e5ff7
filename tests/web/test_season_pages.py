"""The season's page: the strip, the week sheet, a running plan with a stop."""

from dataclasses import replace
from datetime import timedelta

import pytest
from floor_cast import ROW

from heftwright.domain.catalogue import LiftKey, Slot
from heftwright.domain.season import SlotWork
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.sheet import ContestPost, SeasonStrip, StripBlock, StripLane, StripWeek
from heftwright.store import plan_rows
from heftwright.store.models import Gym, Job, JobState
from heftwright.usecases import clock
from heftwright.usecases.season import PLAN_JOB, PlannedSeason

URL = f"/gym/{ROW}/season/"


@pytest.fixture
def season(house):
    """Three weeks: one wave of axle deadlifts, then a contest."""
    monday = house.on
    weeks = [monday + timedelta(weeks=n) for n in range(3)]
    work = tuple(
        SlotWork(Slot.DYNAMIC_LOWER, day, LiftKey("axle_deadlift"), wave_week=n + 1, wave_weeks=2)
        for n, day in enumerate(weeks[:2])
    )
    block = StripBlock(
        0, 2, "Axle deadlift", "bands, medium sets", (0.5, 0.8),
        reasons=("Stands in the contest ahead.",), runner_up="Deadlift, 4 % less",
    )  # fmt: skip
    strip = SeasonStrip(
        weeks=(
            StripWeek(weeks[0], "normal"), StripWeek(weeks[1], "taper"),
            StripWeek(weeks[2], "contest"),
        ),
        lanes=(StripLane(Slot.DYNAMIC_LOWER.value, "Dynamic-effort lower", (block,)),),
        posts=(ContestPost(2, 5, "Saltpan Day", weeks[2] + timedelta(days=5), ("Axle",), True, 4),),
        this_week=0,
        plan_version=1,
    )  # fmt: skip
    plan = PlannedSeason(SeasonPlan(monday, 3, work), {}, strip, gap_pct=0.4, warnings=("Watch.",))
    plan_rows.save_season_plan(
        gym=ROW, plan=plan, kind=PlannedSeason, problem_digest="", made_by="test"
    )
    return plan


def job(**columns):
    return Job.objects.create(
        gym=Gym.objects.get(slug=ROW), kind=PLAN_JOB, about="", arguments={}, started_by="Hal",
        created_at=clock.now(), **columns,
    )  # fmt: skip


def test_without_a_plan_the_page_says_what_it_is_planned_from(head, house):
    assert "No season yet" in head.get(URL).content.decode()


def test_every_choice_shows_its_reasons_and_its_runner_up(head, season):
    page = head.get(URL).content.decode()
    assert "Stands in the contest ahead." in page
    assert "Runner-up: Deadlift, 4 % less" in page
    assert "At most 0.4 % short" in page
    assert "Saltpan Day" in page
    assert "easing for a contest" in page


@pytest.mark.parametrize(
    ("gap_pct", "said"),
    [
        (0.0, "Proven: no better plan exists"),
        (4.9, "At most 4.9 % short of the best plan"),
        (254.7, "keeps every rule and can be trained, but the time given ended"),
        (None, "before it was shown how much better a season could be"),
    ],
)
def test_a_bound_far_away_is_said_as_a_search_that_was_stopped_early(season, gap_pct, said):
    words = replace(season, gap_pct=gap_pct).gap_words
    assert said in words
    assert "254.7" not in words


def test_a_running_plan_shows_its_progress_and_a_stop(head, house):
    row = job(state=JobState.RUNNING, progress_ratio=0.42, message="a plan is there",
              heartbeat_at=clock.now())  # fmt: skip
    page = head.get(URL).content.decode()
    assert 'value="0.42' in page
    assert "Stop, keep the best" in page
    part = head.get(f"{URL}progress/{row.pk}").content.decode()
    assert "A plan is there" in part
    head.post(f"{URL}stop/{row.pk}")
    assert Job.objects.get(pk=row.pk).cancel_asked


def test_when_the_plan_is_there_the_page_is_fetched_anew(head, house):
    row = job(state=JobState.DONE, progress_ratio=1, ended_at=clock.now())
    assert head.get(f"{URL}progress/{row.pk}").headers["HX-Refresh"] == "true"


def test_a_plan_that_failed_says_why(head, house):
    job(state=JobState.FAILED, message="No contest is ahead.", ended_at=clock.now())
    assert "No contest is ahead." in head.get(URL).content.decode()


def test_an_assistant_sees_the_season_but_no_buttons(assistant, season):
    page = assistant.get(URL).content.decode()
    assert "Plan again" not in page
    assert "Take the pin back" not in page
