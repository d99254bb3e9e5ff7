"""Taking back a decision about a proposed max: its evidence goes, the proposal waits again."""

from __future__ import annotations

from heftwright.domain.refusal import NotFoundError
from heftwright.store import models as rows
from heftwright.store.models import AuditRow, ProposalState
from heftwright.store.records import RecordKind, read_record, split_subject
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import Trail, change, verb
from heftwright.usecases.maxes import MaxDecisionError
from heftwright.usecases.permissions import Right

SUPERSEDED = "taken back; a newer proposal waits"


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
    for line in AuditRow.objects.filter(gym=trail.gym, act=decided.act):
        kind, key = split_subject(line.subject) or (None, "")
        if kind is RecordKind.EVIDENCE and read_record(trail.gym, kind, key) is not None:
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
