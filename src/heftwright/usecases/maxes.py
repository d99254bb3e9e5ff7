"""Maxes: evidence, beliefs, and what the log proposes; the coach decides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength import Beliefs, Evidence, believe
from heftwright.domain.strength.jumps import JumpFlag, check_evidence
from heftwright.domain.strength.proposals import MaxProposal, evidence_from_log, propose
from heftwright.store import evidence_rows, log_rows, squad_rows
from heftwright.store import models as rows
from heftwright.store.documents import from_document, to_document
from heftwright.store.evidence_rows import KeptEvidence, keep
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import Gym, ProposalState
from heftwright.store.records import RecordKind
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import Trail, change, verb
from heftwright.usecases.lifts import catalogue_in, catalogue_of
from heftwright.usecases.permissions import Right, can

__all__ = [
    "KeptEvidence",
    "MaxDecisionError",
    "Proposal",
    "ProposalState",
    "UnlikelyMaxError",
    "YetToComeError",
    "accept_proposal",
    "adjust_proposal",
    "get_beliefs",
    "get_evidence",
    "get_proposals",
    "ignore_proposal",
    "look_at_log",
    "propose_from_log",
    "record_max",
    "take_proposal",
    "withdraw_max",
]

LOOK_BACK = timedelta(days=28)
_LOOKED: dict[int, tuple[object, ...]] = {}
"""By gym, the mark of the log that this process looked at last."""
GAINSAID = "the log itself, corrected"


class UnlikelyMaxError(Refusal):
    """A max far from the known one: it stops and asks (trust.md, hazards)."""


class YetToComeError(Refusal):
    """A max that nobody can have lifted yet."""


class MaxDecisionError(Refusal):
    """A proposal that is decided already."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A proposal that waits for the coach, or what became of it.

    Parameters
    ----------
    key : int
        To decide it by.
    proposal : MaxProposal
        Old and new median, why, questions, the evidence it rests on.
    state : ProposalState
        Proposed, accepted, adjusted, ignored.
    proposed_at : datetime
        Aware.
    decided_by : str
        Empty while it waits.
    """

    key: int
    proposal: MaxProposal
    state: ProposalState
    proposed_at: datetime
    decided_by: str

    @property
    def athlete(self) -> AthleteId:
        """Whose max."""
        return self.proposal.athlete

    @property
    def lift(self) -> LiftKey:
        """In which lift."""
        return self.proposal.lift

    @property
    def strongest(self) -> Evidence:
        """The set that speaks for most."""
        return max(self.proposal.evidence, key=lambda item: item.implied_kg)

    @property
    def load(self) -> Mass:
        """Of the strongest set."""
        return self.strongest.load

    @property
    def reps(self) -> int:
        """Of the strongest set."""
        return self.strongest.reps

    @property
    def on(self) -> date:
        """Of the strongest set."""
        return self.strongest.on

    @property
    def why(self) -> str:
        """What was known, and each question that the numbers raise."""
        questions = " ".join(flag.sentence for flag in self.proposal.flags)
        return f"Known so far: {self.proposal.old_words}. {questions}".strip()


def get_evidence(
    *, gym: GymKey, athlete: AthleteId | None = None, lift: LiftKey | None = None
) -> tuple[KeptEvidence, ...]:
    """What the maxes rest on, oldest first, each with the key to withdraw it by."""
    return evidence_rows.read_evidence(find_gym(gym), athlete=athlete, lift=lift)


def get_beliefs(*, gym: GymKey, on: date | None = None) -> Beliefs:
    """What is believed about every athlete's max in every lift; today by default."""
    row = find_gym(gym)
    return _beliefs(row, on or clock.today(gym), _standing(row))


@verb
def record_max(*, gym: GymKey, by: Actor, evidence: Evidence, is_confirmed: bool = False) -> str:
    """Record a test, a contest result or a rep set; returns the key it is kept under.

    Parameters
    ----------
    is_confirmed : bool
        The coach was asked about an unlikely value and stands by it.

    Raises
    ------
    UnlikelyMaxError
        If the value is far from what is believed and nobody confirmed it.
    YetToComeError
        If its day is yet to come.
    NotFoundError
        If the lift or athlete is unknown.
    """
    _ = catalogue_of(gym)[evidence.lift]  # refuses an unknown lift
    if evidence.on > clock.today(gym):
        raise YetToComeError(f"{evidence.on} is yet to come: write the day it was lifted.")
    kept = keep(evidence)
    with change(gym, by, "record_max", Right.RECORD_MAX) as trail:
        if not is_confirmed:
            beliefs = _beliefs(trail.gym, clock.today(gym), _standing(trail.gym))
            _stop_at(_questions(evidence, beliefs))
        trail.put(kept)
    return kept.key


