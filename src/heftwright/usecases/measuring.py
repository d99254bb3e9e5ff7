"""Measuring bands: readings judged before they are kept, the curve with its ±, inspection."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from statistics import fmean

from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance import BandCurve, fit_band, left_out
from heftwright.domain.resistance.limits import band_stops
from heftwright.domain.stock import Band, BandReading, ReadingDirection, RigKind
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.stock import RecordKind, change_item, get_item, get_stock

MOST_READINGS = 6
DOUBT_SDS = 4.0
HARDEST_LOOP = Mass.kg(200)  # as the spreadsheet door takes: common practice, no source
MOST_GAIN_KG = 1.0  # two readings of a scale differ so by chance: common practice, no source


class ReadingsRefusedError(Refusal):
    """Readings that must not be kept as they are."""


class InspectionRefusedError(Refusal):
    """A look at a band that changes nothing for it."""


@dataclass(frozen=True, slots=True)
class RowFault:
    """What is wrong with one row of readings."""

    row: int
    why: str


@dataclass(frozen=True, slots=True)
class Session:
    """The readings of one day, rig and side.

    Parameters
    ----------
    readings : tuple of BandReading
        At least one.
    drift_ratio : float or None
        Force of today's curve over what was read then; None for the newest session.
    """

    readings: tuple[BandReading, ...]
    drift_ratio: float | None


@dataclass(frozen=True, slots=True)
class BandSheet:
    """What is known about one band in one rig.

    Parameters
    ----------
    band : Band
        With the readings it was worked out from, kept or not.
    rig : RigKind
        How it is fixed.
    curve : BandCurve or None
        Of the plain loop; None where there is none, and then ``why_none`` says why.
    why_none : str
        The sentence.
    stops : tuple of str
        Why it must not be used today: retired, overdue.
    sessions : tuple of Session
        Newest first.
    """

    band: Band
    rig: RigKind
    curve: BandCurve | None
    why_none: str
    stops: tuple[str, ...]
    sessions: tuple[Session, ...]

    @property
    def folds(self) -> int:
        """Loop lengths per peg-to-bar length."""
        return _folds(self.rig)


@dataclass(frozen=True, slots=True)
class Tried:
    """What readings that are not kept yet would make of a band.

    Parameters
    ----------
    sheet : BandSheet
        With those that are sound; as it stands where they make no curve.
    faults : tuple of RowFault
        Why rows must not be kept.
    doubts : tuple of RowFault
        Rows that do not fit the others: to be read again.
    problem : str
        What is wrong with all of them together.
    """

    sheet: BandSheet
    faults: tuple[RowFault, ...] = ()
    doubts: tuple[RowFault, ...] = ()
    problem: str = ""

    @property
    def is_sound(self) -> bool:
        """Whether they may be kept."""
        return not self.faults and not self.problem


def usual_rig(band: Band) -> RigKind:
    """The rig a band was read in most; choked where it was never read."""
    kinds = [reading.rig for reading in band.readings]
    return max(RigKind, key=kinds.count) if kinds else RigKind.CHOKED


def get_band(*, gym: GymKey, key: str) -> Band:
    """One band of the stock.

    Raises
    ------
    NotFoundError
        If there is no such band.
    """
    found = get_item(gym=gym, kind=RecordKind.BAND, key=key)
    assert isinstance(found, Band)
    return found


def band_sheet(*, gym: GymKey, key: str, rig: RigKind | None = None) -> BandSheet:
    """What is known about a band.

    Raises
    ------
    NotFoundError
        If there is no such band.
    """
    band = get_band(gym=gym, key=key)
    return _sheet(band, rig or usual_rig(band), clock.today(gym))


def try_readings(*, gym: GymKey, key: str, rig: RigKind, readings: Sequence[BandReading]) -> Tried:
    """What a band would be with more readings; nothing is kept.

    Raises
    ------
    NotFoundError
        If there is no such band.
    """
    band = get_band(gym=gym, key=key)
    return _tried(band, rig, readings, clock.today(gym))


def keep_readings(
    *, gym: GymKey, by: Actor, key: str, readings: Sequence[BandReading], was_seen: str | None
) -> None:
    """Keep a session of readings, all or none.

    Raises
    ------
    ReadingsRefusedError
        If there are none, or one contradicts another, the rest length or the safe length.
    NotFoundError, ChangedMeanwhileError
        As for every change of the stock.
    """
    band = get_band(gym=gym, key=key)
    if not readings:
        raise ReadingsRefusedError("No reading yet: enter a length and what the scale shows.")
    tried = _tried(band, readings[0].rig, readings, clock.today(gym))
    if not tried.is_sound:
        whys = [fault.why for fault in tried.faults] or [tried.problem]
        raise ReadingsRefusedError("Nothing was kept. " + " ".join(whys))
    change_item(gym=gym, by=by, item=_with(band, readings), was_seen=was_seen)


def note_inspection(*, gym: GymKey, by: Actor, key: str, is_sound: bool) -> None:
    """Note today's look at a band: sound until the next one, or retired from today.

    Raises
    ------
    InspectionRefusedError
        If it is retired: no look makes it sound again.
    NotFoundError
        If there is no such band.
    """
    band = get_band(gym=gym, key=key)
    today = clock.today(gym)
    if is_sound and band.retire_on is not None and band.retire_on <= today:
        raise InspectionRefusedError(
            f"{band.name} is retired since {band.retire_on}, and no look makes it sound again. If "
            "that day is a slip of the pen, put it right on the band's record."
        )
    seen = replace(band, inspected_on=today)
    change_item(gym=gym, by=by, item=seen if is_sound else replace(seen, retire_on=today))


def left_out_bands(*, gym: GymKey) -> tuple[str, ...]:
    """Why bands are not offered, a sentence each."""
    return left_out(get_stock(gym=gym), clock.today(gym))


def _folds(rig: RigKind) -> int:
    return 2 if rig == RigKind.DOUBLED else 1


def _sheet(band: Band, rig: RigKind, today: date) -> BandSheet:
    try:
        curve, why_none = fit_band(band, rig=rig), ""
    except Refusal as refusal:
        curve, why_none = None, str(refusal)
    return BandSheet(band, rig, curve, why_none, band_stops(band, today), _sessions(band, curve))


def _sessions(band: Band, curve: BandCurve | None) -> tuple[Session, ...]:
    drifts: dict[date, list[float]] = {}
    for drift in curve.drifts if curve else ():
        drifts.setdefault(drift.read_on, []).append(drift.ratio)
    groups: dict[tuple[date, str, str], list[BandReading]] = {}
    for reading in band.readings:
        key = (reading.taken_on, reading.rig.value, reading.side.value)
        groups.setdefault(key, []).append(reading)
    return tuple(
        Session(
            tuple(sorted(group, key=lambda reading: reading.length)),
            fmean(drifts[key[0]]) if key[0] in drifts else None,
        )
        for key, group in sorted(groups.items(), reverse=True)
    )


def _tried(band: Band, rig: RigKind, readings: Sequence[BandReading], today: date) -> Tried:
    kept = _sheet(band, rig, today)
    if not readings:
        return Tried(kept)
    faults = tuple(_faults(band, readings))
    if faults:
        bad = {fault.row for fault in faults}
        sound = [reading for row, reading in enumerate(readings) if row not in bad]
        return Tried(_sheet_with(band, rig, sound, today) or kept, faults)
    sheet = _sheet(_with(band, readings), rig, today)
    if sheet.curve is None:
        return Tried(kept, problem=sheet.why_none)
    return Tried(sheet, doubts=tuple(_doubts(band, readings)))


def _sheet_with(
    band: Band, rig: RigKind, readings: Sequence[BandReading], today: date
) -> BandSheet | None:
    """With the readings that are sound; None where those make no curve."""
    sheet = _sheet(_with(band, readings), rig, today)
    return sheet if readings and sheet.curve is not None else None


def _with(band: Band, readings: Sequence[BandReading]) -> Band:
    return replace(band, readings=(*band.readings, *readings))


def _faults(band: Band, readings: Sequence[BandReading]) -> list[RowFault]:
    faults = [
        RowFault(row, why)
        for row, reading in enumerate(readings)
        for why in _why_not(band, reading, (*band.readings, *readings[:row]))
    ]
    return faults or _falling(band, readings)


def _why_not(band: Band, reading: BandReading, before: Sequence[BandReading]) -> tuple[str, ...]:
    loop = _folds(reading.rig) * reading.length
    if loop > band.longest_safe:
        return (
            (
                f"{reading.length} stretches the loop to {loop}, past its longest safe length of "
                f"{band.longest_safe}: never go there."
            ),
        )
    if loop <= band.rest_length and reading.force:
        return (
            (
                f"{reading.length} is no longer than the band hanging loose ({band.rest_length} "
                "laid flat), and it pulls: measure both again."
            ),
        )
    if reading.force > _folds(reading.rig) * HARDEST_LOOP:
        return (
            (
                f"{reading.force} is more than any band pulls "
                f"({_folds(reading.rig) * HARDEST_LOOP} rigged like that): look at the unit."
            ),
        )
    if not reading.force:
        return (f"At {reading.length} the scale shows nothing: start where the band pulls.",)
    if any(_is_same_place(reading, other) for other in before):
        return (f"{reading.length} was read that way today: one reading a length is enough.",)
    return ()


def _is_same_place(one: BandReading, other: BandReading) -> bool:
    return replace(one, force=other.force) == other


def _falling(band: Band, readings: Sequence[BandReading]) -> list[RowFault]:
    """Rows that pull less than a shorter length; the later of the two is blamed."""
    rows = [*((None, reading) for reading in band.readings), *enumerate(readings)]
    faults = []
    for way in {(r.direction, r.side, r.rig, r.taken_on) for r in readings}:
        series = sorted(
            (row for row in rows if _way_of(row[1]) == way),
            key=lambda row: (row[1].length, row[1].force),
        )
        for (shorter_row, shorter), (longer_row, longer) in pairwise(series):
            if longer.force < shorter.force:
                blamed = shorter_row if longer_row is None else longer_row
                assert blamed is not None  # what is kept was judged when it was kept
                faults.append(RowFault(blamed, _falls(shorter, longer)))
    return faults


def _way_of(reading: BandReading) -> tuple[object, ...]:
    return (reading.direction, reading.side, reading.rig, reading.taken_on)


def _falls(shorter: BandReading, longer: BandReading) -> str:
    return (
        f"{longer.force} at {longer.length} is less than {shorter.force} at {shorter.length}. A "
        "band never pulls less when it is longer: read both again."
    )


def _doubts(band: Band, readings: Sequence[BandReading]) -> list[RowFault]:
    """Rows far from the curve through all the others, where those make a curve."""
    doubts = _swapped(readings)
    for row, reading in enumerate(readings):
        others = [other for other in readings if other.length != reading.length]
        if len({other.length for other in others}) < 2:
            continue
        try:
            curve = fit_band(replace(band, readings=tuple(others)), rig=reading.rig)
        except Refusal:
            continue  # the others alone are no curve, so they say nothing against this one
        folds = _folds(reading.rig)
        loop_m = folds * reading.length.in_m
        expected, sd = (folds * float(f(loop_m)) for f in (curve.force_kg, curve.sd_kg))
        if abs(reading.force.in_kg - expected) > DOUBT_SDS * sd:
            doubts.append(RowFault(row, _apart(reading, expected)))
    return doubts


def _swapped(readings: Sequence[BandReading]) -> list[RowFault]:
    """Rows that pull more coming back than stretching: the two figures are swapped, or misread."""
    ups = {_place(r): r.force for r in readings if r.direction is ReadingDirection.UP}
    return [
        RowFault(row, f"Coming back it pulled {reading.force}, more than the {up} when stretching: "
                 "a band never does. Are the two swapped?")
        for row, reading in enumerate(readings)
        if reading.direction is ReadingDirection.DOWN
        and (up := ups.get(_place(reading))) is not None
        and (reading.force - up).in_kg > MOST_GAIN_KG
    ]  # fmt: skip


def _place(reading: BandReading) -> tuple[object, ...]:
    return (reading.length, reading.side, reading.rig, reading.taken_on)


def _apart(reading: BandReading, expected_kg: float) -> str:
    return (
        f"The other readings make about {Mass.nearest_kg(expected_kg, '0.1')} at "
        f"{reading.length}, not {reading.force}: read it again, or look at the unit."
    )
