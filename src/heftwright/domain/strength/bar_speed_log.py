"""Bar speeds of one athlete and lift over time: own profile, loss in a set, signs of fatigue."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from heftwright.domain.catalogue import Lift, LiftKey, Pattern
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.bar_speed import (
    MINIMAL_SPEED,
    SpeedMax,
    SpeedPoint,
    SpeedProfileError,
    max_from_speed,
    speed_drop_ratio,
    speed_loss_ratio,
)

SAME_LOAD_RATIO = 0.025
FATIGUE_DROP_RATIO = 0.10
PROFILE_DAYS = 42
MOST_REPS = 30
SLOWEST_M_S = 0.03
"""Far below the slowest true max (Helms et al. 2017); catches speeds read in the wrong unit."""


@dataclass(frozen=True, slots=True)
class BarSpeedSet:
    """The mean speed of every repetition of one set.

    Parameters
    ----------
    athlete, lift
        Who and what.
    on : date
        The day.
    set_number : int
        1–60 within the day, so that two sets alike stay two.
    load : Mass
        On the bar, > 0.
    speeds_m_s : tuple of float
        Mean concentric speed of each repetition [m/s], in the order of lifting; 1–30
        of them, each 0.03–4.
    """

    athlete: AthleteId
    lift: LiftKey
    on: date
    set_number: int
    load: Mass
    speeds_m_s: tuple[float, ...]

    def __post_init__(self) -> None:
        if not 1 <= len(self.speeds_m_s) <= MOST_REPS:
            raise SpeedProfileError(
                f"A set of {len(self.speeds_m_s)} measured repetitions: 1 to {MOST_REPS} are read."
            )
        if not 1 <= self.set_number <= 60:
            raise SpeedProfileError(f"Set number {self.set_number} is outside 1–60.")
        for speed in self.speeds_m_s:
            SpeedPoint(self.load.in_kg, speed)  # refuses what no bar does
            if speed < SLOWEST_M_S:
                raise SpeedProfileError(
                    f"{speed:g} m/s is slower than any repetition ({SLOWEST_M_S:g} m/s or more): "
                    "look at the unit of the speeds."
                )

    @property
    def key(self) -> str:
        """Of its content: the same file read twice is kept once."""
        content = (self.athlete, self.lift, self.on, self.set_number, self.load.ticks,
                   self.speeds_m_s)  # fmt: skip
        return hashlib.sha256(repr(content).encode()).hexdigest()[:40]

    @property
    def best(self) -> SpeedPoint:
        """The fastest repetition."""
        return SpeedPoint(self.load.in_kg, max(self.speeds_m_s))

    @property
    def loss_ratio(self) -> float:
        """How much speed the set lost, 0–1."""
        return speed_loss_ratio(self.speeds_m_s)


@dataclass(frozen=True, slots=True)
class OwnMinimalSpeed:
    """Speed at a max [m/s], and in words where it is from."""

    speed_m_s: float
    words: str


@dataclass(frozen=True, slots=True)
class SpeedProfile:
    """One athlete's load–velocity line in one lift, as far as the sets carry it.

    Parameters
    ----------
    points : tuple of SpeedPoint
        The fastest repetition at each load of the last six weeks, lightest first.
    at_max : OwnMinimalSpeed or None
        None where neither a measured max nor a published speed exists.
    found : SpeedMax or None
        The max that the line points at; None with ``why_not``.
    why_not : str
        Why there is no line.
    """

    points: tuple[SpeedPoint, ...]
    at_max: OwnMinimalSpeed | None
    found: SpeedMax | None
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Slowness:
    """A day on which the bar was clearly slower than this athlete's habit at the same load.

    Parameters
    ----------
    latest : BarSpeedSet
        That set.
    drop_ratio : float
        How much slower, 0–1.
    words : str
        For the coach; descriptive only.
    """

    latest: BarSpeedSet
    drop_ratio: float
    words: str


def profile(sets: Sequence[BarSpeedSet], lift: Lift, today: date) -> SpeedProfile:
    """The line through the fastest repetition at each load of the last six weeks.

    Parameters
    ----------
    sets : sequence of BarSpeedSet
        Of one athlete in this lift.
    lift : Lift
        Its pattern says which published speed at a max applies, and flags deadlifts.
    today : date
        Sets older than six weeks speak no more for the line.
    """
    recent = [item for item in sets if today - item.on <= timedelta(days=PROFILE_DAYS)]
    points = _fastest(recent)
    at_max = _speed_at_max(sets, lift)
    if at_max is None:
        why = "No speed at a max is published for this lift: bring in a set with a true max single."
        return SpeedProfile(points, None, None, why)
    try:
        _check_order(points)
        return SpeedProfile(points, at_max, max_from_speed(points, at_max.speed_m_s, lift.pattern))
    except SpeedProfileError as error:
        return SpeedProfile(points, at_max, None, str(error))


def _fastest(sets: Sequence[BarSpeedSet]) -> tuple[SpeedPoint, ...]:
    best: dict[float, float] = {}
    for item in sets:
        load = item.load.in_kg
        best[load] = max(best.get(load, 0.0), item.best.speed_m_s)
    return tuple(SpeedPoint(load, speed) for load, speed in sorted(best.items()))


def _check_order(points: Sequence[SpeedPoint]) -> None:
    """Refuse a heavier bar that is clearly faster: mixed-up columns or another lift's sets."""
    for light, heavy in pairwise(points):
        if heavy.speed_m_s > 1.15 * light.speed_m_s:
            raise SpeedProfileError(
                f"{heavy.load_kg:g} kg moved faster ({heavy.speed_m_s:g} m/s) than "
                f"{light.load_kg:g} kg ({light.speed_m_s:g} m/s): check lift, load and order."
            )


