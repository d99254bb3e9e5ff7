"""What all groups share: platforms of each kind, and bands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heftwright.domain.floor.problem import FloorProblem
from heftwright.solve.floor.columns import Columns, PlatformKind
from heftwright.solve.floor.master import Floats, Resources


@dataclass(frozen=True, slots=True)
class Shared:
    """Rows of platforms and bands for any set of columns of a problem."""

    problem: FloorProblem
    kinds: list[PlatformKind]

    def resources(self, columns: Columns) -> Resources:
        """Platforms of each kind and bands in stock."""
        use: list[Floats] = [
            (columns.kind == kind).astype(np.float64) for kind in range(len(self.kinds))
        ]
        limit = [float(len(kind.platforms)) for kind in self.kinds]
        for band, pairs in self.problem.bands.items():
            takes = np.array([one.bands.get(band, 0) for one in self.problem.set_ups], np.float64)
            use.append(takes[columns.set_up])
            limit.append(float(pairs))
        return Resources(np.array(use), np.array(limit))
