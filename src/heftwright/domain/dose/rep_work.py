"""Rep work after the main lift: a circuit of stations against weak points and exposures."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from importlib import resources
from typing import Any

from heftwright.domain.catalogue import KitKey, Region, WeakPoint
from heftwright.domain.refusal import Refusal

_REPEAT_PART = 0.35
_BASE_WORTH = 0.15


class CircuitError(Refusal):
    """A circuit that nobody can run in this class."""


class DoseMeasure(StrEnum):
    """What a station's dose is counted in, in the words of the sheet."""

    REPS = "reps"
    REPS_A_LEG = "reps a leg"
    SECONDS = "s"
    METRES = "m"


@dataclass(frozen=True, slots=True)
class Station:
    """One station (common practice, editable).

    Parameters
    ----------
    key, name : str
        Steady key and what a coach calls it.
    trains : tuple of str
        Body parts or qualities.
    weak_points : Mapping
        Weak point -> how well it trains it, 0–1.
    exposure : Mapping
        Region -> exposure of one visit, 0–1.
    kit : tuple of KitKey
        What one lifter at the station needs.
    dose : (int, int)
        Least and most in an interval, counted in ``measure``.
    measure : DoseMeasure
        Repetitions, repetitions a leg, seconds of a hold [s], metres of a carry [m].
    """

    key: str
    name: str
    trains: tuple[str, ...]
    weak_points: Mapping[WeakPoint, float]
    exposure: Mapping[Region, float]
    kit: tuple[KitKey, ...]
    dose: tuple[int, int]
    measure: DoseMeasure = DoseMeasure.REPS

    def dose_words(self, work_s: int) -> str:
        """What is asked in an interval of ``work_s``: "12–20 reps", "20–40 s", "20–40 m".

        A hold never lasts longer than its interval.
        """
        low, high = self.dose
        if self.measure is DoseMeasure.SECONDS:
            high = min(high, work_s)
            return f"{high} s" if low >= high else f"{low}–{high} s"
        return f"{low}–{high} {self.measure}"

    def capacity(self, stock: Mapping[KitKey, int], floor_limit: int) -> int:
        """How many lifters can stand at it at once; without kit, the floor's own limit."""
        return min([floor_limit, *(stock.get(kit, 0) for kit in self.kit)])


@dataclass(frozen=True, slots=True)
class CircuitWish:
    """What the class wants of its circuit.

    Parameters
    ----------
    lifters : int
        In the class, ≥ 1.
    minutes : float
        For the circuit [min], > 0.
    weak_points : Mapping
        The squad's weak points, ≥ 0.
    exposure_left : Mapping
        Region -> what the week's budget has left; a region not named is free.
    stock : Mapping
        Kit -> units free now.
    work_s, rest_s : int
        Interval and change-over [s]: 40 and 20 by default (common practice).
    stations : int
        How many at most, 2–8.
    """

    lifters: int
    minutes: float
    weak_points: Mapping[WeakPoint, float]
    exposure_left: Mapping[Region, float] = field(default_factory=dict)
    stock: Mapping[KitKey, int] = field(default_factory=dict)
    work_s: int = 40
    rest_s: int = 20
    stations: int = 5

    def __post_init__(self) -> None:
        if self.lifters < 1 or self.minutes <= 0 or not 2 <= self.stations <= 8:
            raise CircuitError(
                f"{self.lifters} lifters, {self.minutes:g} min, {self.stations} stations: at least "
                "one lifter, some minutes and 2–8 stations are needed."
            )
        if not (10 <= self.work_s <= 120 and 0 <= self.rest_s <= 120):
            raise CircuitError(
                f"Intervals of {self.work_s} s work and {self.rest_s} s change-over: work must be "
                "10–120 s, change-over 0–120 s."
            )


@dataclass(frozen=True, slots=True)
class Circuit:
    """Stations in order, each for an interval, over some rounds.

    Parameters
    ----------
    stations : tuple of Station
        Neighbours train different parts.
    rounds : int
        ≥ 1.
    work_s, rest_s : int
        Interval and change-over [s].
    group_size : int
        Lifters at a station at once.
    """

    stations: tuple[Station, ...]
    rounds: int
    work_s: int
    rest_s: int
    group_size: int

    @property
    def minutes(self) -> float:
        """From first interval to last change-over [min]."""
        return self.rounds * len(self.stations) * (self.work_s + self.rest_s) / 60

    def exposure(self, region: Region) -> float:
        """Of one lifter over all rounds."""
        return self.rounds * sum(station.exposure.get(region, 0.0) for station in self.stations)

    @property
    def words(self) -> tuple[str, ...]:
        """A line a station, as the class sheet shows it."""
        head = f"{self.rounds} rounds, {self.work_s} s work, {self.rest_s} s change-over"
        lines = [
            f"{number}. {station.name}, {station.dose_words(self.work_s)}"
            for number, station in enumerate(self.stations, 1)
        ]
        return (head, *lines)


