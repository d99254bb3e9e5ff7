"""Bar speed: load–velocity lines of one athlete and lift, and what they cannot say.

Mean concentric velocities [m/s]. A velocity device is optional. Deadlift predictions are always
low confidence: they ran high in one study and low in another (Ruf et al. 2018; Lake et al. 2017).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from heftwright.domain.catalogue import Pattern
from heftwright.domain.refusal import Refusal

LEAST_LOAD_GAP_RATIO = 0.20
_DEADLIFT_CAUTION = (
    "Low confidence: a deadlift's speed at its max varies too much between days and people "
    "(CV 15.7 %, ICC 0.63: Ruf et al. 2018; Lake et al. 2017). Use it for fatigue, not for a max."
)


class SpeedProfileError(Refusal):
    """Points from which no load–velocity line can be drawn."""


@dataclass(frozen=True, slots=True)
class MinimalSpeed:
    """Mean concentric velocity of a true max, with its spread between people [m/s]."""

    mean_m_s: float
    sd_m_s: float


MINIMAL_SPEED = {
    Pattern.SQUAT: MinimalSpeed(0.23, 0.05),
    Pattern.BENCH: MinimalSpeed(0.10, 0.04),
    Pattern.DEADLIFT: MinimalSpeed(0.14, 0.05),
}
"""Helms et al. 2017 (seen) [@helms-2017]."""


@dataclass(frozen=True, slots=True)
class SpeedPoint:
    """The best repetition at one load: load [kg] > 0 and mean velocity [m/s] > 0."""

    load_kg: float
    speed_m_s: float

    def __post_init__(self) -> None:
        if not (self.load_kg > 0 and 0 < self.speed_m_s < 4):
            raise SpeedProfileError(
                f"{self.load_kg:g} kg at {self.speed_m_s:g} m/s: load and speed must be above 0, "
                "speed below 4 m/s."
            )


@dataclass(frozen=True, slots=True)
class SpeedMax:
    """A max read off a load–velocity line.

    Parameters
    ----------
    max_kg : float
        Load at the minimal speed [kg].
    slope_m_s_per_kg : float
        Of the line, < 0.
    is_low_confidence : bool
        Show it, do not plan with it.
    cautions : tuple of str
        Sentences.
    """

    max_kg: float
    slope_m_s_per_kg: float
    is_low_confidence: bool
    cautions: tuple[str, ...]


def max_from_speed(points: Sequence[SpeedPoint], minimal_m_s: float, pattern: Pattern) -> SpeedMax:
    """Max at the minimal speed on the straight line through two or more points.

    Two-point method: Garcia-Ramos & Jaric 2018; more points by least squares.

    Parameters
    ----------
    points : sequence of SpeedPoint
        At least two loads.
    minimal_m_s : float
        The athlete's own speed at a max [m/s], or the published mean.
    pattern : Pattern
        Deadlifts are flagged.

    Raises
    ------
    SpeedProfileError
        With fewer than two loads, or when the bar does not slow down as the load rises.
    """
    slope, at_zero = _line(points)
    if slope >= 0:
        raise SpeedProfileError(
            "The bar does not slow down as the load rises: check the order of loads and speeds."
        )
    cautions = []
    loads = sorted({point.load_kg for point in points})
    if (loads[-1] - loads[0]) / loads[-1] < LEAST_LOAD_GAP_RATIO:
        cautions.append(
            f"The loads {loads[0]:g} and {loads[-1]:g} kg are too close: a gap of at least "
            f"{100 * LEAST_LOAD_GAP_RATIO:.0f} % is needed for a line that can be trusted."
        )
    if pattern is Pattern.DEADLIFT:
        cautions.append(_DEADLIFT_CAUTION)
    return SpeedMax((minimal_m_s - at_zero) / slope, slope, bool(cautions), tuple(cautions))


def _line(points: Sequence[SpeedPoint]) -> tuple[float, float]:
    if len({point.load_kg for point in points}) < 2:
        raise SpeedProfileError("A line needs two different loads: do one more, clearly heavier.")
    count = len(points)
    mean_load = sum(point.load_kg for point in points) / count
    mean_speed = sum(point.speed_m_s for point in points) / count
    square = sum((point.load_kg - mean_load) ** 2 for point in points)
    cross = sum((p.load_kg - mean_load) * (p.speed_m_s - mean_speed) for p in points)
    return cross / square, mean_speed - cross / square * mean_load


def bench_share_pct(mean_propulsive_m_s: float) -> float:
    """Percent of the bench max from mean propulsive velocity, 8.4326v² − 73.501v + 112.33 [%].

    Gonzalez-Badillo & Sanchez-Medina 2010; coefficients from memory, unverified.
    """
    v = mean_propulsive_m_s
    return 8.4326 * v**2 - 73.501 * v + 112.33


def squat_share_pct(mean_m_s: float) -> float:
    """Percent of the squat max from mean velocity, −5.961v² − 50.71v + 117.0 [%].

    Sanchez-Medina et al. 2017; coefficients from memory, V1RM 0.32 ± 0.03 m/s seen.
    """
    return -5.961 * mean_m_s**2 - 50.71 * mean_m_s + 117.0


def speed_loss_ratio(speeds_m_s: Sequence[float]) -> float:
    """Loss of speed in a set: (fastest − last) / fastest, 0–1."""
    if not speeds_m_s or min(speeds_m_s) <= 0:
        raise SpeedProfileError("Speed loss needs at least one repetition, each above 0 m/s.")
    return (max(speeds_m_s) - speeds_m_s[-1]) / max(speeds_m_s)


def speed_drop_ratio(today_m_s: float, usual_m_s: Sequence[float]) -> float | None:
    """How much slower than this athlete's own habit at the same load; None below three values."""
    if len(usual_m_s) < 3:
        return None
    middle = sorted(usual_m_s)[len(usual_m_s) // 2]
    return (middle - today_m_s) / middle
