"""Long work shows how far it is, stops when asked, and survives a worker that falls silent."""

from __future__ import annotations

import threading
import time
from datetime import timedelta

import pytest
from yard_cast import OTHER, TERMINAL, YARD

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.store import models as rows
from heftwright.usecases import clock, jobs
from heftwright.usecases.jobs import JobState, LostJobError
from heftwright.usecases.permissions import ForbiddenError, Right

pytestmark = pytest.mark.django_db(transaction=True)
IN_YARD = {"gym": YARD, "by": TERMINAL}


@jobs.job_kind("add_up", Right.PLAN_SEASON)
def add_up(handle, arguments):
    handle.progress(0.5, "half way", best={"sum": 0})
    return {"sum": sum(arguments["numbers"])}


@jobs.job_kind("refuse", Right.PLAN_SEASON)
def refuse(handle, arguments):
    raise Refusal("Nobody is in the squad: add somebody first.")


@jobs.job_kind("break", Right.PLAN_SEASON)
def go_wrong(handle, arguments):
    raise ZeroDivisionError


@jobs.job_kind("wait", Right.PLAN_SEASON)
def wait_for_stop(handle, arguments):
    while not handle.is_cancelled:
        handle.progress(0.3, "looking", best={"weeks": 12})
        time.sleep(0.01)
    return {"weeks": 12}


@pytest.fixture
def shed(request, monkeypatch):
    """The gym, with short waits; every worker thread ends before the test does."""
    monkeypatch.setattr(jobs, "BEAT_S", 0.02)
    monkeypatch.setattr(jobs, "_WRITE_EVERY_S", 0.0)
    request.getfixturevalue("yard")
    yield YARD
    rows.Job.objects.update(cancel_asked=True)
    for thread in threading.enumerate():
        if thread.name.startswith("job"):
            thread.join(5)


def ended(key):
    for _ in range(500):
        card = jobs.get_job(gym=YARD, job=key)
        if not card.is_live:
            return card
        time.sleep(0.01)
    raise AssertionError(card)


def a_row(**more):
    facts = {
        "gym": rows.Gym.objects.get(slug=YARD),
        "kind": "add_up",
        "arguments": {"numbers": [1, 2]},
        "started_by": "Olga",
        "created_at": clock.now(),
        **more,
    }
    return rows.Job.objects.create(**facts)


def silent(**more):
    long_ago = clock.now() - timedelta(minutes=5)
    return a_row(state=JobState.RUNNING, heartbeat_at=long_ago, attempt=1, **more)


def test_work_ends_with_its_result_and_keeps_its_best(shed):
    card = ended(jobs.start_job(**IN_YARD, kind="add_up", arguments={"numbers": [1, 2, 3]}))
    assert (card.state, card.result, card.best) == (JobState.DONE, {"sum": 6}, {"sum": 0})
    assert (card.progress_ratio, card.message, card.started_by) == (1.0, "half way", "terminal")


def test_work_that_is_refused_says_why(shed):
    card = ended(jobs.start_job(**IN_YARD, kind="refuse"))
    assert (card.state, card.message) == (
        JobState.FAILED,
        "Nobody is in the squad: add somebody first.",
    )


def test_work_that_breaks_says_so_without_a_trace(shed, caplog):
    card = ended(jobs.start_job(**IN_YARD, kind="break"))
    assert card.state is JobState.FAILED
    assert "ZeroDivision" not in card.message
    assert "ZeroDivisionError" in caplog.text


def test_the_same_work_asked_for_twice_is_done_once(shed):
    first = jobs.start_job(**IN_YARD, kind="wait", about="season")
    again = jobs.start_job(**IN_YARD, kind="wait", about="season")
    other = jobs.start_job(**IN_YARD, kind="wait", about="another")
    assert first == again != other
    jobs.cancel_job(**IN_YARD, job=first)
    ended(first)
    assert jobs.start_job(**IN_YARD, kind="wait", about="season") != first


