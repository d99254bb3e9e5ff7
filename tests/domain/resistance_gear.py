"""Bands, chains, athletes and published tables for the resistance tests."""

import csv
from datetime import date
from pathlib import Path

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete, AthleteId, BarHeights, Sex
from heftwright.domain.stock import (
    Band,
    BandReading,
    Chain,
    ReadingDirection,
    RigKind,
    Side,
)

DAY = date(2026, 3, 2)
PUBLISHED = Path(__file__).parents[1] / "published"


def published(name):
    """Rows of a published table."""
    with (PUBLISHED / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def reading(
    length_m, force_kg, *, on=DAY, side=Side.BOTH, way=ReadingDirection.UNSAID, rig=RigKind.CHOKED
):
    return BandReading(Length.nearest_m(length_m), Mass.nearest_kg(force_kg), on, side, way, rig)


def band(*readings, rest_m=1.0, key="grey", pairs=2, **more):
    """A band with readings, or with (length, kg) pairs read choked on one day."""
    rows = tuple(r if isinstance(r, BandReading) else reading(*r) for r in readings)
    return Band(key, f"{key} band", pairs, Length.nearest_m(rest_m), rows, **more)


def two_reading_band(**more):
    """The band of checks B1, B3 and B4."""
    return band((1.30, 20), (1.90, 40), **more)


def chain(kg_per_m="3.8", length_m="2.0", leader_kg="0", pairs=2, key="long", known_on=DAY):
    return Chain(
        key, f"{key} chain", pairs, Mass.kg(kg_per_m), Length.m(length_m), Mass.kg(leader_kg),
        known_on=known_on,
    )  # fmt: skip


def athlete(*, stature_mm=None, sex=Sex.MAN, **heights_mm):
    taped = {name: Length.mm(str(mm)) for name, mm in heights_mm.items()}
    stature = None if stature_mm is None else Length.mm(str(stature_mm))
    return Athlete(AthleteId("a7"), "Ines", 7, sex, stature=stature, heights=BarHeights(**taped))