def _speed_at_max(sets: Sequence[BarSpeedSet], lift: Lift) -> OwnMinimalSpeed | None:
    published = MINIMAL_SPEED.get(lift.pattern)
    if published is None:
        return None
    heaviest = max(sets, key=lambda item: item.load.ticks, default=None)
    if heaviest is not None and len(heaviest.speeds_m_s) == 1:
        own = heaviest.speeds_m_s[0]
        if own <= published.mean_m_s + 2 * published.sd_m_s:
            return OwnMinimalSpeed(own, f"own slowest single, {heaviest.load} on {heaviest.on}")
    return OwnMinimalSpeed(
        published.mean_m_s,
        f"published {published.mean_m_s:g} ± {published.sd_m_s:g} m/s (Helms et al. 2017)",
    )


def slowness(sets: Sequence[BarSpeedSet]) -> Slowness | None:
    """The latest day against the athlete's own habit at about the same load; None if unremarkable.

    At least three earlier days within 2.5 % of the load are needed; flagged from 10 % slower
    (common practice, no source).
    """
    latest_day = max((item.on for item in sets), default=None)
    found = [_drop(item, sets) for item in sets if item.on == latest_day]
    told = [item for item in found if item is not None]
    return max(told, key=lambda item: item.drop_ratio, default=None)


def _drop(latest: BarSpeedSet, sets: Sequence[BarSpeedSet]) -> Slowness | None:
    kg = latest.load.in_kg
    usual: dict[date, float] = {}
    for item in sets:
        if item.on < latest.on and abs(item.load.in_kg - kg) <= SAME_LOAD_RATIO * kg:
            usual[item.on] = max(usual.get(item.on, 0.0), item.best.speed_m_s)
    drop = speed_drop_ratio(latest.best.speed_m_s, tuple(usual.values()))
    if drop is None or drop < FATIGUE_DROP_RATIO:
        return None
    words = (
        f"{latest.load} moved at {latest.best.speed_m_s:.2f} m/s on {latest.on}: {100 * drop:.0f} "
        f"% slower than the habit of {len(usual)} days at that load. It can mean fatigue or "
        "another set-up: ask; it says nothing about what will happen."
    )
    return Slowness(latest, drop, words)


def is_for_planning(lift: Lift) -> bool:
    """Whether a speed-based max may stand beside others at all: never for deadlifts."""
    return lift.pattern is not Pattern.DEADLIFT
