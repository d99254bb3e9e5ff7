"""Exchanges one choice at a time as long as the season gains: cheap, and quick to stop."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from heftwright.domain.season.explain import Teller
from heftwright.solve.season.model import Ruled

Floats = npt.NDArray[np.float64]


def polish(model: Ruled, chosen: Floats, rounds: int) -> Floats:
    """The choice after at most so many rounds of best exchanges.

    Counted in rounds, not in seconds, so that the same start always gives the same plan.
    """
    problem = model.problem
    teller = Teller(problem, problem.plan_of(chosen), (model.rows, model.objective))
    if (teller.chosen != chosen).any():
        return chosen
    for _ in range(rounds):
        before = teller.points
        for j in np.flatnonzero(teller.chosen):
            better = teller.better_swap(int(j))
            if better is not None:
                teller.swap(int(j), better)
        if teller.points <= before:
            break
    return teller.chosen
