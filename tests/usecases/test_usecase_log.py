"""The log from the floor keeps every fact exactly once."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from uuid import uuid4

import pytest
from django.db import connections
from yard_cast import OTHER, TERMINAL, YARD, athlete, logged

from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId
from heftwright.store import models as rows
from heftwright.usecases import accounts, log, squad
from heftwright.usecases.actor import Actor
from heftwright.usecases.log import Answer, LogFilter


def send(*sets, by=TERMINAL):
    return [answer.answer for answer in log.log_sets(gym=YARD, by=by, sets=sets)]


def test_a_logged_set_reads_back_as_it_was_logged(yard):
    fact = logged(logged_at=datetime(2026, 11, 23, 19, 45, tzinfo=timezone(timedelta(hours=1))))
    assert send(fact) == [Answer.KEPT]
    (kept,) = log.get_log(gym=yard)
    assert kept == fact
    assert kept.content_hash == fact.content_hash


def test_a_load_in_pounds_stays_in_pounds(yard):
    send(logged(load=EnteredMass(215_500, MassUnit.LB)))
    assert str(log.get_log(gym=yard)[0].load) == "215.5 lb"


def test_the_same_fact_sent_twice_is_kept_once(yard):
    fact = logged()
    assert send(fact) == [Answer.KEPT]
    assert send(fact, fact) == [Answer.ALREADY, Answer.ALREADY]
    assert len(log.get_log(gym=yard)) == 1


def test_the_same_fact_twice_in_one_batch_is_kept_once(yard):
    fact = logged()
    assert send(fact, fact) == [Answer.KEPT, Answer.ALREADY]


def test_other_content_under_a_taken_id_is_kept_as_a_conflict(yard):
    fact = logged()
    other = replace(fact, reps_done=5)
    send(fact)
    assert send(other) == [Answer.CONFLICT]
    assert send(other) == [Answer.CONFLICT]
    (conflict,) = log.get_conflicts(gym=yard)
    assert (conflict.first, conflict.second) == (fact, other)
    assert log.get_log(gym=yard) == (fact,)


def test_a_conflict_can_be_settled_by_keeping_both(yard):
    fact = logged()
    other = replace(fact, reps_done=5)
    send(fact, other)
    (conflict,) = log.get_conflicts(gym=yard)
    log.settle_conflict(gym=yard, by=TERMINAL, conflict=conflict.key, keep_second_as=uuid4())
    assert sorted(item.reps_done for item in log.get_log(gym=yard)) == [2, 5]
    assert log.get_conflicts(gym=yard) == ()


def test_a_conflict_cannot_be_settled_twice(yard):
    fact = logged()
    send(fact, replace(fact, reps_done=5))
    key = log.get_conflicts(gym=yard)[0].key
    log.settle_conflict(gym=yard, by=TERMINAL, conflict=key)
    with pytest.raises(log.LogBatchError, match="settled already"):
        log.settle_conflict(gym=yard, by=TERMINAL, conflict=key)


def test_an_id_taken_in_another_gym_is_a_conflict_that_tells_nothing(yard):
    squad.add_athlete(gym=OTHER, by=TERMINAL, athlete=athlete("dot", 1))
    fact = logged("dot")
    log.log_sets(gym=OTHER, by=TERMINAL, sets=[fact])
    assert send(replace(fact, athlete=AthleteId("ada"))) == [Answer.CONFLICT]
    assert log.get_conflicts(gym=yard)[0].first is None


def test_a_correction_takes_the_place_of_what_it_corrects(yard):
    fact = logged()
    correction = logged(corrects=fact.id, reps_done=1)
    assert send(correction, fact) == [Answer.KEPT, Answer.KEPT]
    assert log.get_log(gym=yard) == (correction,)
    assert len(log.get_log(gym=yard, with_corrected=True)) == 2


def test_nobody_corrects_another_athletes_set(yard):
    fact = logged("ada")
    send(fact, logged("bo", corrects=fact.id))
    assert fact in log.get_log(gym=yard)


def test_a_card_logs_for_its_own_athlete_only(yard):
    secret = accounts.make_card_link(gym=yard, by=TERMINAL, athlete=AthleteId("ada"))
    ada = accounts.who_is_card(secret=secret)
    assert send(logged("ada"), logged("bo"), by=ada) == [Answer.KEPT, Answer.REFUSED]


def test_a_set_of_somebody_unknown_is_refused_alone(yard):
    assert send(logged("nobody"), logged("ada")) == [Answer.REFUSED, Answer.KEPT]


def test_a_set_of_somebody_who_left_is_kept(yard):
    squad.remove_athlete(gym=yard, by=TERMINAL, athlete=AthleteId("ada"))
    assert send(logged("ada")) == [Answer.KEPT]


def test_a_batch_above_500_is_refused_whole(yard):
    with pytest.raises(log.LogBatchError, match="at most 500"):
        log.log_sets(gym=yard, by=TERMINAL, sets=[logged()] * 501)


def test_the_log_of_another_gyms_board_is_not_there(yard):
    with pytest.raises(NotFoundError, match="no gym"):
        log.log_sets(gym=yard, by=Actor.board(OTHER), sets=[logged()])


def test_days_are_the_gyms_own(yard):
    # 23:30 UTC on Sunday is Monday in Vienna.
    late = logged(logged_at=datetime(2026, 11, 22, 23, 30, tzinfo=UTC))
    send(late)
    on_monday = LogFilter(since=date(2026, 11, 23), before=date(2026, 11, 24))
    on_sunday = LogFilter(since=date(2026, 11, 22), before=date(2026, 11, 23))
    assert log.get_log(gym=yard, of=on_monday) == (late,)
    assert log.get_log(gym=yard, of=on_sunday) == ()


def test_the_log_can_be_asked_by_athlete_lift_class_and_top_sets(yard):
    top = logged("ada", is_max_attempt=True)
    others = [
        logged("bo"),
        logged("ada", lift="log_press"),
        logged("ada", class_key="2026-11-30/x"),
    ]
    send(top, *others)
    of = LogFilter(AthleteId("ada"), top.lift, top.class_key, max_attempts_only=True)
    assert log.get_log(gym=yard, of=of) == (top,)
    assert log.get_log_version(gym=yard, class_key=top.class_key) == 3


def test_only_the_latest_are_read_and_in_order(yard):
    start = datetime(2026, 11, 23, 18, tzinfo=UTC)
    facts = [logged(logged_at=start + timedelta(minutes=n)) for n in range(5)]
    send(*reversed(facts))
    assert log.get_log(gym=yard, limit=3) == tuple(facts[2:])


@pytest.mark.django_db(transaction=True)
def test_many_phones_sending_the_same_sets_at_once_lose_and_double_nothing(request):
    request.getfixturevalue("yard")
    facts = [logged(set_number=n % 40 + 1) for n in range(40)]
    answers, errors = [], []

    def phone(mine):
        try:
            for fact in mine:
                answers.extend(send(fact))
        except Exception as error:
            errors.append(error)
        finally:
            connections.close_all()

    threads = [
        threading.Thread(target=phone, args=(facts[n:] + facts[:n],)) for n in (0, 10, 20, 30)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    assert answers.count(Answer.KEPT) == 40
    assert answers.count(Answer.ALREADY) == 120
    assert rows.LoggedSet.objects.count() == 40


@pytest.mark.parametrize("bad", ["a\0b", "half \ud83d", "x" * 81])
def test_what_a_database_cannot_keep_is_refused_in_words(yard, bad):
    assert send(logged(class_key=bad), logged()) == [Answer.REFUSED, Answer.KEPT]
    if len(bad) < 80:
        with pytest.raises(Refusal, match="cannot be kept"):
            squad.add_athlete(gym=yard, by=TERMINAL, athlete=athlete("dot", 9, name=bad))
