"""After class: everything that raises no hard question accepted in one act, and taken back."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from yard_cast import TERMINAL, YARD, athlete, logged

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.usecases import clock, log, max_decisions, maxes, squad, trail
from heftwright.usecases.changes import ChangedMeanwhileError
from heftwright.usecases.maxes import MaxDecisionError

ADA, BO = AthleteId("ada"), AthleteId("bo")
PULL, BENCH = LiftKey("axle_deadlift"), LiftKey("bench")
TONIGHT = datetime(2026, 11, 23, 18, 45, tzinfo=UTC)
IN_YARD = {"gym": YARD, "by": TERMINAL}


@pytest.fixture(autouse=True)
def after_class(yard):
    """Two athletes with a tested pull and bench, and the clock at the class."""
    with clock.held_at(TONIGHT):
        if BO not in {item.id for item in squad.get_squad(gym=YARD)}:
            squad.add_athlete(**IN_YARD, athlete=athlete("bo", number=2))
        for who in (ADA, BO):
            for lift, kg in ((PULL, 150), (BENCH, 100)):
                day = TONIGHT.date() - timedelta(days=21)
                item = Evidence(who, lift, EvidenceKind.TEST, Mass.kg(kg), day)
                maxes.record_max(**IN_YARD, evidence=item, is_confirmed=True)
        yield


def lifted(kg, who=ADA, lift=PULL):
    single = {"reps_done": 1, "reps_in_reserve": 0.0, "is_max_attempt": True}
    load = EnteredMass(kg * 1000, MassUnit.KG)
    log.log_sets(**IN_YARD, sets=[logged(athlete=who, lift=lift, load=load, **single)])
    maxes.propose_from_log(**IN_YARD)


def open_keys():
    return {(item.athlete, item.lift) for item in maxes.get_proposals(gym=YARD)}


def medians():
    beliefs = maxes.get_beliefs(gym=YARD)
    return {pair: beliefs[pair].median_kg for pair in ((ADA, PULL), (ADA, BENCH), (BO, PULL))}


def accept_all():
    mark = max_decisions.get_waiting(gym=YARD).mark
    return max_decisions.accept_all_proposals(**IN_YARD, was_seen=mark)


def test_all_that_raise_no_hard_question_are_accepted_and_the_others_wait():
    lifted(158)
    lifted(156, who=BO)
    lifted(230, lift=BENCH)  # usual in pounds: it stops
    waiting = max_decisions.get_waiting(gym=YARD)
    assert len(waiting.sound) == 2
    assert [(item.athlete, item.lift) for item in waiting.stopped] == [(ADA, BENCH)]
    assert len(accept_all()) == 2
    assert open_keys() == {(ADA, BENCH)}
    assert medians()[ADA, PULL] > 150


def test_one_act_is_taken_back_whole_and_everything_is_as_before():
    lifted(158)
    lifted(105, lift=BENCH)
    lifted(156, who=BO)
    before, waiting = medians(), open_keys()
    keys = accept_all()
    act = trail.get_trail(gym=YARD, subject=f"proposal/{keys[0]}")[0].act
    assert max_decisions.take_back_decisions(**IN_YARD, act=act) == 3
    assert open_keys() == waiting
    assert medians() == pytest.approx(before)
    with pytest.raises(NotFoundError, match="No decision"):
        max_decisions.take_back_decisions(**IN_YARD, act=act)


def test_one_of_several_accepted_together_is_taken_back_alone():
    lifted(158)
    lifted(156, who=BO)
    keys = accept_all()
    max_decisions.take_back_decision(**IN_YARD, proposal=keys[0])
    (again,) = maxes.get_proposals(gym=YARD)
    assert again.key == keys[0]
    assert len(maxes.get_evidence(gym=YARD)) == 5


def test_what_came_in_after_it_was_shown_is_not_accepted_unseen():
    lifted(158)
    mark = max_decisions.get_waiting(gym=YARD).mark
    lifted(156, who=BO)
    with pytest.raises(ChangedMeanwhileError, match="look at it as it stands"):
        max_decisions.accept_all_proposals(**IN_YARD, was_seen=mark)
    assert len(open_keys()) == 2


def test_nothing_sound_is_nothing_accepted():
    lifted(230, lift=BENCH)
    with pytest.raises(MaxDecisionError, match="Nothing waits"):
        accept_all()
