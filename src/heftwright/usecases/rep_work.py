"""The circuit after the main work, built for a class: stations, intervals, kit, what it loads."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from heftwright.domain.catalogue import Region, WeakPoint
from heftwright.domain.dose.rep_work import Circuit, CircuitWish, Station, build_circuit
from heftwright.domain.squad import Athlete, AthleteId, ClassTime
from heftwright.usecases.actor import GymKey
from heftwright.usecases.squad import get_squad
from heftwright.usecases.stock import get_stock
from heftwright.usecases.timetable import get_timetable

WEEK_BUDGET = 15.0
"""What one lifter's rep work may load a region in a week (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class StationCall:
    """When a station starts in a round, mm:ss from the first interval."""

    station: Station
    starts_at_s: int
    ends_at_s: int

    @property
    def dose_words(self) -> str:
        """What is asked in the interval."""
        return self.station.dose_words(self.ends_at_s - self.starts_at_s)


@dataclass(frozen=True, slots=True)
class CircuitView:
    """A circuit as it would run.

    Parameters
    ----------
    circuit : Circuit
        Stations, rounds, intervals.
    calls : tuple of StationCall
        The first round on a clock.
    lifters : int
        For how many.
    weak_words : tuple of (str, float)
        What the class trains to mend, most first.
    exposures : tuple of (Region, float)
        What one lifter gets over all rounds, most first.
    """

    circuit: Circuit
    calls: tuple[StationCall, ...]
    lifters: int
    weak_words: tuple[tuple[str, float], ...]
    exposures: tuple[tuple[Region, float], ...]


@dataclass(frozen=True, slots=True)
class CircuitOrder:
    """What the coach asks for.

    Parameters
    ----------
    class_key : str
        Whose members; empty: the whole squad.
    minutes : float
        For the circuit [min].
    work_s, rest_s : int
        Interval and change-over [s].
    stations : int
        At most so many, 2–8.
    spare : frozenset of Region
        Regions to spare tonight: no station that loads them.
    """

    class_key: str = ""
    minutes: float = 20.0
    work_s: int = 40
    rest_s: int = 20
    stations: int = 5
    spare: frozenset[Region] = frozenset()


def get_circuit(*, gym: GymKey, order: CircuitOrder) -> CircuitView:
    """A circuit for a class with the kit that the gym owns.

    Raises
    ------
    CircuitError
        If no circuit fits the kit, the minutes or what is spared.
    """
    people = _people(gym, order.class_key)
    weak = _weak_points(people)
    wish = CircuitWish(
        lifters=max(1, len(people)), minutes=order.minutes, weak_points=weak,
        exposure_left={
            region: 0.0 if region in order.spare else WEEK_BUDGET for region in Region
        },
        stock=get_stock(gym=gym).kit_units(), work_s=order.work_s, rest_s=order.rest_s,
        stations=order.stations,
    )  # fmt: skip
    circuit = build_circuit(wish)
    loads = [(region, circuit.exposure(region)) for region in Region]
    shown = tuple(sorted((pair for pair in loads if pair[1] > 0), key=lambda pair: -pair[1]))
    words = tuple((point.shown, weight) for point, weight in Counter(weak).most_common(4))
    return CircuitView(circuit, _calls(circuit), wish.lifters, words, shown)


def class_choices(*, gym: GymKey) -> tuple[ClassTime, ...]:
    """The classes to build for."""
    return get_timetable(gym=gym).classes


def _people(gym: GymKey, class_key: str) -> Sequence[Athlete]:
    squad = get_squad(gym=gym)
    members: Mapping[str, tuple[AthleteId, ...]] = {
        item.key: item.members for item in get_timetable(gym=gym).classes
    }
    if class_key not in members:
        return squad
    return [athlete for athlete in squad if athlete.id in members[class_key]]


def _weak_points(people: Sequence[Athlete]) -> dict[WeakPoint, float]:
    found: dict[WeakPoint, float] = {}
    for athlete in people:
        for point, weight in athlete.weak_points.items():
            found[point] = found.get(point, 0.0) + weight
    return found


def _calls(circuit: Circuit) -> tuple[StationCall, ...]:
    each = circuit.work_s + circuit.rest_s
    return tuple(
        StationCall(station, at * each, at * each + circuit.work_s)
        for at, station in enumerate(circuit.stations)
    )
