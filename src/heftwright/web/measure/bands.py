"""A band's page: guided readings with the curve they make, older calibrations, inspection."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import ClassVar

from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode

from heftwright.domain.height import Length
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance.bands import FAR_STRAIN_RATIO, BandCurve, BandModel
from heftwright.domain.resistance.calibration import SESSION_DAYS, calibrate
from heftwright.domain.sheet.class_sheet import BAND_CAUTION
from heftwright.domain.stock import Band, BandReading, ReadingDirection, RigKind, Side
from heftwright.pictures.band_curve import (
    Age,
    BandChart,
    ReadingDot,
    Way,
    band_chart,
    band_curve_table,
)
from heftwright.pictures.table import ChartTable
from heftwright.usecases import clock, measuring
from heftwright.usecases.changes import seen
from heftwright.usecases.measuring import BandSheet, Session, Tried
from heftwright.usecases.permissions import Right, can
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.http.refusals import status_of
from heftwright.web.measure.readings import (
    LENGTH_UNITS,
    METHODS,
    RIGS,
    SIDES,
    Sheet,
    read_sheet,
)
from heftwright.web.render.chrome import show_desk

WANTED_LENGTHS = 3
_WAY: dict[ReadingDirection, Way] = {
    ReadingDirection.UP: "up",
    ReadingDirection.DOWN: "down",
    ReadingDirection.UNSAID: "unsaid",
}
_MODELS = {
    BandModel.GUESS: "a guess by its label",
    BandModel.ONE_READING: "one reading: the shape is assumed",
    BandModel.TWO_READINGS: "two lengths: a power law through both",
    BandModel.RUBBER: "three or more lengths: a rubber curve, which cannot fall",
}


@dataclass(frozen=True, slots=True)
class CurveWords:
    """What the curve says, in figures: at the longest length read, or the safe one for a guess."""

    at: Length
    pull_kg: float
    sd_kg: float
    model: str
    lengths_read: int
    is_enough: bool
    reach: Length
    hysteresis_kg: float


@dataclass(frozen=True, slots=True)
class SessionLine:
    """One older or present calibration."""

    session: Session
    rig: str
    side: str
    drift_pct: float | None


@dataclass(frozen=True, slots=True)
class BandPage:
    """Everything about one band."""

    template: ClassVar[str] = "measure/band.html"
    area: ClassVar[str] = "stock"

    band: Band
    sheet: Sheet
    known: BandSheet
    chart: BandChart | None
    table: ChartTable | None
    words: CurveWords | None
    sessions: tuple[SessionLine, ...]
    good_lengths: tuple[Length, ...]
    longest: Length
    unit: MassUnit
    was_seen: str
    may_edit: bool
    is_retired: bool
    problem: str
    methods: tuple[tuple[str, str], ...] = METHODS
    rigs: tuple[tuple[str, str], ...] = RIGS
    sides: tuple[tuple[str, str], ...] = SIDES
    length_units: tuple[str, ...] = LENGTH_UNITS
    mass_units: tuple[str, ...] = tuple(MassUnit)
    caution: str = BAND_CAUTION


def band_curve(request: GymRequest, key: str) -> HttpResponse:
    """The band as it stands, with whatever is being typed drawn in."""
    return show_desk(request, _page(request, key, request.GET))


def band_calibrate(request: GymRequest, key: str) -> HttpResponse:
    """Keep a session of readings; nothing typed is lost when something is wrong."""
    gym = request.gym.key
    page = _page(request, key, request.POST)
    if page.sheet.half_rows:
        which = " and ".join(str(number) for number in page.sheet.half_rows)
        problem = (
            f"Nothing was kept: reading {which} has a length but no figure of the scale. Enter "
            "it, or empty the length."
        )
        return show_desk(request, replace(page, problem=problem), status=422)
    if not page.sheet.is_readable:
        page = replace(page, problem="Nothing was kept: put right what is marked below.")
        return show_desk(request, page, status=422)
    try:
        measuring.keep_readings(
            gym=gym, by=request.actor, key=key, readings=page.sheet.readings,
            was_seen=request.POST.get("was_seen") or None,
        )  # fmt: skip
    except Refusal as error:
        shown = _page(request, key, request.POST, str(error))
        return show_desk(request, shown, status=status_of(error))
    count = len(page.sheet.readings)
    said = f"{count} reading{'s' * (count > 1)} kept."
    other = _other_side(page)
    next_up = f" Now read the {other.value} one the same way." if other else ""
    say_undoable(request, said + next_up, f"band/{key}")
    way = {"method": page.sheet.method, "rig": page.sheet.rig.value}
    way |= {"side": other.value} if other else {}
    here = reverse("band_curve", kwargs={"gym": gym, "key": key})
    return redirect(f"{here}?{urlencode(way)}")


def _other_side(page: BandPage) -> Side | None:
    """The band of the pair that is still to be read, when the first one was just kept."""
    other = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}.get(page.sheet.side)
    read = {r.side for r in page.band.readings if r.rig == page.sheet.rig}
    return other if other not in read else None


def band_inspected(request: GymRequest, key: str) -> HttpResponse:
    """Note today's look at the band: sound, or retired."""
    gym = request.gym.key
    is_sound = request.POST.get("found") == "sound"
    if request.POST.get("found") not in ("sound", "worn"):
        raise Refusal("Say what was found: sound or worn.")
    measuring.note_inspection(gym=gym, by=request.actor, key=key, is_sound=is_sound)
    said = "Inspected today and sound." if is_sound else "Retired from today: it is not used again."
    say_undoable(request, said, f"band/{key}")
    return redirect("band_curve", gym=gym, key=key)


