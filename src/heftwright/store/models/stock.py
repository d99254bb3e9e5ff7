"""What the gym owns. Column names are the domain's field names, so one mapper serves all."""

from __future__ import annotations

from typing import ClassVar

from django.db import models

from heftwright.domain.catalogue import Implement
from heftwright.domain.stock import ChainMassSource, ReadingDirection, RigKind, Side
from heftwright.store.fields import LengthField, LengthsField, MassField, WordField
from heftwright.store.models.gym import Gym


class StockItem(models.Model):
    """What all stock has: a gym, a key, and its place in the coach's list."""

    gym = models.ForeignKey(Gym, on_delete=models.CASCADE, related_name="+")
    key = models.CharField(max_length=60)
    position = models.PositiveIntegerField(default=0)

    class Meta:
        abstract = True
        ordering: ClassVar = ["position", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["gym", "key"], name="one_%(class)s_a_key")
        ]

    def __str__(self) -> str:
        return self.key


class Bar(StockItem):
    """A bar, axle or log that takes plates."""

    name = models.CharField(max_length=120)
    implement = WordField(Implement)
    mass = MassField()
    collar = MassField()
    sleeve = LengthField()
    count = models.PositiveSmallIntegerField()
    rating = MassField(null=True, blank=True)


class Plate(StockItem):
    """Pairs of plates of one kind."""

    mass = MassField()
    pairs = models.PositiveSmallIntegerField()
    diameter = LengthField()
    thickness = LengthField()
    colour = models.CharField(max_length=40)
    nominal = MassField(null=True, blank=True)


class Band(StockItem):
    """Pairs of one kind of loop band."""

    name = models.CharField(max_length=120)
    pairs = models.PositiveSmallIntegerField()
    rest_length = LengthField()
    guess_top_force = MassField(null=True, blank=True)
    safe_length = LengthField(null=True, blank=True)
    inspected_on = models.DateField(null=True, blank=True)
    retire_on = models.DateField(null=True, blank=True)
    rated_force = MassField(null=True, blank=True)


class BandReading(models.Model):
    """One calibration reading of a band."""

    band = models.ForeignKey(Band, on_delete=models.CASCADE, related_name="reading_rows")
    position = models.PositiveIntegerField()
    length = LengthField()
    force = MassField()
    taken_on = models.DateField()
    side = WordField(Side)
    direction = WordField(ReadingDirection)
    rig = WordField(RigKind)

    class Meta:
        ordering: ClassVar = ["band_id", "position"]

    def __str__(self) -> str:
        return f"{self.length} {self.force}"


class Chain(StockItem):
    """Pairs of chains of one kind."""

    name = models.CharField(max_length=120)
    pairs = models.PositiveSmallIntegerField()
    mass_per_m = MassField()
    length = LengthField()
    leader = MassField()
    known_by = WordField(ChainMassSource, default=ChainMassSource.WEIGHED)
    known_on = models.DateField(null=True, blank=True)


class Block(StockItem):
    """Pairs of blocks or mats."""

    height = LengthField()
    pairs = models.PositiveSmallIntegerField()
    rating = MassField(null=True, blank=True)


class ImplementUnit(StockItem):
    """Yoke, farmers handles, stone, sandbag …"""

    name = models.CharField(max_length=120)
    implement = WordField(Implement)
    mass = MassField(null=True, blank=True)
    count = models.PositiveSmallIntegerField()
    pick_height = LengthField(null=True, blank=True)
    weighed_on = models.DateField(null=True, blank=True)
    takes_plates = models.BooleanField()


class Platform(StockItem):
    """A place to lift."""

    has_rack = models.BooleanField()
    peg_heights = LengthsField(default=list)
    peg_offset = LengthField()
    rack_rating = MassField(null=True, blank=True)


class KitCount(StockItem):
    """Units of a kit key that are not listed one by one."""

    units = models.PositiveSmallIntegerField()