@verb
def withdraw_max(*, gym: GymKey, by: Actor, key: str) -> None:
    """Take back a piece of evidence; it stays on record, and the act can be undone.

    Raises
    ------
    NotFoundError
        If no such evidence stands.
    """
    with change(gym, by, "withdraw_max", Right.DECIDE_MAX) as trail:
        trail.drop(RecordKind.EVIDENCE, key)


@verb
def propose_from_log(*, gym: GymKey, by: Actor, since: date | None = None) -> int:
    """Propose what the top sets of the log say about maxes; nothing is applied.

    What the coach took or ignored is not proposed again. An open proposal whose sets were
    corrected in the log goes away or changes with them.

    Parameters
    ----------
    since : date or None
        First day of the log to look at; None: 28 days ago.

    Returns
    -------
    int
        How many proposals are open now.
    """
    today = clock.today(gym)
    with change(gym, by, "propose_from_log", Right.RECORD_MAX) as trail:
        known = _standing(trail.gym)
        before = _beliefs(trail.gym, today, known)
        new = _new_evidence(trail.gym, gym, since or today - LOOK_BACK, before)
        after = _beliefs(trail.gym, today, (*known, *new)) if new else before
        found = propose(before, after, new, unit=MassUnit(trail.gym.unit))
        _renew_open_proposals(trail, found)
    return len(found)


def look_at_log(*, gym: GymKey, by: Actor) -> None:
    """Propose what the log says since it was last looked at: what a page does before it shows.

    Cheap where nothing was logged since; nothing happens for somebody who may only read.
    """
    if not can(by, gym, Right.RECORD_MAX):
        return
    row, today = find_gym(gym), clock.today(gym)
    mark = (today, *log_rows.mark_of(row, _midnight(gym, today - LOOK_BACK)))
    if _LOOKED.get(row.pk) != mark:
        propose_from_log(gym=gym, by=by)
        _LOOKED[row.pk] = mark


def get_proposals(
    *, gym: GymKey, state: ProposalState = ProposalState.PROPOSED
) -> tuple[Proposal, ...]:
    """Proposals in a state, oldest first."""
    found = rows.MaxProposal.objects.filter(gym=find_gym(gym), state=state)
    return tuple(_kept(row) for row in found.order_by("proposed_at", "pk"))


@verb
def accept_proposal(*, gym: GymKey, by: Actor, proposal: int, is_confirmed: bool = False) -> None:
    """Take what a proposal rests on as evidence.

    Raises
    ------
    NotFoundError
        If there is no such proposal.
    MaxDecisionError
        If it is decided already.
    UnlikelyMaxError
        If a hard question of it was not answered with ``is_confirmed``.
    """
    with change(gym, by, "accept_proposal", Right.DECIDE_MAX) as trail:
        take_proposal(trail, proposal, is_confirmed=is_confirmed)


def take_proposal(trail: Trail, proposal: int, *, is_confirmed: bool = False) -> None:
    """The inside of accepting, for an act that accepts several; raises the same."""
    found = _decide(trail, proposal, ProposalState.ACCEPTED)
    if not is_confirmed:
        _stop_at([flag for flag in found.flags if flag.is_hard])
    for item in found.evidence:
        trail.put(keep(item))


@verb
def adjust_proposal(
    *, gym: GymKey, by: Actor, proposal: int, load: Mass, is_confirmed: bool = False
) -> None:
    """Take a proposal's strongest set with the coach's own load in place of the logged one.

    Raises
    ------
    NotFoundError
        If there is no such proposal.
    MaxDecisionError
        If it is decided already.
    UnlikelyMaxError
        If the load is far from what is believed and nobody confirmed it.
    """
    with change(gym, by, "adjust_proposal", Right.DECIDE_MAX) as trail:
        found = _decide(trail, proposal, ProposalState.ADJUSTED)
        best = max(found.evidence, key=lambda item: item.implied_kg)
        own = replace(best, load=load, note=f"{best.note}, adjusted by {by.name}")
        if not is_confirmed:
            beliefs = _beliefs(trail.gym, clock.today(gym), _standing(trail.gym))
            _stop_at(_questions(own, beliefs))
        trail.put(keep(own))