def _page(request: GymRequest, key: str, typed: Mapping[str, str], problem: str = "") -> BandPage:
    gym = request.gym.key
    band = measuring.get_band(gym=gym, key=key)
    sheet = read_sheet(band, typed, request.gym.unit, clock.today(gym))
    tried = measuring.try_readings(gym=gym, key=key, rig=sheet.rig, readings=sheet.readings)
    sheet = sheet.judged(tried)
    known, dots = tried.sheet, _dots(band, sheet, tried)
    chart = band_chart(known.curve, folds=known.folds, dots=dots) if known.curve else None
    return BandPage(
        band=band,
        sheet=sheet,
        known=known,
        chart=chart,
        table=band_curve_table(chart, unit=request.gym.unit) if chart else None,
        words=_words(known),
        sessions=tuple(_session_line(item) for item in known.sessions if _is_kept(item, band)),
        good_lengths=_good_lengths(band, sheet.rig),
        longest=_as_rigged(band.longest_safe, sheet.rig),
        unit=request.gym.unit,
        was_seen=typed.get("was_seen") or seen(band),
        may_edit=can(request.actor, gym, Right.EDIT_STOCK),
        is_retired=band.retire_on is not None and band.retire_on <= clock.today(gym),
        problem=problem,
    )


def _is_kept(session: Session, band: Band) -> bool:
    return any(reading in band.readings for reading in session.readings)


def _dots(band: Band, sheet: Sheet, tried: Tried) -> tuple[ReadingDot, ...]:
    kept = [reading for reading in band.readings if reading.rig == sheet.rig]
    newest = max((r.taken_on for r in (*kept, *sheet.readings)), default=None)
    old = [newest and newest - r.taken_on > timedelta(days=SESSION_DAYS) for r in kept]
    bad = {fault.row for fault in tried.faults}
    return (
        *(_dot(r, "older" if is_old else "kept") for r, is_old in zip(kept, old, strict=True)),
        *(_dot(r, "wrong" if row in bad else "new") for row, r in enumerate(sheet.readings)),
    )


def _dot(reading: BandReading, age: Age) -> ReadingDot:
    way = _WAY[reading.direction]
    return ReadingDot(reading.length.in_m, reading.force.in_kg, way, age)


def _words(known: BandSheet) -> CurveWords | None:
    curve, folds = known.curve, known.folds
    if curve is None:
        return None
    loop_m = curve.safe_m if curve.is_guess else curve.measured_m[1]
    count = _lengths_read(known, curve)
    return CurveWords(
        at=Length.nearest_m(loop_m / folds),
        pull_kg=folds * float(curve.force_kg(loop_m)),
        sd_kg=folds * float(curve.sd_kg(loop_m)),
        model=_MODELS[curve.model],
        lengths_read=count,
        is_enough=count >= WANTED_LENGTHS,
        reach=_reach(curve, folds),
        hysteresis_kg=folds * curve.hysteresis_kg,
    )


def _lengths_read(known: BandSheet, curve: BandCurve) -> int:
    if curve.is_guess:
        return 0
    found = calibrate(known.band, known.rig)
    return min(len(found.left), len(found.right)) if found.is_sided else len(found.left)


def _reach(curve: BandCurve, folds: int) -> Length:
    """The longest length with a number: safe, and not far beyond what was read."""
    strain = FAR_STRAIN_RATIO * (curve.measured_m[1] / curve.rest_m - 1)
    far_m = curve.safe_m if curve.is_guess else curve.rest_m * (1 + strain)
    return Length.nearest_m(min(curve.safe_m, far_m) / folds)


def _as_rigged(loop: Length, rig: RigKind) -> Length:
    return Length(loop.ticks // 2) if rig == RigKind.DOUBLED else loop


def _good_lengths(band: Band, rig: RigKind) -> tuple[Length, ...]:
    """Three lengths spread over where it may work, to whole centimetres."""
    low = 1.2 * band.rest_length.in_m
    high = min(0.95 * band.longest_safe.in_m, 1.9 * band.rest_length.in_m)
    folds = 2 if rig == RigKind.DOUBLED else 1
    return tuple(
        Length.cm(round(100 * length_m / folds)) for length_m in (low, (low + high) / 2, high)
    )


def _session_line(session: Session) -> SessionLine:
    first = session.readings[0]
    drift = session.drift_ratio
    return SessionLine(
        session=session,
        rig=dict(RIGS)[first.rig],
        side=dict(SIDES)[first.side],
        drift_pct=None if drift is None else 100 * (drift - 1),
    )
