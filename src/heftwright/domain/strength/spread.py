"""How far athletes, families of lifts and single lifts spread, and a grid of such spreads."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard deviations on the log scale: athletes, athlete × family, athlete × lift."""

    athlete: float
    family: float
    lift: float


def spread_grid(centre: Spread, log_sd: float, points: int = 5) -> tuple[tuple[Spread, float], ...]:
    """Grid of spreads around ``centre`` with the log of a log-normal prior weight each.

    Parameters
    ----------
    centre : Spread
        Medians of the prior.
    log_sd : float
        Of the prior, > 0.
    points : int
        For each variance, ≥ 1, over ± 2 log_sd.
    """
    z = [4.0 * step / (points - 1) - 2.0 for step in range(points)] if points > 1 else [0.0]
    steps = [(math.exp(log_sd * value), -0.5 * value**2) for value in z]
    return tuple(
        (Spread(centre.athlete * a, centre.family * f, centre.lift * s), wa + wf + ws)
        for (s, ws), (f, wf), (a, wa) in product(steps, steps, steps)
    )
