"""The design's four reference classes, solved to their proven optima.

The expected costs come from an independent prototype outside this project (floor.md, "Targets");
the cost is worked out again from the plan alone by `reference_cost_ds`.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from heftwright.domain.floor import FloorProblem, check_floor
from heftwright.domain.floor.cost import reference_cost_ds
from heftwright.domain.floor.instance import floor_instance
from heftwright.domain.outcome import Solved
from heftwright.solve.floor import solve_floor

INSTANCES = Path(__file__).parent.parent / "instances"
OPTIMA_DS = [
    ("floor-1", False, 4648),
    ("floor-2", False, 11140),
    ("floor-3", False, 12892),
    ("floor-4", False, 14998),
    ("floor-3", True, 11757),
]


def instance(name: str, *, is_soft: bool = False) -> FloorProblem:
    record = json.loads((INSTANCES / f"{name}.json").read_text())
    return floor_instance(record, is_soft=is_soft)


@pytest.mark.parametrize(("name", "is_soft", "optimum_ds"), OPTIMA_DS)
def test_a_reference_class_is_solved_to_its_proven_optimum(name, is_soft, optimum_ds):
    problem = instance(name, is_soft=is_soft)
    answer = solve_floor(problem, limit_s=60)
    assert isinstance(answer, Solved)
    assert answer.proven
    assert answer.cost == optimum_ds
    assert answer.bound == pytest.approx(optimum_ds, abs=1)
    assert reference_cost_ds(problem, answer.plan) == optimum_ds
    assert check_floor(problem, answer.plan) == ()
    assert answer.plan.unplaced == ()
