"""What one band pulls at every length, how sure that is, and how far it may be stretched.

Fitted from 0, 1, 2 or more readings; rising by construction. A raw quadratic fitted to band
readings turned downward inside the measured range in 11 of 16 sets, so none is offered.

References
----------
McMaster, Cronin & McGuigan 2010 (bands of one colour differ 8–19 % in tension: calibrate).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from heftwright.domain.resistance.band_laws import BandLaw, FloatArray, PowerLaw, RubberLaw
from heftwright.domain.resistance.calibration import (
    BandReadingError,
    Calibration,
    LoopPoint,
    UncalibratedBandError,
    calibrate,
)
from heftwright.domain.stock import Band, RigKind

__all__ = [
    "BandCurve",
    "BandModel",
    "BandReadingError",
    "Drift",
    "UncalibratedBandError",
    "fit_band",
]

ONE_READING_EXPONENT = 0.66
ONE_READING_EXPONENT_SD = 0.10
EXPONENT_RANGE = (0.40, 1.00)
REST_FACTOR_RANGE = (0.85, 1.05)
REST_FACTOR_PRIOR = (0.97, 0.06)
LENGTH_SD_M = 0.01
OTHER_RIG_SD_M = 0.03  # the choke takes up a few centimetres: common practice, no source
SCALE_SD_KG = 0.25  # a hanging scale read by eye: common practice, no source
FIT_SD_RATIO = 0.025
FAR_STRAIN_RATIO = 1.25
NEAR_STRAIN_RATIO = 0.5
ROUNDING = 1e-9  # exactly at a limit is not past it
WARN_IMBALANCE_RATIO = 0.05
WARN_DRIFT_RATIO = 0.05
WARN_HYSTERESIS_RATIO = 0.025


class BandModel(StrEnum):
    """What a curve rests on."""

    GUESS = "guess"
    ONE_READING = "one_reading"
    TWO_READINGS = "two_readings"
    RUBBER = "rubber"

    @property
    def form_ratio(self) -> float:
        """One standard deviation of the curve's form, as a fraction of the force."""
        return {"guess": 0.25, "one_reading": 0.08, "two_readings": 0.04, "rubber": 0.025}[self]

    @property
    def efold_ratio(self) -> float:
        """More of the same per e-fold of strain outside the data.

        For one reading the spread of n itself (d ln F/dn is the log of the strain ratio).
        """
        return {"guess": 0.0, "one_reading": ONE_READING_EXPONENT_SD}.get(self, 0.06)


@dataclass(frozen=True, slots=True)
class Drift:
    """How the newest calibration compares with an older reading.

    Parameters
    ----------
    read_on : date
        Day of the older reading.
    ratio : float
        Force of today's curve over the force read then, at the same length.
    """

    read_on: date
    ratio: float