@verb
def ignore_proposal(*, gym: GymKey, by: Actor, proposal: int) -> None:
    """Leave a proposal aside; the log keeps its sets.

    Raises
    ------
    NotFoundError
        If there is no such proposal.
    MaxDecisionError
        If it is decided already.
    """
    with change(gym, by, "ignore_proposal", Right.DECIDE_MAX) as trail:
        _decide(trail, proposal, ProposalState.IGNORED)


def _standing(gym: Gym) -> tuple[Evidence, ...]:
    return tuple(kept.evidence for kept in evidence_rows.read_evidence(gym))


def _beliefs(gym: Gym, on: date, evidence: Sequence[Evidence]) -> Beliefs:
    return believe(evidence, squad_rows.read_athletes(gym), catalogue_in(gym), on)


def _questions(evidence: Evidence, beliefs: Beliefs) -> list[JumpFlag]:
    key = (evidence.athlete, evidence.lift)
    if key not in beliefs:
        return []
    unit = EnteredMass.of(evidence.load).unit
    return list(check_evidence(evidence, beliefs[key], unit))


def _stop_at(flags: Sequence[JumpFlag]) -> None:
    if flags:
        sentences = " ".join(flag.sentence for flag in flags)
        raise UnlikelyMaxError(f"{sentences} If it is right as it stands, confirm it.")


def _new_evidence(gym: Gym, key: GymKey, since: date, known: Beliefs) -> tuple[Evidence, ...]:
    start = _midnight(key, since)
    taken = {kept.key for kept in evidence_rows.read_evidence(gym)} | _decided_keys(gym, start)
    found = log_rows.find_sets(gym, {"logged_at__gte": start, "is_max_attempt": True})
    found = log_rows.standing(found).filter(athlete__removed_at=None)
    sets = log_rows.read_sets(found.order_by("logged_at", "pk"))
    logged = evidence_from_log(sets, known=known)
    return tuple(item for item in logged if keep(item).key not in taken)


def _midnight(gym: GymKey, day: date) -> datetime:
    return datetime.combine(day, datetime.min.time(), tzinfo=clock.zone(gym))


def _decided_keys(gym: Gym, since: datetime) -> set[str]:
    decided = rows.MaxProposal.objects.filter(gym=gym, decided_at__gte=since)
    return {keep(item).key for row in decided for item in _proposal(row).evidence}


def _renew_open_proposals(trail: Trail, found: Sequence[MaxProposal]) -> None:
    waiting = rows.MaxProposal.objects.filter(gym=trail.gym, state=ProposalState.PROPOSED)
    still_open = {(row.athlete.key, row.lift): row for row in waiting.select_related("athlete")}
    athletes = squad_rows.athlete_rows(trail.gym, {item.athlete for item in found})
    for item in found:
        row = still_open.pop((item.athlete, item.lift), None)
        _write_proposal(trail, row, item, athletes[item.athlete])
    for row in still_open.values():
        _settle(trail, row, ProposalState.IGNORED, GAINSAID)


def _write_proposal(
    trail: Trail, row: rows.MaxProposal | None, item: MaxProposal, athlete: rows.Athlete
) -> None:
    document = to_document(item)
    if row is not None and row.document == document:
        return
    before = None if row is None else row.document
    row = row or rows.MaxProposal(gym=trail.gym, athlete=athlete, lift=item.lift)
    row.document, row.proposed_at = document, trail.moment
    row.save()
    trail.note(f"proposal/{row.pk}", before, document)


def _decide(trail: Trail, proposal: int, state: ProposalState) -> MaxProposal:
    row = rows.MaxProposal.objects.filter(gym=trail.gym, pk=proposal).first()
    if row is None:
        raise NotFoundError("There is no such proposal in this gym: look at the list again.")
    if row.state != ProposalState.PROPOSED:
        raise MaxDecisionError(f"This proposal was {row.state} by {row.decided_by} already.")
    _settle(trail, row, state, trail.by.name[:120])
    return _proposal(row)


def _settle(trail: Trail, row: rows.MaxProposal, state: ProposalState, who: str) -> None:
    row.state, row.decided_at, row.decided_by = state, trail.moment, who
    row.save(update_fields=["state", "decided_at", "decided_by"])
    trail.note(f"proposal/{row.pk}", {"state": "proposed"}, {"state": str(state), "by": who})


def _proposal(row: rows.MaxProposal) -> MaxProposal:
    return from_document(row.document, MaxProposal)


def _kept(row: rows.MaxProposal) -> Proposal:
    return Proposal(row.pk, _proposal(row), row.state, row.proposed_at, row.decided_by)
