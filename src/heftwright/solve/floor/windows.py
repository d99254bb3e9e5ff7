"""Which loads each lifter may have, and what they cost a round."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from heftwright.domain.floor.policy import FloorPolicy, LoadMode
from heftwright.domain.floor.problem import Lifter
from heftwright.domain.mass import Mass
from heftwright.solve.floor.graph import LoadGraph
from heftwright.solve.floor.programme import NEVER_DS

Ints = NDArray[np.int64]
SIDES = 2


def heaviest_side(lifters: list[Lifter], empty_bar: Mass) -> int:
    """Plates a side that nobody's window exceeds [10 ng]."""
    tops = [lifter.heaviest - empty_bar for lifter in lifters]
    return max((top.ticks for top in tops), default=0) // SIDES


def deviation_prices(
    graph: LoadGraph,
    lifters: list[Lifter],
    empty_bar: Mass,
    policy: FloorPolicy,
    *,
    from_floor: bool,
) -> Ints:
    """``[lifter, node]`` price a round [ds]; ``NEVER_DS`` where the load is not allowed."""
    totals = empty_bar.ticks + SIDES * graph.ticks
    prices = np.full((len(lifters), graph.size), NEVER_DS, np.int64)
    for row, lifter in enumerate(lifters):
        nodes = allowed_nodes(totals, lifter, policy, from_floor=from_floor)
        pct = np.abs(totals[nodes] - lifter.target.ticks) / (lifter.max_kg * 1e9)
        prices[row, nodes] = np.round(10 * policy.deviation_s_per_pct_round * pct)
    return prices


def allowed_nodes(totals: Ints, lifter: Lifter, policy: FloorPolicy, *, from_floor: bool) -> Ints:
    """Nodes inside the tolerance, or the nearest one at or below target where there is none.

    The empty bar is no load where the bar stands on its plates.
    """
    away = np.abs(totals - lifter.target.ticks)
    usable = np.ones(len(totals), bool)
    if from_floor:
        usable &= totals > totals[0]
    inside = usable & (away <= lifter.tolerance.ticks) & (totals <= lifter.heaviest.ticks)
    if not inside.any():
        inside = usable & (totals <= lifter.target.ticks)
        return _nearest(away, inside, totals)
    if policy.load_mode is LoadMode.NEAREST:
        return _nearest(away, inside, totals)
    return np.flatnonzero(inside)


def _nearest(away: Ints, inside: NDArray[np.bool_], totals: Ints) -> Ints:
    """Nodes of the nearest mass; of two as near, the lighter."""
    if not inside.any():
        return np.empty(0, np.int64)
    nearest = inside & (away == away[inside].min())
    return np.flatnonzero(nearest & (totals == totals[nearest].min()))
