"""Evidence about maxes: rows and domain values."""

from __future__ import annotations

from dataclasses import dataclass, fields

from django.db.models import QuerySet
from django.utils import timezone

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.evidence import Evidence
from heftwright.store import models as rows
from heftwright.store.documents import digest
from heftwright.store.gym_rows import plain_fields
from heftwright.store.squad_rows import athlete_row

_PLAIN = tuple(f.name for f in fields(Evidence) if f.name not in ("athlete", "lift"))


@dataclass(frozen=True, slots=True)
class KeptEvidence:
    """Evidence with the key it is kept under.

    Parameters
    ----------
    key : str
        Of its content: the same thing entered twice is kept once.
    evidence : Evidence
        What was lifted.
    """

    key: str
    evidence: Evidence


def keep(evidence: Evidence) -> KeptEvidence:
    """The evidence with its key."""
    return KeptEvidence(digest(evidence)[:40], evidence)


def read_evidence(
    gym: rows.Gym, *, athlete: str | None = None, lift: str | None = None
) -> tuple[KeptEvidence, ...]:
    """What stands, oldest first, in one query; of one athlete or lift if said."""
    found = _standing(gym)
    if athlete is not None:
        found = found.filter(athlete__key=athlete)
    if lift is not None:
        found = found.filter(lift=lift)
    return tuple(_kept(row) for row in found.order_by("on", "pk"))


def read_one_evidence(gym: rows.Gym, key: str) -> KeptEvidence | None:
    """One piece of evidence that stands, or None."""
    row = _standing(gym).filter(key=key).first()
    return None if row is None else _kept(row)


def write_evidence(gym: rows.Gym, kept: KeptEvidence) -> None:
    """Keep it, or let a withdrawn one stand again."""
    columns = {name: getattr(kept.evidence, name) for name in _PLAIN}
    rows.MaxEvidence.objects.update_or_create(
        gym=gym,
        key=kept.key,
        defaults={
            **columns,
            "athlete": athlete_row(gym, kept.evidence.athlete),
            "lift": kept.evidence.lift,
            "withdrawn_at": None,
        },
    )


def drop_evidence(gym: rows.Gym, key: str) -> None:
    """Withdraw it; the row stays for the record."""
    rows.MaxEvidence.objects.filter(gym=gym, key=key).update(withdrawn_at=timezone.now())


def _standing(gym: rows.Gym) -> QuerySet[rows.MaxEvidence, rows.MaxEvidence]:
    found = rows.MaxEvidence.objects.filter(gym=gym, withdrawn_at=None)
    return found.filter(athlete__removed_at=None).select_related("athlete")


def _kept(row: rows.MaxEvidence) -> KeptEvidence:
    evidence = Evidence(
        athlete=AthleteId(row.athlete.key), lift=LiftKey(row.lift), **plain_fields(row, _PLAIN)
    )
    return KeptEvidence(row.key, evidence)
