"""When a bar on a rack tips while it is stripped: statics of a beam on two supports."""

from __future__ import annotations

from collections.abc import Mapping

from heftwright.domain.floor.problem import FloorPlate, FloorProblemError
from heftwright.domain.floor.stacks import Stack, strip_order
from heftwright.domain.mass import Mass

RACK_HALF_M = 0.55
PLATES_AT_M = 0.85


def tips(
    bar: Mass,
    heavier: Mass,
    lighter: Mass,
    *,
    support_half_m: float = RACK_HALF_M,
    plates_at_m: float = PLATES_AT_M,
) -> bool:
    """Whether a bar tips over the support on its heavier side.

    Moments about that support: the heavier side turns the bar over, its own mass and the lighter
    side hold it down, ``heavier·(p − s) > bar·s + lighter·(p + s)``.

    Parameters
    ----------
    bar, heavier, lighter : Mass
        The bar alone, and the plates of its two ends.
    support_half_m : float
        Half the distance between the supports [m], 0.55 by default (measure the rack).
    plates_at_m : float
        From the middle of the bar to the middle of the plates [m], 0.85 by default.

    Raises
    ------
    FloorProblemError
        If the supports are not inside the plates.
    """
    if not 0 < support_half_m < plates_at_m:
        raise FloorProblemError(
            f"Supports at {support_half_m:g} m must be between the middle and the plates at "
            f"{plates_at_m:g} m: measure the rack."
        )
    over = heavier.in_kg * (plates_at_m - support_half_m)
    held = bar.in_kg * support_half_m + lighter.in_kg * (plates_at_m + support_half_m)
    return over > held


def strip_tips(
    bar: Mass,
    stack: Stack,
    plates: Mapping[str, FloorPlate],
    *,
    support_half_m: float = RACK_HALF_M,
    plates_at_m: float = PLATES_AT_M,
) -> bool:
    """Whether stripping a whole stack from a rack, side by side, tips the bar at any step."""
    sides = dict.fromkeys(("left", "right"), sum((plates[key].mass for key in stack), Mass(0)))
    for side, key in strip_order(tuple(reversed(stack))):
        sides[side] -= plates[key].mass
        heavier, lighter = max(sides.values()), min(sides.values())
        if tips(bar, heavier, lighter, support_half_m=support_half_m, plates_at_m=plates_at_m):
            return True
    return False
