"""From the readings on record to the points a band's curve is fitted to.

Everything is turned into the frame of the plain loop: a doubled band at distance d is the loop at
2d with half the force. Readings that contradict each other are refused with a sentence, never
smoothed over.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from heftwright.domain.height import Length
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import Band, BandReading, ReadingDirection, RigKind, Side

SESSION_DAYS = 14
SAME_LENGTH_M = 0.005
SLACK_LIMIT_RATIO = 1.05
LEAST_STRAIN = 0.05


class BandReadingError(Refusal):
    """A reading that cannot be true, or that contradicts another of the same day."""


class UncalibratedBandError(Refusal):
    """A band with neither a reading nor a label to guess from."""


@dataclass(frozen=True, slots=True)
class LoopPoint:
    """Force of one loop at a length, averaged over the readings taken there.

    Parameters
    ----------
    length_m : float
        Path length of the loop [m].
    force_kg : float
        Mean of what was read going up and coming down [kg], > 0.
    half_gap_kg : float
        Half the difference between up and down, the band's own hysteresis [kg], ≥ 0.
    """

    length_m: float
    force_kg: float
    half_gap_kg: float = 0.0


@dataclass(frozen=True, slots=True)
class Calibration:
    """The newest readings of one band as it is rigged, and the older ones for drift.

    Parameters
    ----------
    left, right : tuple of LoopPoint
        By rising length; the same tuple where the sides were not told apart.
    is_sided : bool
        Whether left and right were read separately.
    is_own_rig : bool
        Whether the readings were taken in the rig asked for.
    older : tuple of (date, LoopPoint)
        Readings of earlier sessions.
    newest_on : date or None
        Day of the last reading; None without any.
    notes : tuple of str
        What a coach should know about them.
    """

    left: tuple[LoopPoint, ...]
    right: tuple[LoopPoint, ...]
    is_sided: bool
    is_own_rig: bool
    older: tuple[tuple[date, LoopPoint], ...]
    newest_on: date | None
    notes: tuple[str, ...]


def calibrate(band: Band, rig: RigKind | None = None) -> Calibration:
    """Newest session of readings in ``rig``, or of the rig read most where that has none.

    Raises
    ------
    BandReadingError
        If the force falls with length, or a reading pulls below rest or is not above 0.
    """
    chosen, is_own_rig = _in_rig(band.readings, rig)
    for reading in chosen:
        _check(band, reading)
    pulling = [reading for reading in chosen if reading.force.ticks > 0]
    newest_on = max((reading.taken_on for reading in pulling), default=None)
    first_day = newest_on - timedelta(days=SESSION_DAYS) if newest_on else None
    now = [r for r in pulling if first_day and r.taken_on >= first_day]
    older = [r for r in pulling if first_day and r.taken_on < first_day]
    _check_stretched(band, now)
    for side in Side:
        _check_rising(band, [reading for reading in now if reading.side == side])
    left, right, is_sided, notes = _by_side(band, now)
    if not is_own_rig and rig:
        way = rig.value.replace("_", " ")
        notes += (
            (f"Band “{band.name}” was read in another rig than {way}: calibrate it as it is used."),
        )
    return Calibration(
        left=left,
        right=right,
        is_sided=is_sided,
        is_own_rig=is_own_rig,
        older=tuple((r.taken_on, _loop_point(r)) for r in older),
        newest_on=newest_on,
        notes=notes,
    )


def _in_rig(readings: Sequence[BandReading], rig: RigKind | None) -> tuple[list[BandReading], bool]:
    own = [reading for reading in readings if reading.rig == rig]
    if own or not readings:
        return own, True
    kinds = [reading.rig for reading in readings]
    most = max(RigKind, key=kinds.count)
    return [reading for reading in readings if reading.rig == most], rig is None


def _loop_point(reading: BandReading) -> LoopPoint:
    length_m, force_kg = reading.length.in_m, reading.force.in_kg
    if reading.rig == RigKind.DOUBLED:
        return LoopPoint(2 * length_m, force_kg / 2)
    return LoopPoint(length_m, force_kg)


def _check(band: Band, reading: BandReading) -> None:
    point, rest_m = _loop_point(reading), band.rest_length.in_m
    if point.force_kg < 0:
        raise BandReadingError(f"Band “{band.name}”: {_at(reading)} is below 0: read it again.")
    if point.force_kg == 0 and point.length_m > SLACK_LIMIT_RATIO * rest_m:
        raise BandReadingError(
            f"Band “{band.name}”: {_at(reading)} pulls nothing beyond its rest length of "
            f"{band.rest_length}: measure the rest length again."
        )
    if point.force_kg > 0 and point.length_m <= rest_m:
        raise BandReadingError(
            f"Band “{band.name}”: {_at(reading)} pulls although that is not longer than its rest "
            f"length of {band.rest_length}: measure both again."
        )


def _check_stretched(band: Band, readings: Sequence[BandReading]) -> None:
    """Readings that hardly stretch the band say nothing about where it is used."""
    longest_m = max((_loop_point(r).length_m for r in readings), default=None)
    if longest_m is not None and longest_m < (1 + LEAST_STRAIN) * band.rest_length.in_m:
        raise BandReadingError(
            f"Band “{band.name}”: it was read at no more than {Length.nearest_m(longest_m)}, "
            f"hardly longer than its rest length of {band.rest_length}: read it where it is used."
        )


def _at(reading: BandReading) -> str:
    return f"the reading of {reading.force} at {reading.length} on {reading.taken_on}"


def _check_rising(band: Band, readings: Sequence[BandReading]) -> None:
    """Within one side, direction and day a longer band must not read less."""
    for key in sorted({(r.taken_on, r.direction) for r in readings}):
        series = [r for r in readings if (r.taken_on, r.direction) == key]
        series.sort(key=lambda reading: (reading.length, reading.force))
        for shorter, longer in pairwise(series):
            if longer.force < shorter.force:
                raise BandReadingError(
                    f"Band “{band.name}”: {_at(longer)} is less than {shorter.force} at "
                    f"{shorter.length}. A band never pulls less when it is longer: read it again."
                )


def _by_side(
    band: Band, readings: Sequence[BandReading]
) -> tuple[tuple[LoopPoint, ...], tuple[LoopPoint, ...], bool, tuple[str, ...]]:
    left = [r for r in readings if r.side in (Side.LEFT, Side.BOTH)]
    right = [r for r in readings if r.side in (Side.RIGHT, Side.BOTH)]
    sides = {r.side for r in readings}
    if {Side.LEFT, Side.RIGHT} <= sides:
        return _merged(left), _merged(right), True, ()
    merged = _merged(readings)
    lone = sides & {Side.LEFT, Side.RIGHT}
    notes = tuple(
        f"Band “{band.name}”: only the {side} one was read; read the other one too."
        for side in lone
    )
    return merged, merged, False, notes


def _merged(readings: Iterable[BandReading]) -> tuple[LoopPoint, ...]:
    """Average what was read at one length: up and down weigh the same, however many of each."""
    rows = sorted(((_loop_point(r), r.direction) for r in readings), key=lambda x: x[0].length_m)
    groups: list[list[tuple[LoopPoint, ReadingDirection]]] = []
    for row in rows:
        if groups and row[0].length_m - groups[-1][0][0].length_m <= SAME_LENGTH_M:
            groups[-1].append(row)
        else:
            groups.append([row])
    return tuple(_average(group) for group in groups)


def _average(group: Sequence[tuple[LoopPoint, ReadingDirection]]) -> LoopPoint:
    means = {
        way: _mean([point.force_kg for point, its_way in group if its_way == way])
        for way in {way for _, way in group}
    }
    up, down = means.get(ReadingDirection.UP), means.get(ReadingDirection.DOWN)
    half_gap_kg = abs(up - down) / 2 if up is not None and down is not None else 0.0
    length_m = _mean([point.length_m for point, _ in group])
    return LoopPoint(length_m, _mean(sorted(means.values())), half_gap_kg)


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
