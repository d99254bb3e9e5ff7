"""Contests, their events and entries."""

from __future__ import annotations

from typing import ClassVar

from django.db import models

from heftwright.domain.catalogue import EventFamily, Implement
from heftwright.domain.contest import EventStyle
from heftwright.store.fields import LengthField, MassField, WordField
from heftwright.store.models.gym import Gym
from heftwright.store.models.squad import Athlete


class Contest(models.Model):
    """A dated contest."""

    gym = models.ForeignKey(Gym, on_delete=models.CASCADE, related_name="contests")
    key = models.CharField(max_length=60)
    name = models.CharField(max_length=120)
    on = models.DateField()
    importance = models.PositiveSmallIntegerField()
    squad_taper = models.BooleanField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["gym", "key"], name="one_contest_a_key")
        ]
        indexes: ClassVar = [models.Index(fields=["gym", "on"], name="contests_by_day")]

    def __str__(self) -> str:
        return self.name


class ContestEvent(models.Model):
    """One event of a contest, in order."""

    contest = models.ForeignKey(Contest, on_delete=models.CASCADE, related_name="event_rows")
    position = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120)
    family = WordField(EventFamily)
    style = WordField(EventStyle)
    implement = WordField(Implement, null=True, blank=True)
    start_height = LengthField(null=True, blank=True)
    grip = models.CharField(max_length=60, blank=True)
    load_men = MassField(null=True, blank=True)
    load_women = MassField(null=True, blank=True)
    time_cap_s = models.PositiveIntegerField(null=True, blank=True)
    course_m = models.FloatField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["contest_id", "position"]

    def __str__(self) -> str:
        return self.name


class Entry(models.Model):
    """An athlete's entry in a contest."""

    contest = models.ForeignKey(Contest, on_delete=models.CASCADE, related_name="entry_rows")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE)
    position = models.PositiveSmallIntegerField()
    contest_class = models.CharField(max_length=60)
    need = models.JSONField(default=dict)

    class Meta:
        ordering: ClassVar = ["contest_id", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["contest", "athlete"], name="one_entry_an_athlete")
        ]

    def __str__(self) -> str:
        return f"{self.contest_id} {self.athlete_id}"
