"""The class floor: problem, plan, stacks, clock, checker and the usual way it is held against."""

from heftwright.domain.floor.baseline import usual_way, with_loads_of
from heftwright.domain.floor.checker import check_floor
from heftwright.domain.floor.clock import SchemeClock, Waiting, compare_schemes, waits
from heftwright.domain.floor.difference import ChangeKind, FloorChange, difference
from heftwright.domain.floor.plan import FloorPlan, GroupPlan, Turn
from heftwright.domain.floor.policy import FloorPolicy, FloorPolicyError, LoadMode, StackOrder
from heftwright.domain.floor.problem import (
    STRAIGHT,
    FloorPlate,
    FloorPlatform,
    FloorProblem,
    FloorProblemError,
    FloorSetUp,
    FloorTimes,
    Lifter,
)

__all__ = [
    "STRAIGHT",
    "ChangeKind",
    "FloorChange",
    "FloorPlan",
    "FloorPlate",
    "FloorPlatform",
    "FloorPolicy",
    "FloorPolicyError",
    "FloorProblem",
    "FloorProblemError",
    "FloorSetUp",
    "FloorTimes",
    "GroupPlan",
    "Lifter",
    "LoadMode",
    "SchemeClock",
    "StackOrder",
    "Turn",
    "Waiting",
    "check_floor",
    "compare_schemes",
    "difference",
    "usual_way",
    "waits",
    "with_loads_of",
]
