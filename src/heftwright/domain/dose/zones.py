"""Zone tables: how many lifts an intensity allows, in the variants that are in print.

The prints differ: one leaves gaps between its rows, the other does not; at exactly 80 % they
disagree with what many coaches do at the top of a banded lift. Which one counts is a setting; a
value in a gap is said to be in a gap. Print sources: Laputin & Oleshko, *Managing the Training of
Weightlifters*; Siff, *Supertraining* (the tables here are from secondary prints).
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources
from typing import Any

from heftwright.domain.dose.scheme import Scheme
from heftwright.domain.refusal import Refusal

LABEL = "Borrowed from weightlifters' classic lifts: a setting, not a law."


class ZoneTableError(Refusal):
    """A zone table that contradicts itself."""


class ZonePlace(StrEnum):
    """Where an intensity falls."""

    IN_ZONE = "in_zone"
    GAP = "gap"
    BELOW = "below"
    ABOVE = "above"


class Against(StrEnum):
    """How a number of lifts compares with the table's range."""

    BELOW = "below"
    INSIDE = "inside"
    ABOVE = "above"


@dataclass(frozen=True, slots=True)
class Zone:
    """One row.

    Parameters
    ----------
    name : str
        As printed.
    low_pct, high_pct : float
        Of the max [%], rising.
    reps_per_set, total : (int, int)
        Fewest and most; ``total`` is a real range around ``optimal``.
    optimal : int
        Lifts in a session.
    """

    name: str
    low_pct: float
    high_pct: float
    reps_per_set: tuple[int, int]
    optimal: int
    total: tuple[int, int]

    def __post_init__(self) -> None:
        if not 0 <= self.low_pct < self.high_pct:
            raise ZoneTableError(f"Zone “{self.name}”: its limits must rise.")
        low, high = self.total
        if not low < self.optimal < high:
            raise ZoneTableError(
                f"Zone “{self.name}”: optimal {self.optimal} must lie inside {low}–{high}; "
                "in one print in circulation the columns are shifted."
            )
        if not 1 <= self.reps_per_set[0] <= self.reps_per_set[1]:
            raise ZoneTableError(f"Zone “{self.name}”: reps a set must rise from 1.")


@dataclass(frozen=True, slots=True)
class ZoneHit:
    """Where an intensity falls: the zone, or why there is none and which rows are next to it."""

    place: ZonePlace
    zone: Zone | None
    neighbours: tuple[Zone, ...] = ()

    @property
    def label(self) -> str:
        """The row's name, or gap, below, above."""
        return self.zone.name if self.zone else self.place.value


@dataclass(frozen=True, slots=True)
class ZoneTable:
    """A variant in print.

    Parameters
    ----------
    key, source : str
        ``"A"`` or ``"B"``, and where it is printed.
    is_closed : bool
        True: rows include their upper limit (A). False: half-open rows that touch (B).
    zones : tuple of Zone
        Rising.
    """

    key: str
    source: str
    is_closed: bool
    zones: tuple[Zone, ...]

    def __post_init__(self) -> None:
        if not self.zones:
            raise ZoneTableError(f"Zone table “{self.key}” has no rows.")
        for lower, upper in zip(self.zones, self.zones[1:], strict=False):
            if upper.low_pct < lower.high_pct:
                raise ZoneTableError(f"Zones “{lower.name}” and “{upper.name}” overlap.")

    def find(self, pct: float) -> ZoneHit:
        """The row for an intensity [% of the max], 0–110."""
        for zone in self.zones:
            if zone.low_pct <= pct < zone.high_pct or (self._closes(zone) and pct == zone.high_pct):
                return ZoneHit(ZonePlace.IN_ZONE, zone)
        below = [zone for zone in self.zones if zone.high_pct <= pct]
        above = [zone for zone in self.zones if zone.low_pct > pct]
        if not below:
            return ZoneHit(ZonePlace.BELOW, None, (above[0],))
        if not above:
            return ZoneHit(ZonePlace.ABOVE, None, (below[-1],))
        return ZoneHit(ZonePlace.GAP, None, (below[-1], above[0]))

    def _closes(self, zone: Zone) -> bool:
        return self.is_closed or zone is self.zones[-1]

    def find_banded(self, top_pct: float) -> ZoneHit:
        """The row for the top of a banded lift: exactly 80 % counts with the row below.

        Common practice, no source: many coaches use the 70–79 % row up to and including 80 % at
        the top of a banded lift. The default for banded work here.
        """
        return self.find(top_pct - 0.001 if top_pct == 80 else top_pct)

    def row_at(self, pct: float, *, is_banded: bool) -> Zone | None:
        """The row that the number of lifts is held to; the lower one in a gap.

        Parameters
        ----------
        pct : float
            Top of the lift as a share of the max [%], ≥ 0.
        is_banded : bool
            Bands or chains: whole points, and 80 % counts with the row below.

        Returns
        -------
        Zone or None
            None below the table's first heavy row: there is nothing to hold it to.
        """
        hit = self.find_banded(round(pct)) if is_banded else self.find(pct)
        zone = hit.zone or (hit.neighbours[0] if hit.neighbours else None)
        return None if zone is None or zone.low_pct == 0 else zone


