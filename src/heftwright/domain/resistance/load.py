"""The load of the whole set-up at every height of the bar's path, part by part, with its ±."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance.band_laws import FloatArray
from heftwright.domain.resistance.bar_path import BarPath
from heftwright.domain.resistance.rigs import SetUp


class LoadCurveError(Refusal):
    """A load that cannot be drawn."""


@dataclass(frozen=True, slots=True)
class LoadPart:
    """What one part adds along the path; the parts add up to the total.

    Parameters
    ----------
    name : str
        Words.
    kg : tuple of float
        [kg], negative unloads, same length as the heights.
    """

    name: str
    kg: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LoadCurve:
    """Load against bar height.

    Parameters
    ----------
    heights_m : tuple of float
        Rising bar heights above the floor [m].
    bar_kg : tuple of float
        Bar, collars and plates [kg].
    total_kg, sd_kg : tuple of float
        With bands and chains, and one sd [kg].
    mean_kg : float
        Mean total over the range of motion [kg], exact.
    parts : tuple of LoadPart
        The bar first, then each part of the set-up.
    """

    heights_m: tuple[float, ...]
    bar_kg: tuple[float, ...]
    total_kg: tuple[float, ...]
    sd_kg: tuple[float, ...]
    mean_kg: float
    parts: tuple[LoadPart, ...]

    @property
    def bottom_kg(self) -> float:
        """Total at the start [kg]."""
        return self.total_kg[0]

    @property
    def top_kg(self) -> float:
        """Total at the end [kg]."""
        return self.total_kg[-1]

    @property
    def top_sd_kg(self) -> float:
        """One sd of the top [kg]."""
        return self.sd_kg[-1]

    @property
    def peak_kg(self) -> float:
        """Largest total on the way [kg]."""
        return max(self.total_kg)

    @property
    def unload_ratio(self) -> float:
        """Share of the accommodating part at the top that is gone at the bottom, 0–1."""
        added_top = self.top_kg - self.bar_kg[-1]
        if added_top == 0:
            return 0.0
        return 1.0 - (self.bottom_kg - self.bar_kg[0]) / added_top


def load_along(bar_kg: float, setup: SetUp | None, path: BarPath, *, points: int = 25) -> LoadCurve:
    """Load at evenly spaced heights of the path.

    Parameters
    ----------
    bar_kg : float
        Bar with collars and plates [kg], ≥ 0.
    setup : SetUp or None
        Bands and chains; None: straight weight.
    path : BarPath
        The athlete's.
    points : int
        Heights, ≥ 2.

    Raises
    ------
    LoadCurveError
        If ``bar_kg`` is negative or not finite, or ``points`` below 2.
    """
    _check(bar_kg, points)
    heights = np.linspace(path.start_m, path.end_m, points)
    bar = np.full(points, float(bar_kg))
    if setup is None:
        return _curve(heights, [("bar", bar)], np.zeros(points), float(bar_kg))
    rows = [("bar", bar)] + [(part.name, part.tension_kg(heights)) for part in setup.parts]
    mean_kg = bar_kg + setup.mean_kg(path.start_m, path.end_m)
    return _curve(heights, rows, total_sd_kg(setup, heights, path), mean_kg)


def _check(bar_kg: float, points: int) -> None:
    if not 0 <= bar_kg < np.inf:
        raise LoadCurveError(f"A bar of {bar_kg} kg cannot be: it must be 0 kg or more.")
    if points < 2:
        raise LoadCurveError("A load curve needs at least 2 heights.")


def _curve(
    heights: FloatArray, rows: Sequence[tuple[str, FloatArray]], sd: FloatArray, mean_kg: float
) -> LoadCurve:
    total = np.sum([kg for _, kg in rows], axis=0)
    return LoadCurve(
        heights_m=tuple(heights.tolist()),
        bar_kg=tuple(rows[0][1].tolist()),
        total_kg=tuple(total.tolist()),
        sd_kg=tuple(sd.tolist()),
        mean_kg=mean_kg,
        parts=tuple(LoadPart(name, tuple(kg.tolist())) for name, kg in rows),
    )


def total_sd_kg(setup: SetUp, heights_m: ArrayLike, path: BarPath) -> FloatArray:
    """One sd of the total [kg]: the bands' own, and not knowing the heights exactly."""
    heights = np.asarray(heights_m, dtype=float)
    share = (heights - path.start_m) / path.rom_m
    step = path.start_sd_m + (path.sd_m - path.start_sd_m) * share
    by_height = (setup.tension_kg(heights + step) - setup.tension_kg(heights - step)) / 2
    return np.asarray(np.hypot(setup.sd_kg(heights), by_height))


def tension_grid(
    setups: Sequence[SetUp], paths: Sequence[BarPath], *, points: int = 25
) -> FloatArray:
    """Tension [kg] of every set-up for every path: (set-ups × paths × points), in one sweep."""
    start = np.array([path.start_m for path in paths])
    end = np.array([path.end_m for path in paths])
    heights = np.linspace(start, end, points, axis=1)
    return np.stack([setup.tension_kg(heights) for setup in setups])


@dataclass(frozen=True, slots=True)
class LoadChange:
    """What another peg, height or plate does to the load [kg], after less before."""

    bottom_kg: float
    top_kg: float
    mean_kg: float

    def __str__(self) -> str:
        return (
            f"{self.bottom_kg:+.1f} kg at the bottom, {self.top_kg:+.1f} kg at the top, "
            f"{self.mean_kg:+.1f} kg on average"
        )


def change(before: LoadCurve, after: LoadCurve) -> LoadChange:
    """The difference two set-ups, pegs, heights or bars make."""
    return LoadChange(
        after.bottom_kg - before.bottom_kg,
        after.top_kg - before.top_kg,
        after.mean_kg - before.mean_kg,
    )


class StraightPolicy(StrEnum):
    """Which straight weight stands in for bands that are not there; the coach's choice."""

    SAME_MEAN = "same_mean"
    SAME_BOTTOM = "same_bottom"
    SAME_TOP = "same_top"


def straight_kg(curve: LoadCurve, policy: StraightPolicy) -> float:
    """Straight weight [kg] instead of a banded load."""
    by_policy = {
        StraightPolicy.SAME_MEAN: curve.mean_kg,
        StraightPolicy.SAME_BOTTOM: curve.bottom_kg,
        StraightPolicy.SAME_TOP: curve.top_kg,
    }
    return by_policy[policy]
