"""Athletes and the timetable."""

from __future__ import annotations

from typing import ClassVar

from django.db import models

from heftwright.domain.catalogue import Slot, WeakPoint
from heftwright.domain.squad import Sex
from heftwright.store.fields import LengthField, MassField, WordField
from heftwright.store.models.gym import Gym


class Athlete(models.Model):
    """An athlete of a gym. Leaving the squad sets ``removed_at``: nothing is deleted."""

    gym = models.ForeignKey(Gym, on_delete=models.CASCADE, related_name="athletes")
    key = models.CharField(max_length=60)
    name = models.CharField(max_length=120)
    number = models.PositiveIntegerField()
    sex = WordField(Sex)
    born_on = models.DateField(null=True, blank=True)
    body_mass = MassField(null=True, blank=True)
    stature = LengthField(null=True, blank=True)
    pull_lockout = LengthField(null=True, blank=True)
    front_rack = LengthField(null=True, blank=True)
    overhead = LengthField(null=True, blank=True)
    squat_top = LengthField(null=True, blank=True)
    squat_bottom = LengthField(null=True, blank=True)
    bench_top = LengthField(null=True, blank=True)
    bench_bottom = LengthField(null=True, blank=True)
    priority = models.FloatField(default=1.0)
    away_since = models.DateField(null=True, blank=True)
    back_on = models.DateField(null=True, blank=True)
    guardian = models.CharField(max_length=120, blank=True)
    supervisor = models.CharField(max_length=120, blank=True)
    joined_on = models.DateField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["gym", "key"], name="one_athlete_a_key")
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"


class AthleteWeakPoint(models.Model):
    """How weak an athlete is at a point, 0–1."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="weak_point_rows")
    point = WordField(WeakPoint)
    weight = models.FloatField()

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["athlete", "point"], name="one_weight_a_weak_point")
        ]

    def __str__(self) -> str:
        return f"{self.point} {self.weight}"


class AthleteRestriction(models.Model):
    """Lifts that are off until cleared; ``until`` is the day to ask again."""

    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE, related_name="restriction_rows")
    position = models.PositiveSmallIntegerField()
    tag = models.CharField(max_length=60)
    since = models.DateField()
    until = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=500, blank=True)
    cleared_on = models.DateField(null=True, blank=True)
    cleared_by = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering: ClassVar = ["athlete_id", "position"]

    def __str__(self) -> str:
        return self.tag


class ClassTime(models.Model):
    """A class of the week."""

    gym = models.ForeignKey(Gym, on_delete=models.CASCADE, related_name="class_times")
    key = models.CharField(max_length=60)
    weekday = models.PositiveSmallIntegerField()
    starts_at = models.TimeField()
    minutes = models.PositiveSmallIntegerField()
    slot = WordField(Slot)
    coach = models.CharField(max_length=120, blank=True)

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["gym", "key"], name="one_class_a_key")
        ]

    def __str__(self) -> str:
        return self.key


class ClassMember(models.Model):
    """Who usually comes to a class, in the coach's order."""

    class_time = models.ForeignKey(ClassTime, on_delete=models.CASCADE, related_name="member_rows")
    athlete = models.ForeignKey(Athlete, on_delete=models.CASCADE)
    position = models.PositiveSmallIntegerField()

    class Meta:
        ordering: ClassVar = ["class_time_id", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["class_time", "athlete"], name="an_athlete_is_in_a_class_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.class_time_id} {self.athlete_id}"
