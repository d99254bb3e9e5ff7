"""The coach's own waves and settings; how hard sessions were, how people woke, how bars moved."""

from __future__ import annotations

from typing import ClassVar

from django.db import models

from heftwright.store.fields import MassField
from heftwright.store.models.gym import Gym
from heftwright.store.models.squad import Athlete


class CoachSetting(models.Model):
    """A wave or the load settings of a gym; what has no row is as it ships."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    kind = models.CharField(max_length=20)
    key = models.CharField(max_length=60)
    document = models.JSONField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["gym", "kind", "key"], name="one_setting_a_kind_and_key"
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}"


class SessionEffort(models.Model):
    """How hard a whole session was, 0–10, and its minutes."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT)
    on = models.DateField()
    class_key = models.CharField(max_length=80)
    rpe = models.FloatField()
    minutes = models.PositiveSmallIntegerField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["gym", "athlete", "class_key"], name="one_effort_an_athlete_and_class"
            )
        ]
        indexes: ClassVar = [
            models.Index(fields=["athlete", "on"], name="efforts_by_athlete"),
            models.Index(fields=["gym", "on"], name="efforts_by_day"),
        ]

    def __str__(self) -> str:
        return f"{self.athlete_id} {self.class_key}"


class ReadinessReport(models.Model):
    """Sleep, soreness and the like; a health note: reads are audited, never on the board."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT)
    on = models.DateField()
    scale = models.CharField(max_length=40)  # id with the direction, so an answer never loses it
    answers = models.JSONField()
    reported_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["gym", "athlete", "on", "scale"], name="one_report_a_day_and_scale"
            )
        ]

    def __str__(self) -> str:
        return f"{self.athlete_id} {self.on}"


class BarSpeedSet(models.Model):
    """One set's bar speeds, from any device."""

    gym = models.ForeignKey(Gym, on_delete=models.PROTECT)
    key = models.CharField(max_length=60)
    athlete = models.ForeignKey(Athlete, on_delete=models.PROTECT)
    lift = models.CharField(max_length=60)
    on = models.DateField()
    set_number = models.PositiveSmallIntegerField()
    load = MassField()
    speeds_m_s = models.JSONField()  # mean of each repetition [m/s], in the order of lifting

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["gym", "key"], name="one_speed_set_a_key")
        ]
        indexes: ClassVar = [
            models.Index(fields=["gym", "athlete", "lift", "on"], name="speeds_by_athlete_lift")
        ]

    def __str__(self) -> str:
        return f"{self.athlete_id} {self.lift} {self.on}"
