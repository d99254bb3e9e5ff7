"""Several people at once: nothing is lost, doubled or overwritten unseen."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest
from django.db import connections
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from yard_cast import TERMINAL, YARD, athlete, logged, some_id

from heftwright.domain.squad import AthleteId
from heftwright.store import models as rows
from heftwright.usecases import log, squad
from heftwright.usecases.changes import ChangedMeanwhileError, seen
from heftwright.usecases.log import Answer

ADA = AthleteId("ada")
deliveries = st.lists(
    st.tuples(st.integers(1, 6), st.integers(1, 2), st.booleans()), min_size=1, max_size=25
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(sent=deliveries)
def test_whatever_the_net_repeats_drops_or_reorders_each_fact_is_kept_once(yard, sent):
    """Each delivery is (id, content, whether the answer got lost and the phone sends again)."""
    rows.LogConflict.objects.all().delete()
    rows.LoggedSet.objects.all().delete()
    first: dict[int, int] = {}
    conflicts = set()
    for number, reps, is_lost in sent:
        for _ in range(1 + is_lost):
            fact = logged(id=some_id(number), reps_done=reps)
            (answer,) = log.log_sets(gym=YARD, by=TERMINAL, sets=[fact])
            is_first = first.setdefault(number, reps) == reps
            assert (answer.answer is Answer.CONFLICT) != is_first
            if not is_first:
                conflicts.add((number, reps))
    kept = {(item.id.int, item.reps_done) for item in log.get_log(gym=YARD)}
    waiting = {(item.second.id.int, item.second.reps_done) for item in log.get_conflicts(gym=YARD)}
    assert kept == set(first.items())
    assert waiting == conflicts


def run_all(*works):
    errors = []

    def guarded(work):
        try:
            work()
        except Exception as error:
            errors.append(error)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=guarded, args=(work,)) for work in works]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []


@pytest.mark.django_db(transaction=True)
def test_coaches_who_look_first_never_overwrite_each_other(request):
    request.getfixturevalue("yard")
    start = squad.get_athlete(gym=YARD, athlete=ADA)
    squad.change_athlete(gym=YARD, by=TERMINAL, athlete=replace(start, guardian=""))
    refused = []

    def coach(letter):
        def write():
            for _ in range(12):
                shown = squad.get_athlete(gym=YARD, athlete=ADA)
                mine = replace(shown, guardian=shown.guardian + letter)
                try:
                    squad.change_athlete(gym=YARD, by=TERMINAL, athlete=mine, was_seen=seen(shown))
                except ChangedMeanwhileError:
                    refused.append(letter)

        return write

    run_all(coach("a"), coach("b"), coach("c"))
    stands = squad.get_athlete(gym=YARD, athlete=ADA).guardian
    for letter in "abc":
        assert stands.count(letter) + refused.count(letter) == 12


@pytest.mark.django_db(transaction=True)
def test_two_coaches_adding_athletes_at_once_never_share_a_number(request):
    request.getfixturevalue("yard")
    refused = []

    def coach(name):
        def write():
            for number in range(10, 20):
                new = athlete(f"{name}-{number}", number)
                try:
                    squad.add_athlete(gym=YARD, by=TERMINAL, athlete=new)
                except squad.SquadError:
                    refused.append(number)

        return write

    run_all(coach("x"), coach("y"))
    numbers = [item.number for item in squad.get_squad(gym=YARD) if item.number >= 10]
    assert numbers == list(range(10, 20))
    assert sorted(refused) == list(range(10, 20))