@dataclass(frozen=True, slots=True)
class ZoneVerdict:
    """A scheme held against a row.

    Parameters
    ----------
    lifts : int
        Number of lifts.
    against_range : Against
        Below, inside or above the range.
    off_optimal : int
        Lifts more (+) or fewer (−) than optimal.
    reps_per_set_ok : bool
        Whether the sets have the row's length.
    words : str
        For the coach.
    """

    lifts: int
    against_range: Against
    off_optimal: int
    reps_per_set_ok: bool
    words: str


def judge(zone: Zone, scheme: Scheme) -> ZoneVerdict:
    """Hold a scheme against a row of the table."""
    low, high = zone.total
    lifts = scheme.total_reps
    against = Against.INSIDE
    if lifts < low:
        against = Against.BELOW
    elif lifts > high:
        against = Against.ABOVE
    words = f"{lifts} lifts, {against} {low}–{high} (optimal {zone.optimal})"
    fits = zone.reps_per_set[0] <= scheme.reps <= zone.reps_per_set[1]
    return ZoneVerdict(lifts, against, lifts - zone.optimal, fits, words)


def number_of_lifts(tonnage_t: float, mean_kg: float) -> int:
    """Number of lifts from tonnage [t] and mean weight [kg]."""
    if mean_kg <= 0 or tonnage_t < 0:
        raise ZoneTableError("Mean weight must be above 0 and tonnage not below 0.")
    return round(tonnage_t * 1000 / mean_kg)


def share_of_lifts_pct(lifts: int, total: int) -> float:
    """Share of lifts [%], for example those at 90 % and more in a year."""
    if not 0 <= lifts <= total or total == 0:
        raise ZoneTableError(f"{lifts} of {total} lifts cannot be.")
    return 100 * lifts / total


def effective_ratio(bar_ratio: float, top_ratio: float, mean_ratio: float | None = None) -> float:
    """Effective intensity of a banded lift: bar and top share, or with the mean over the range.

    Parameters
    ----------
    bar_ratio, top_ratio : float
        Shares of the max: on the bar, and added at lockout.
    mean_ratio : float or None
        Added on average over the range, if that is the gym's choice.
    """
    return bar_ratio + (top_ratio if mean_ratio is None else mean_ratio)


@cache
def load_zone_tables() -> Mapping[str, ZoneTable]:
    """The variants in print, by key."""
    text = resources.files(__package__).joinpath("zones.json").read_text(encoding="utf-8")
    tables = [read_zone_table(record) for record in json.loads(text)["variants"]]
    return {table.key: table for table in tables}


def read_zone_table(record: Mapping[str, Any]) -> ZoneTable:
    """Build a table from a parsed record.

    Raises
    ------
    ZoneTableError
        If a range is a single number, or optimal lies at its edge: the mark of shifted columns.
    """
    zones = tuple(
        Zone(
            row["name"],
            row["low_pct"],
            row["high_pct"],
            _pair(row["name"], row["reps"]),
            row["optimal"],
            _pair(row["name"], row["range"]),
        )
        for row in record["zones"]
    )
    return ZoneTable(record["key"], record["source"], record["is_closed"], zones)


def _pair(name: str, value: Any) -> tuple[int, int]:
    if not isinstance(value, Sequence) or len(value) != 2:
        raise ZoneTableError(f"Zone “{name}”: {value} is no range: write fewest and most.")
    return int(value[0]), int(value[1])
