"""What happened on the gym floor: sets, conflicts, attendance, pain; evidence about maxes."""

from __future__ import annotations

from enum import StrEnum
from typing import ClassVar

from django.db import models

from heftwright.domain.log import SetOutcome
from heftwright.domain.mass import MassUnit
from heftwright.domain.strength.evidence import EvidenceKind
from heftwright.store.fields import MassField, WordField
from heftwright.store.models.gym import Gym
from heftwright.store.models.squad import Athlete


class LoggedSet(models.Model):
    """An append-only fact; ``content_hash`` is of everything but the id."""

    id = models.UUIDField(primary_key=True)
    gym = models.ForeignKey(Gym, on_delete=models.PROTECT, db_index=False)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT, db_index=False)
    lift = models.CharField(max_length=60)
    class_key = models.CharField(max_length=80)
    set_number = models.PositiveSmallIntegerField()
    load_thousandths = models.PositiveIntegerField()
    load_unit = WordField(MassUnit, max_length=2)
    reps_done = models.PositiveSmallIntegerField()
    outcome = WordField(SetOutcome, max_length=12)
    reps_in_reserve = models.FloatField(null=True, blank=True)
    plan_version = models.PositiveIntegerField()
    logged_at = models.DateTimeField()
    logged_offset_s = models.IntegerField()  # of the phone's wall time, so the hash can be rebuilt
    corrects = models.UUIDField(null=True, blank=True)
    is_max_attempt = models.BooleanField(default=False)
    content_hash = models.CharField(max_length=64)
    received_at = models.DateTimeField()

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["gym", "logged_at"], name="sets_by_time"),
            models.Index(fields=["gym", "class_key"], name="sets_by_class"),
            models.Index(fields=["athlete", "logged_at"], name="sets_by_athlete"),
            models.Index(fields=["athlete", "lift", "logged_at"], name="sets_by_athlete_and_lift"),
            models.Index(
                fields=["corrects"],
                name="corrections",
                condition=models.Q(corrects__isnull=False),
            ),
            models.Index(
                fields=["gym", "logged_at"],
                name="max_attempts",
                condition=models.Q(is_max_attempt=True),
            ),
        ]

    def __str__(self) -> str:
        return str(self.id)


class LogConflict(models.Model):
    """Another content under an id that is already taken: kept for the coach, never dropped."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    set_id = models.UUIDField()
    content_hash = models.CharField(max_length=64)
    document = models.JSONField()
    received_at = models.DateTimeField()
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["gym", "set_id", "content_hash"], name="one_conflict_a_content"
            )
        ]

    def __str__(self) -> str:
        return str(self.set_id)


class AttendanceState(StrEnum):
    """Whether somebody is at the class."""

    HERE = "here"
    LATE = "late"
    AWAY = "away"


class Attendance(models.Model):
    """Who came to a dated class (``"2026-11-23/mon-1830"``)."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    class_key = models.CharField(max_length=80)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT)
    state = WordField(AttendanceState, max_length=8)
    minutes_late = models.PositiveSmallIntegerField(default=0)
    noted_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["gym", "class_key", "athlete"], name="one_attendance_an_athlete_and_class"
            )
        ]

    def __str__(self) -> str:
        return f"{self.class_key} {self.athlete_id} {self.state}"


class Pain(models.Model):
    """Pain said by an athlete; a health note: reads are audited, never on the board."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT)
    class_key = models.CharField(max_length=80, blank=True)
    place = models.CharField(max_length=60)
    score_0_10 = models.PositiveSmallIntegerField()
    reported_at = models.DateTimeField()
    note = models.CharField(max_length=1000, blank=True)

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["athlete", "reported_at"], name="pain_by_athlete")
        ]

    def __str__(self) -> str:
        return f"{self.athlete_id} {self.reported_at}"


class MaxEvidence(models.Model):
    """One dated observation of what an athlete lifted."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    key = models.CharField(max_length=60)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT)
    lift = models.CharField(max_length=60)
    kind = WordField(EvidenceKind)
    load = MassField()
    reps = models.PositiveSmallIntegerField(default=1)
    reps_in_reserve = models.FloatField(default=0.0)
    on = models.DateField()
    note = models.CharField(max_length=500, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["gym", "key"], name="one_evidence_a_key")
        ]
        indexes: ClassVar = [
            models.Index(fields=["gym", "athlete", "lift", "on"], name="evidence_by_athlete_lift")
        ]

    def __str__(self) -> str:
        return f"{self.athlete_id} {self.lift} {self.load}"


class ProposalState(StrEnum):
    """What the coach made of a proposed max."""

    PROPOSED = "proposed"
    ACCEPTED = "accepted"
    ADJUSTED = "adjusted"
    IGNORED = "ignored"


class MaxProposal(models.Model):
    """A changed max that the log suggests; the coach decides."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT)
    lift = models.CharField(max_length=60)
    document = models.JSONField()  # the domain's proposal with the evidence it rests on
    state = WordField(ProposalState, default=ProposalState.PROPOSED)
    proposed_at = models.DateTimeField()
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.CharField(max_length=120, blank=True)

    class Meta:
        indexes: ClassVar = [models.Index(fields=["gym", "state"], name="proposals_by_state")]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["gym", "athlete", "lift"],
                condition=models.Q(state="proposed"),
                name="one_open_proposal_an_athlete_and_lift",
            )
        ]

    def __str__(self) -> str:
        return f"{self.athlete_id} {self.lift} {self.state}"