@dataclass(frozen=True, slots=True)
class BandCurve:
    """Force of ONE loop band (one side) against its path length.

    Lengths are those of the plain loop; rigs.py turns a doubled band into them.

    Parameters
    ----------
    key, name : str
        Of the band.
    model : BandModel
        What it rests on.
    laws : tuple of BandLaw
        One, or left and right where both were read; the curve is their mean.
    rest_m : float
        Length laid flat [m].
    safe_m : float
        Longest stretched length that must never be passed [m].
    measured_m : (float, float)
        Shortest and longest length read [m]; (0, 0) for a guess.
    form_ratio : float
        One sd of the curve's form, fraction of the force.
    length_sd_m : float
        One sd of lengths [m].
    hysteresis_kg : float
        Largest half difference between up and down readings [kg].
    drifts : tuple of Drift
        Against older readings, oldest first.
    notes : tuple of str
        Sentences for the coach.
    """

    key: str
    name: str
    model: BandModel
    laws: tuple[BandLaw, ...]
    rest_m: float
    safe_m: float
    measured_m: tuple[float, float]
    form_ratio: float
    length_sd_m: float = LENGTH_SD_M
    hysteresis_kg: float = 0.0
    drifts: tuple[Drift, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def is_guess(self) -> bool:
        """Whether nothing was measured: never prescribed without the coach's acceptance."""
        return self.model == BandModel.GUESS

    def force_kg(self, path_m: ArrayLike) -> FloatArray:
        """Force of one loop [kg] at path lengths [m]; 0 below rest, never falling."""
        forces = [law.force_kg(path_m) for law in self.laws]
        return forces[0] if len(forces) == 1 else np.asarray((forces[0] + forces[1]) / 2)

    def integral_kg_m(self, path_m: ArrayLike) -> FloatArray:
        """∫F from rest to path lengths [kg·m], in closed form."""
        parts = [law.integral_kg_m(path_m) for law in self.laws]
        return parts[0] if len(parts) == 1 else np.asarray((parts[0] + parts[1]) / 2)

    def mean_kg(self, lo_m: float, hi_m: float) -> float:
        """Mean force [kg] between two path lengths [m], exact; not (bottom + top)/2."""
        if hi_m == lo_m:
            return float(self.force_kg(lo_m))
        ends = self.integral_kg_m([lo_m, hi_m])
        return float((ends[1] - ends[0]) / (hi_m - lo_m))

    def sd_kg(self, path_m: ArrayLike) -> FloatArray:
        """One standard deviation of the force [kg]: form, distance from the data, scale, 1 cm."""
        path = np.asarray(path_m, dtype=float)
        force = self.force_kg(path)
        ratio = self.form_ratio + self.model.efold_ratio * self._efolds_outside(path)
        step = self.length_sd_m
        by_length = (self.force_kg(path + step) - self.force_kg(path - step)) / 2
        scale = np.minimum(SCALE_SD_KG, force)
        return np.asarray(np.sqrt((ratio * force) ** 2 + scale**2 + by_length**2))

    def is_beyond_data(self, path_m: float) -> bool:
        """Whether the strain is above 1.25 × the largest measured."""
        limit = FAR_STRAIN_RATIO * self._strain(self.measured_m[1])
        return self._strain(path_m) > limit + ROUNDING

    def is_short_of_data(self, path_m: float) -> bool:
        """Whether it is stretched, but by less than 0.5 × the smallest strain measured."""
        strain = self._strain(path_m)
        return 0 < strain < NEAR_STRAIN_RATIO * self._strain(self.measured_m[0])

    def imbalance_ratio(self, path_m: float) -> float:
        """Difference of left and right over their mean; 0 where they were not told apart."""
        mean = float(self.force_kg(path_m))
        if len(self.laws) == 1 or mean == 0:
            return 0.0
        left, right = (float(law.force_kg(path_m)) for law in self.laws)
        return abs(left - right) / mean

    def _strain(self, path_m: float) -> float:
        return path_m / self.rest_m - 1.0

    def _efolds_outside(self, path: FloatArray) -> FloatArray:
        strain = np.maximum(path / self.rest_m - 1.0, 1e-3)
        lo, hi = (max(self._strain(end), 1e-3) for end in self.measured_m)
        return np.asarray(np.log(np.maximum(strain / hi, 1.0) * np.maximum(lo / strain, 1.0)))


@lru_cache(maxsize=1024)
def fit_band(band: Band, *, rig: RigKind | None = None) -> BandCurve:
    """The curve of one band from its newest readings.

    Parameters
    ----------
    band : Band
        As in the stock.
    rig : RigKind or None
        How it will be used: readings in that rig are preferred, others converted with a wider ±.
        None: the rig it was read in most.

    Raises
    ------
    BandReadingError
        If readings contradict each other or the rest length.
    UncalibratedBandError
        If there is neither a reading nor a guess.
    """
    calibration = calibrate(band, rig)
    if not calibration.left:
        return _guess(band)
    sides = (calibration.left, calibration.right) if calibration.is_sided else (calibration.left,)
    fits = [_fit_side(points, band.rest_length.in_m) for points in sides]
    points = [point for side in sides for point in side]
    weakest = max((model for model, _, _ in fits), key=lambda model: model.form_ratio)
    curve = BandCurve(
        key=band.key,
        name=band.name,
        model=weakest,
        laws=tuple(law for _, law, _ in fits),
        rest_m=band.rest_length.in_m,
        safe_m=band.longest_safe.in_m,
        measured_m=(min(p.length_m for p in points), max(p.length_m for p in points)),
        form_ratio=max(weakest.form_ratio, *(scatter for _, _, scatter in fits)),
        length_sd_m=LENGTH_SD_M if calibration.is_own_rig else OTHER_RIG_SD_M,
        hysteresis_kg=max(point.half_gap_kg for point in points),
    )
    return _with_notes(curve, calibration)


def _guess(band: Band) -> BandCurve:
    if band.guess_top_force is None or band.guess_top_force.ticks <= 0:
        raise UncalibratedBandError(
            f"Band “{band.name}” was never read: hang it from a scale at two or three lengths and "
            "enter length and kg."
        )
    rest_m, safe_m = band.rest_length.in_m, band.longest_safe.in_m
    if safe_m <= rest_m:
        raise BandReadingError(
            f"Band “{band.name}”: its longest safe length {band.longest_safe} must be above its "
            f"rest length {band.rest_length}."
        )
    point = LoopPoint(safe_m, band.guess_top_force.in_kg)
    return BandCurve(
        key=band.key,
        name=band.name,
        model=BandModel.GUESS,
        laws=(_power_through(point, rest_m, ONE_READING_EXPONENT),),
        rest_m=rest_m,
        safe_m=safe_m,
        measured_m=(0.0, 0.0),
        form_ratio=BandModel.GUESS.form_ratio,
        notes=(
            (
                f"Band “{band.name}” is a guess of {band.guess_top_force} at "
                f"{band.longest_safe}, ± 25 %: not to be prescribed until the coach accepts it. "
                "Calibrate it."
            ),
        ),
    )


def _power_through(point: LoopPoint, rest_m: float, exponent: float) -> PowerLaw:
    strain = point.length_m / rest_m - 1.0
    return PowerLaw(rest_m, point.force_kg / strain**exponent, exponent)


def _fit_side(points: tuple[LoopPoint, ...], rest_m: float) -> tuple[BandModel, BandLaw, float]:
    """Model, law and relative scatter of the readings around it."""
    if len(points) == 1:
        return BandModel.ONE_READING, _power_through(points[0], rest_m, ONE_READING_EXPONENT), 0.0
    model = BandModel.TWO_READINGS if len(points) == 2 else BandModel.RUBBER
    lengths = np.array([point.length_m for point in points])
    forces = np.array([point.force_kg for point in points])
    sd = _reading_sd(lengths, forces, rest_m)
    fit: Callable[[FloatArray, FloatArray, FloatArray, float], BandLaw]
    fit = _fit_power if len(points) == 2 else _fit_rubber
    law = fit(lengths, forces, sd, rest_m)
    misfit = (law.force_kg(lengths) - forces) / sd
    return model, law, FIT_SD_RATIO * float(np.sqrt(np.mean(misfit**2)))


def _reading_sd(lengths: FloatArray, forces: FloatArray, rest_m: float) -> FloatArray:
    """One sd of a reading [kg]: band, scale, and a centimetre of length, which near rest is all."""
    slope = ONE_READING_EXPONENT * forces / (lengths - rest_m)
    return np.asarray(
        np.sqrt((FIT_SD_RATIO * forces) ** 2 + SCALE_SD_KG**2 + (LENGTH_SD_M * slope) ** 2)
    )


def _fit_power(lengths: FloatArray, forces: FloatArray, sd: FloatArray, rest_m: float) -> PowerLaw:
    """Through both readings; where n would leave its range, K by least squares at its end."""
    strains = lengths / rest_m - 1.0
    slope = float(np.log(forces[1] / forces[0]) / np.log(strains[1] / strains[0]))
    exponent = min(max(slope, EXPONENT_RANGE[0]), EXPONENT_RANGE[1])
    shape = strains**exponent / sd
    stiffness = np.sum(shape * forces / sd) / np.sum(shape**2)
    return PowerLaw(rest_m, float(stiffness), exponent)


def _fit_rubber(
    lengths: FloatArray, forces: FloatArray, sd: FloatArray, rest_m: float
) -> RubberLaw:
    """Non-negative A, B by least squares for each rest factor; the likeliest factor wins."""
    factors = np.linspace(*REST_FACTOR_RANGE, 401)
    stretch = np.maximum(lengths / (factors[:, None] * rest_m), 1.0)
    first = (stretch - stretch**-2) / sd
    second = (1.0 - stretch**-3) / sd
    target = np.broadcast_to(forces / sd, first.shape)
    a, b = _two_non_negative(first, second, target)
    misfit = a[:, None] * first + b[:, None] * second - target
    centre, spread = REST_FACTOR_PRIOR
    cost = np.sum(misfit**2, axis=1) + ((factors - centre) / spread) ** 2
    best = int(np.argmin(cost))
    return RubberLaw(float(factors[best] * rest_m), float(a[best]), float(b[best]))


def _two_non_negative(
    first: FloatArray, second: FloatArray, target: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Least squares in two unknowns ≥ 0, row by row: inside if both are, else the better edge."""
    ff, ss, fs = (np.sum(x, axis=1) for x in (first**2, second**2, first * second))
    ft, st = np.sum(first * target, axis=1), np.sum(second * target, axis=1)
    tiny = np.finfo(float).tiny
    det = ff * ss - fs**2
    is_told_apart = det > 1e-12 * ff * ss  # columns of one shape have no inner answer
    a, b = ((ft * ss - st * fs), (st * ff - ft * fs)) / np.where(is_told_apart, det, 1.0)
    edge_a, edge_b = ft / np.maximum(ff, tiny), st / np.maximum(ss, tiny)
    is_inside = (a >= 0) & (b >= 0) & is_told_apart
    is_a_edge = ft * edge_a >= st * edge_b
    return (
        np.where(is_inside, a, np.where(is_a_edge, edge_a, 0.0)),
        np.where(is_inside, b, np.where(is_a_edge, 0.0, edge_b)),
    )


def _with_notes(curve: BandCurve, calibration: Calibration) -> BandCurve:
    drifts = tuple(
        Drift(read_on, float(curve.force_kg(point.length_m)) / point.force_kg)
        for read_on, point in sorted(calibration.older, key=lambda row: row[0])
    )
    notes = (
        calibration.notes
        + _model_notes(curve)
        + _imbalance_notes(curve)
        + _drift_notes(curve.name, drifts)
    )
    return replace(curve, drifts=drifts, notes=notes)


def _model_notes(curve: BandCurve) -> tuple[str, ...]:
    notes: list[str] = []
    if curve.model == BandModel.ONE_READING:
        notes.append(f"Band “{curve.name}” rests on one reading: take two more.")
    if curve.form_ratio > 2 * curve.model.form_ratio:
        notes.append(
            f"The readings of band “{curve.name}” scatter by {curve.form_ratio:.0%} around any "
            "band-like curve: read it again."
        )
    if curve.hysteresis_kg > WARN_HYSTERESIS_RATIO * float(curve.force_kg(curve.measured_m[1])):
        notes.append(
            f"Band “{curve.name}” pulls up to {curve.hysteresis_kg:.1f} kg more than shown going "
            "up and as much less coming down."
        )
    return tuple(notes)


def _imbalance_notes(curve: BandCurve) -> tuple[str, ...]:
    ratio = curve.imbalance_ratio(curve.measured_m[1])
    if ratio <= WARN_IMBALANCE_RATIO:
        return ()
    return (
        (
            f"Left and right of band “{curve.name}” differ by {ratio:.1%} of their mean when "
            "stretched: the bar will be pulled to one side. Pair it with a better match."
        ),
    )


def _drift_notes(name: str, drifts: tuple[Drift, ...]) -> tuple[str, ...]:
    if not drifts or abs(drifts[0].ratio - 1) <= WARN_DRIFT_RATIO:
        return ()
    change = drifts[0].ratio - 1
    word = "more" if change > 0 else "less"
    return (f"Band “{name}” pulls {abs(change):.0%} {word} than on {drifts[0].read_on}.",)
