"""Maxes rest on evidence; the log proposes, the coach decides."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from yard_cast import TERMINAL, YARD, logged

from heftwright.domain.catalogue import LiftKey, UnknownLiftError
from heftwright.domain.log import SetOutcome
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.usecases import clock, log, maxes, squad
from heftwright.usecases.maxes import (
    MaxDecisionError,
    ProposalState,
    UnlikelyMaxError,
    YetToComeError,
)

ADA = AthleteId("ada")
PULL = LiftKey("axle_deadlift")
TONIGHT = datetime(2026, 11, 23, 18, 45, tzinfo=UTC)
IN_YARD = {"gym": YARD, "by": TERMINAL}


@pytest.fixture(autouse=True)
def tonight():
    """The clock stands at the class."""
    with clock.held_at(TONIGHT):
        yield


def a_test(kg="150", **more):
    facts = {"athlete": ADA, "lift": PULL, "kind": EvidenceKind.TEST, "on": date(2026, 11, 2)}
    return Evidence(load=Mass.kg(kg), **(facts | more))


def record(evidence, **more):
    return maxes.record_max(**IN_YARD, evidence=evidence, **more)


def lift(kg=165, reps=1, **more):
    facts = {"load": EnteredMass(kg * 1000, MassUnit.KG), "reps_done": reps, "reps_in_reserve": 0.0}
    fact = logged(is_max_attempt=True, lift=PULL, **(facts | more))
    log.log_sets(**IN_YARD, sets=[fact])
    return fact


def proposals(state=ProposalState.PROPOSED):
    return maxes.get_proposals(gym=YARD, state=state)


def propose():
    maxes.propose_from_log(**IN_YARD)
    return proposals()


def test_evidence_reads_back_as_entered(yard):
    entered = a_test("147.5", note="straps", kind=EvidenceKind.REP_SET, reps=3, reps_in_reserve=1.0)
    key = record(entered, is_confirmed=True)
    (kept,) = maxes.get_evidence(gym=yard, athlete=ADA, lift=PULL)
    assert (kept.key, kept.evidence) == (key, entered)


def test_the_same_test_entered_twice_is_one(yard):
    assert record(a_test()) == record(a_test())
    assert len(maxes.get_evidence(gym=yard)) == 1


def test_a_test_is_believed(yard):
    record(a_test("150"))
    belief = maxes.get_beliefs(gym=yard)[ADA, PULL]
    assert belief.is_tested
    assert belief.words(date(2026, 11, 23)) == "tested 150 kg, 21 days ago"


@pytest.mark.parametrize("kg", ["15", "70", "330", "200"])
def test_a_max_far_from_the_known_one_stops_and_asks(yard, kg):
    # Outside 50–130 % of the known max (trust.md, hazards; our own limit).
    record(a_test("150"))
    with pytest.raises(UnlikelyMaxError, match="confirm it"):
        record(a_test(kg, on=date(2026, 11, 20)))
    assert len(maxes.get_evidence(gym=yard)) == 1
    record(a_test(kg, on=date(2026, 11, 20)), is_confirmed=True)
    assert len(maxes.get_evidence(gym=yard)) == 2


def test_pounds_taken_for_kilograms_are_asked_about(yard):
    record(a_test("150"))
    with pytest.raises(UnlikelyMaxError, match=r"Was it 330 lb\?"):
        record(a_test("330", on=date(2026, 11, 20)))


def test_a_set_of_reps_in_the_wrong_unit_or_out_by_ten_stops_and_asks(yard):
    record(a_test("150"))
    for kg in ("13.5", "297.5"):
        with pytest.raises(UnlikelyMaxError, match="Was it"):
            record(a_test(kg, kind=EvidenceKind.REP_SET, reps=4, on=date(2026, 11, 20)))


def test_a_day_that_is_yet_to_come_is_refused(yard):
    with pytest.raises(YetToComeError, match="2026-12-20 is yet to come"):
        record(a_test("150", on=date(2026, 12, 20)))


def test_a_light_rep_set_is_nothing_unlikely(yard):
    record(a_test("150"))
    record(a_test("70", kind=EvidenceKind.REP_SET, reps=8, reps_in_reserve=4.0))


def test_an_unknown_lift_or_athlete_is_refused(yard):
    with pytest.raises(UnknownLiftError, match="no lift “juggling”"):
        record(a_test(lift=LiftKey("juggling")))
    with pytest.raises(NotFoundError, match="no athlete “nobody”"):
        record(a_test(athlete=AthleteId("nobody")))


def test_withdrawn_evidence_is_believed_no_more(yard):
    key = record(a_test())
    maxes.withdraw_max(**IN_YARD, key=key)
    assert maxes.get_evidence(gym=yard) == ()
    with pytest.raises(NotFoundError, match="no evidence"):
        maxes.withdraw_max(**IN_YARD, key=key)


def test_who_left_is_not_believed_about(yard):
    record(a_test())
    squad.remove_athlete(**IN_YARD, athlete=ADA)
    assert maxes.get_evidence(gym=yard) == ()
    assert (ADA, PULL) not in maxes.get_beliefs(gym=yard)


def test_a_top_single_is_proposed_and_nothing_is_applied(yard):
    record(a_test("150"))
    lift(160)
    (found,) = propose()
    assert (found.proposal.athlete, found.proposal.lift) == (ADA, PULL)
    assert (found.load, found.reps, found.on) == (Mass.kg(160), 1, date(2026, 11, 23))
    assert found.why.startswith("Known so far: tested 150 kg, 21 days ago.")
    assert maxes.get_beliefs(gym=yard)[ADA, PULL].last_test.load == Mass.kg(150)


@pytest.mark.parametrize(
    "more", [{"outcome": SetOutcome.MISSED}, {"outcome": SetOutcome.SKIPPED}, {"reps": 0}]
)
def test_a_miss_is_never_proposed(yard, more):
    lift(160, **more)
    assert propose() == ()


def test_a_set_that_is_no_top_set_is_never_proposed(yard):
    log.log_sets(**IN_YARD, sets=[logged(lift=PULL)])
    assert propose() == ()


def test_reading_the_log_again_proposes_nothing_twice(yard):
    record(a_test("150"))
    lift(160)
    assert propose() == propose()


def test_an_accepted_proposal_becomes_the_max(yard):
    record(a_test("150"))
    lift(160)
    maxes.accept_proposal(**IN_YARD, proposal=propose()[0].key)
    assert maxes.get_beliefs(gym=yard)[ADA, PULL].last_test.load == Mass.kg(160)
    assert propose() == ()
    (decided,) = proposals(ProposalState.ACCEPTED)
    assert decided.decided_by == "terminal"


def test_an_adjusted_proposal_takes_the_coachs_load(yard):
    record(a_test("150"))
    lift(160)
    maxes.adjust_proposal(**IN_YARD, proposal=propose()[0].key, load=Mass.kg("157.5"))
    assert maxes.get_evidence(gym=yard)[-1].evidence.load == Mass.kg("157.5")
    assert propose() == ()


def test_an_ignored_proposal_stays_ignored(yard):
    record(a_test("150"))
    lift(160)
    maxes.ignore_proposal(**IN_YARD, proposal=propose()[0].key)
    assert propose() == ()
    assert len(maxes.get_evidence(gym=yard)) == 1


def test_a_proposal_is_decided_once(yard):
    lift(160)
    key = propose()[0].key
    maxes.ignore_proposal(**IN_YARD, proposal=key)
    with pytest.raises(MaxDecisionError, match="was ignored by terminal already"):
        maxes.accept_proposal(**IN_YARD, proposal=key)
    with pytest.raises(NotFoundError, match="no such proposal"):
        maxes.ignore_proposal(**IN_YARD, proposal=key + 1000)


def test_a_hard_question_must_be_answered_before_accepting(yard):
    record(a_test("150"))
    lift(300)
    (found,) = propose()
    assert found.proposal.is_stopped
    with pytest.raises(UnlikelyMaxError, match="confirm it"):
        maxes.accept_proposal(**IN_YARD, proposal=found.key)
    assert proposals() == (found,)
    maxes.accept_proposal(**IN_YARD, proposal=found.key, is_confirmed=True)


def test_a_corrected_set_changes_or_takes_away_its_proposal(yard):
    record(a_test("150"))
    wrong = lift(170)
    assert propose()[0].proposal.evidence[0].load == Mass.kg(170)
    right = lift(160, corrects=wrong.id)
    assert propose()[0].proposal.evidence[0].load == Mass.kg(160)
    lift(160, corrects=right.id, outcome=SetOutcome.MISSED)
    assert propose() == ()
    assert proposals(ProposalState.IGNORED)[0].decided_by == maxes.GAINSAID


def test_a_set_older_than_asked_for_is_not_looked_at(yard):
    lift(160, logged_at=datetime(2026, 9, 1, tzinfo=UTC))
    assert propose() == ()
    assert maxes.propose_from_log(**IN_YARD, since=date(2026, 8, 1)) == 1