def build_circuit(wish: CircuitWish, stations: Sequence[Station] | None = None) -> Circuit:
    """Choose stations one by one: most worth for the weak points, parts not repeated.

    A station is open if its kit is there for its share of the class and its exposure fits what
    the week has left for one round. Rounds follow from the minutes and the exposures.

    Raises
    ------
    CircuitError
        If fewer than two stations are open or no round fits the time.
    """
    offered = load_stations() if stations is None else stations
    chosen = _choose(wish, offered)
    if len(chosen) < 2:
        raise CircuitError(
            "Fewer than two stations fit the kit and what the week's exposure has left: free some "
            "kit, or do rep work without stations."
        )
    rounds = _rounds(wish, chosen)
    if rounds < 1:
        need = len(chosen) * (wish.work_s + wish.rest_s) / 60
        raise CircuitError(f"One round takes {need:g} min, the class has {wish.minutes:g}.")
    group = -(-wish.lifters // len(chosen))
    return Circuit(_spread_out(chosen), rounds, wish.work_s, wish.rest_s, group)


def _choose(wish: CircuitWish, offered: Sequence[Station]) -> list[Station]:
    count = min(wish.stations, int(wish.minutes * 60 // (wish.work_s + wish.rest_s)))
    while count >= 2:
        chosen = _choose_exactly(count, wish, offered)
        if len(chosen) == count:
            return chosen
        count -= 1
    return _choose_exactly(count, wish, offered)


def _choose_exactly(count: int, wish: CircuitWish, offered: Sequence[Station]) -> list[Station]:
    group = -(-wish.lifters // max(count, 1))
    left = dict(wish.exposure_left)
    stock = dict(wish.stock)
    chosen: list[Station] = []
    for _ in range(count):
        fitting = [
            station
            for station in offered
            if station not in chosen
            and station.capacity(stock, group) >= group
            and all(left.get(region, 99.0) >= part for region, part in station.exposure.items())
        ]
        if not fitting:
            break
        best = max(fitting, key=lambda station: (_worth(station, wish, chosen), station.key))
        chosen.append(best)
        for region, part in best.exposure.items():
            left[region] = left.get(region, 99.0) - part
        for kit in best.kit:
            stock[kit] -= group
    return chosen


def _worth(station: Station, wish: CircuitWish, chosen: Sequence[Station]) -> float:
    """Worth for the weak points; less for every chosen station that trains the same part."""
    direct = sum(
        wish.weak_points.get(weak, 0.0) * part for weak, part in station.weak_points.items()
    )
    alike = sum(bool(set(station.trains) & set(other.trains)) for other in chosen)
    return (_BASE_WORTH + direct) * _REPEAT_PART**alike


def _rounds(wish: CircuitWish, chosen: Sequence[Station]) -> int:
    by_time = int(wish.minutes * 60 // (len(chosen) * (wish.work_s + wish.rest_s)))
    rounds = [by_time]
    for region, left in wish.exposure_left.items():
        part = sum(station.exposure.get(region, 0.0) for station in chosen)
        if part > 0:
            rounds.append(int(left / part + 1e-9))
    return min(rounds)


def _spread_out(chosen: Sequence[Station]) -> tuple[Station, ...]:
    """Order them so that neighbours share no trained part where that is possible."""
    left = list(chosen)
    ordered = [left.pop(0)]
    while left:
        last = set(ordered[-1].trains)
        index = next((i for i, item in enumerate(left) if not last & set(item.trains)), 0)
        ordered.append(left.pop(index))
    return tuple(ordered)


@cache
def load_stations() -> tuple[Station, ...]:
    """The stations that ship with Heftwright (common practice)."""
    text = resources.files(__package__).joinpath("rep_work.json").read_text(encoding="utf-8")
    return tuple(_read_station(record) for record in json.loads(text)["stations"])


def _read_station(record: Mapping[str, Any]) -> Station:
    return Station(
        record["key"],
        record["name"],
        tuple(record["trains"]),
        {WeakPoint(k): v for k, v in record["weak_points"].items()},
        {Region(k): v for k, v in record["exposure"].items()},
        tuple(KitKey(kit) for kit in record["kit"]),
        (record["dose"][0], record["dose"][1]),
        DoseMeasure(record.get("measure", "reps")),
    )