def test_stopping_work_keeps_the_best_so_far(shed):
    key = jobs.start_job(**IN_YARD, kind="wait")
    while jobs.get_job(gym=YARD, job=key).best is None:
        time.sleep(0.01)
    jobs.cancel_job(**IN_YARD, job=key)
    card = ended(key)
    assert (card.state, card.result) == (JobState.CANCELLED, {"weeks": 12})


def test_live_work_is_listed_alone(shed):
    done = jobs.start_job(**IN_YARD, kind="add_up", arguments={"numbers": []})
    ended(done)
    live = jobs.start_job(**IN_YARD, kind="wait")
    assert [card.key for card in jobs.get_jobs(gym=YARD, live_only=True)] == [live]
    assert [card.key for card in jobs.get_jobs(gym=YARD)] == [live, done]


def test_work_whose_worker_died_is_taken_over(shed):
    row = silent()
    assert jobs.reap_stale_jobs() == 1
    card = ended(row.pk)
    assert (card.state, card.result) == (JobState.DONE, {"sum": 3})
    row.refresh_from_db()
    assert row.attempt == 2


def test_work_that_no_worker_ever_took_is_taken(shed):
    row = a_row(created_at=clock.now() - timedelta(minutes=5))
    jobs.reap_stale_jobs()
    assert ended(row.pk).state is JobState.DONE


def test_work_with_a_living_worker_is_left_alone(shed):
    a_row(state=JobState.RUNNING, heartbeat_at=clock.now(), attempt=1)
    a_row(kind="wait")
    assert jobs.reap_stale_jobs() == 0


def test_after_three_attempts_work_is_given_up(shed):
    row = silent()
    rows.Job.objects.filter(pk=row.pk).update(attempt=3)
    jobs.reap_stale_jobs()
    card = ended(row.pk)
    assert (card.state, card.message) == (
        JobState.LOST,
        "The server stopped while it worked: start it again.",
    )


def test_stopped_work_of_a_dead_worker_is_not_taken_over(shed):
    row = silent(cancel_asked=True)
    jobs.reap_stale_jobs()
    assert ended(row.pk).state is JobState.CANCELLED


def test_a_worker_that_wakes_up_late_writes_nothing(shed):
    row = silent()
    late = jobs.JobHandle(rows.Job.objects.select_related("gym").get(pk=row.pk))
    jobs.reap_stale_jobs()
    card = ended(row.pk)
    with pytest.raises(LostJobError, match="took this work over"):
        late.progress(0.1, "I am back")
    with pytest.raises(LostJobError, match="took this work over"):
        late.progress(0.2)
    assert jobs.get_job(gym=YARD, job=row.pk) == card


def test_waiting_work_is_cancelled_before_it_starts(shed):
    row = a_row(kind="wait")
    jobs.cancel_job(**IN_YARD, job=row.pk)
    assert jobs.get_job(gym=YARD, job=row.pk).state is JobState.CANCELLED
    jobs.run_job(row.pk)
    assert jobs.get_job(gym=YARD, job=row.pk).state is JobState.CANCELLED


def test_the_reaper_reaps_until_it_is_told_to_stop(shed):
    row = silent()
    stop = jobs.keep_reaping(every_s=0.01)
    assert ended(row.pk).state is JobState.DONE
    stop.set()


def test_a_kind_of_work_has_its_right(shed, request):
    people = request.getfixturevalue("people")
    with pytest.raises(ForbiddenError, match="may not plan the season"):
        jobs.start_job(gym=YARD, by=people.assistant, kind="add_up")


def test_unknown_work_is_refused_and_another_gyms_is_not_there(shed):
    with pytest.raises(jobs.JobError, match="no long work called “fly”"):
        jobs.start_job(**IN_YARD, kind="fly")
    row = a_row()
    with pytest.raises(NotFoundError, match="no such work"):
        jobs.get_job(gym=OTHER, job=row.pk)
    with pytest.raises(NotFoundError, match="no such work"):
        jobs.cancel_job(gym=OTHER, by=TERMINAL, job=row.pk)
