"""Plans by version, imports that can be undone, who did what, and long work under way."""

from __future__ import annotations

from enum import StrEnum
from typing import ClassVar

from django.db import models

from heftwright.store.fields import WordField
from heftwright.store.models.gym import Account, Gym


class SeasonPlanRow(models.Model):
    """A season plan; versions only ever rise."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    version = models.PositiveIntegerField()
    document = models.JSONField()
    problem_digest = models.CharField(max_length=64)
    made_by = models.CharField(max_length=120)
    created_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["gym", "version"], name="one_season_plan_a_version")
        ]

    def __str__(self) -> str:
        return f"{self.gym_id} v{self.version}"


class ClassPlanRow(models.Model):
    """A plan of one dated class; versions only ever rise."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    class_key = models.CharField(max_length=60)
    on = models.DateField()
    version = models.PositiveIntegerField()
    document = models.JSONField()
    made_by = models.CharField(max_length=120)
    planned_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["gym", "class_key", "on", "version"], name="one_class_plan_a_version"
            )
        ]

    def __str__(self) -> str:
        return f"{self.class_key} {self.on} v{self.version}"


class ImportBatch(models.Model):
    """An accepted import with what stood there before, for 30 days of undo."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    files = models.JSONField()  # [{"name": …, "sha256": …}]
    before = models.JSONField()  # {"athlete/a1": document or null}
    after = models.JSONField()
    accepted_by = models.CharField(max_length=120)
    accepted_at = models.DateTimeField()
    undone_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"import {self.pk}"


class AuditRow(models.Model):
    """Who did which verb on what, with the before and after. Append-only."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT, db_index=False)
    act = models.UUIDField()  # rows of one act are undone together
    at = models.DateTimeField()
    who = models.CharField(max_length=120)
    account = models.ForeignKey(Account, on_delete=models.SET_NULL, null=True, blank=True)
    via = models.CharField(max_length=20)
    verb = models.CharField(max_length=60)
    subject = models.CharField(max_length=160)
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["gym", "-at"], name="audit_by_time"),
            models.Index(fields=["gym", "subject", "-at"], name="audit_by_subject"),
            models.Index(fields=["act"], name="audit_by_act"),
        ]

    def __str__(self) -> str:
        return f"{self.who}: {self.verb} {self.subject}"


class JobState(StrEnum):
    """Where long work stands."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"
    LOST = "lost"


LIVE_STATES = (JobState.WAITING.value, JobState.RUNNING.value)


class Job(models.Model):
    """Long work under way; the truth about it, whoever does it."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    kind = models.CharField(max_length=40)
    about = models.CharField(max_length=80, blank=True)
    arguments = models.JSONField(default=dict)
    state = WordField(JobState, default=JobState.WAITING)
    progress_ratio = models.FloatField(default=0.0)
    message = models.CharField(max_length=300, blank=True)
    best = models.JSONField(null=True)
    result = models.JSONField(null=True)
    started_by = models.CharField(max_length=120)
    attempt = models.PositiveSmallIntegerField(default=0)
    cancel_asked = models.BooleanField(default=False)
    created_at = models.DateTimeField()
    heartbeat_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["gym", "kind", "about"],
                condition=models.Q(state__in=LIVE_STATES),
                name="one_live_job_a_kind_and_subject",
            )
        ]
        indexes: ClassVar = [models.Index(fields=["state", "heartbeat_at"], name="jobs_by_state")]

    def __str__(self) -> str:
        return f"{self.kind} {self.about} {self.state}"
