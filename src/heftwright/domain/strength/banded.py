"""A single against bands or chains as evidence about the straight-weight max.

What counts is the load where the lift sticks: the total at the sticking height the coach names,
otherwise the mean total over the range of motion. Either is a rough conversion (common practice, no
source), so the evidence carries the wider noise of its kind and is never a tested max.
"""

from __future__ import annotations

from bisect import bisect_left
from datetime import date
from typing import TYPE_CHECKING

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.evidence import Evidence, EvidenceError, EvidenceKind

if TYPE_CHECKING:
    from heftwright.domain.resistance.load import LoadCurve


def banded_single(
    athlete: AthleteId,
    lift: LiftKey,
    curve: LoadCurve,
    on: date,
    *,
    sticking_height_m: float | None = None,
) -> Evidence:
    """Evidence from a single made against bands or chains.

    Parameters
    ----------
    athlete, lift
        Who, in which lift.
    curve : LoadCurve
        The whole set-up's load along this athlete's bar path.
    on : date
        When.
    sticking_height_m : float or None
        Bar height where the lift slows most [m], within the path; None: the mean load counts.

    Raises
    ------
    EvidenceError
        If the named height is not on the athlete's bar path.
    """
    if sticking_height_m is None:
        kg, where = curve.mean_kg, "mean load over the range of motion"
    else:
        kg = _total_at(curve, sticking_height_m)
        where = f"load at {100 * sticking_height_m:.0f} cm"
    note = f"{Mass.nearest_kg(curve.bar_kg[0]).shown()} on the bar, {where}"
    load = Mass.nearest_kg(kg)
    return Evidence(athlete, lift, EvidenceKind.BANDED_SINGLE, load, on, note=note)


def _total_at(curve: LoadCurve, height_m: float) -> float:
    heights = curve.heights_m
    if not heights[0] <= height_m <= heights[-1]:
        raise EvidenceError(
            f"A sticking height of {height_m:.2f} m is off the bar path of {heights[0]:.2f}–"
            f"{heights[-1]:.2f} m: measure it again or leave it out."
        )
    upper = max(1, bisect_left(heights, height_m))
    low_m, high_m = heights[upper - 1], heights[upper]
    part = (height_m - low_m) / (high_m - low_m)
    return curve.total_kg[upper - 1] + part * (curve.total_kg[upper] - curve.total_kg[upper - 1])
