"""Deciding on several proposed maxes at once, and taking decisions back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from heftwright.domain.refusal import NotFoundError
from heftwright.domain.strength.proposals import MaxProposal
from heftwright.store import models as rows
from heftwright.store.models import AuditRow, ProposalState
from heftwright.store.records import RecordKind, read_record, split_subject
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import ChangedMeanwhileError, Trail, change, seen, verb
from heftwright.usecases.maxes import MaxDecisionError, Proposal, get_proposals, take_proposal
from heftwright.usecases.permissions import Right

SUPERSEDED = "taken back; a newer proposal waits"


@dataclass(frozen=True, slots=True)
class Waiting:
    """What waits, split into what one act may accept and what must be looked at one by one.

    Parameters
    ----------
    sound, stopped : tuple of Proposal
        Without and with a hard question.
    mark : str
        Of the sound ones as shown: given back with the acceptance.
    """

    sound: tuple[Proposal, ...]
    stopped: tuple[Proposal, ...]
    mark: str


def get_waiting(*, gym: GymKey) -> Waiting:
    """Every open proposal, oldest first."""
    return _split(get_proposals(gym=gym))


@verb
def accept_all_proposals(*, gym: GymKey, by: Actor, was_seen: str) -> tuple[int, ...]:
    """Accept every proposal without a hard question, exactly as they were shown; one act.

    Parameters
    ----------
    was_seen : str
        The mark of ``get_waiting``.

    Returns
    -------
    tuple of int
        The keys of what was accepted.

    Raises
    ------
    ChangedMeanwhileError
        If the log or somebody else changed what waits since it was shown.
    MaxDecisionError
        If nothing waits that may be accepted so.
    """
    with change(gym, by, "accept_all_proposals", Right.DECIDE_MAX) as trail:
        waiting = get_waiting(gym=gym)
        if waiting.mark != was_seen:
            raise ChangedMeanwhileError(
                "What waits has changed since it was shown: look at it as it stands now."
            )
        if not waiting.sound:
            raise MaxDecisionError("Nothing waits that can be accepted without a question.")
        for item in waiting.sound:
            take_proposal(trail, item.key)
    return tuple(item.key for item in waiting.sound)


@verb
def take_back_decisions(*, gym: GymKey, by: Actor, act: UUID) -> int:
    """Undo every decision of one act; returns how many proposals it was.

    Raises
    ------
    NotFoundError
        If that act decided nothing that still stands.
    """
    with change(gym, by, "take_back_decisions", Right.DECIDE_MAX) as trail:
        keys = _decided_by(trail.gym, act)
        found = rows.MaxProposal.objects.filter(gym=trail.gym, pk__in=keys)
        decided = [row for row in found.order_by("pk") if row.state != ProposalState.PROPOSED]
        if not decided:
            raise NotFoundError("No decision of that act stands any more.")
        for row in decided:
            _withdraw(trail, row)
            _reopen(trail, row)
    return len(decided)


def _split(proposals: Sequence[Proposal]) -> Waiting:
    sound = tuple(item for item in proposals if not item.proposal.is_stopped)
    stopped = tuple(item for item in proposals if item.proposal.is_stopped)
    marks: list[tuple[int, MaxProposal]] = [(item.key, item.proposal) for item in sound]
    return Waiting(sound, stopped, "".join(f"{key}:{seen(what)}." for key, what in marks))


def _decided_by(gym: rows.Gym, act: UUID) -> list[int]:
    lines = AuditRow.objects.filter(gym=gym, act=act, before={"state": "proposed"})
    return [int(line.subject.partition("/")[2]) for line in lines]


@verb
def take_back_decision(*, gym: GymKey, by: Actor, proposal: int) -> None:
    """Undo accepting, adjusting or ignoring a proposal.

    What was taken as evidence is withdrawn, and the proposal waits for the coach again. Where the
    log has made a newer proposal for the same lift meanwhile, that one waits instead.

    Raises
    ------
    NotFoundError
        If there is no such proposal.
    MaxDecisionError
        If it still waits.
    """
    with change(gym, by, "take_back_decision", Right.DECIDE_MAX) as trail:
        row = rows.MaxProposal.objects.filter(gym=trail.gym, pk=proposal).first()
        if row is None:
            raise NotFoundError("There is no such proposal in this gym: look at the list again.")
        if row.state == ProposalState.PROPOSED:
            raise MaxDecisionError("This proposal waits already: accept, adjust or leave it.")
        _withdraw(trail, row)
        _reopen(trail, row)


def _withdraw(trail: Trail, row: rows.MaxProposal) -> None:
    """Withdraw the evidence that the decision's own act put down, where it still stands."""
    mine = AuditRow.objects.filter(gym=trail.gym, subject=f"proposal/{row.pk}")
    decided = mine.filter(before={"state": "proposed"}).order_by("-at", "-pk").first()
    if decided is None:
        return
    own = (row.athlete.key, row.lift)
    for line in AuditRow.objects.filter(gym=trail.gym, act=decided.act):
        kind, key = split_subject(line.subject) or (None, "")
        if kind is not RecordKind.EVIDENCE:
            continue
        kept = read_record(trail.gym, kind, key)
        # one act may have decided on several: only this proposal's own athlete and lift
        if kept is not None and (kept.evidence.athlete, kept.evidence.lift) == own:
            trail.drop(kind, key)


def _reopen(trail: Trail, row: rows.MaxProposal) -> None:
    before = {"state": str(row.state), "by": row.decided_by}
    newer = rows.MaxProposal.objects.filter(
        gym=trail.gym, athlete=row.athlete_id, lift=row.lift, state=ProposalState.PROPOSED
    )
    if newer.exists():
        row.state, row.decided_by = ProposalState.IGNORED, SUPERSEDED
    else:
        row.state, row.decided_at, row.decided_by = ProposalState.PROPOSED, None, ""
    row.save(update_fields=["state", "decided_at", "decided_by"])
    trail.note(f"proposal/{row.pk}", before, {"state": str(row.state), "taken_back": True})
