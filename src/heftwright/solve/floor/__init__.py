"""The floor solver: exact group prices, set partitioning, shared plates, re-planning."""

from heftwright.solve.floor.by_hand import move_by_hand
from heftwright.solve.floor.planner import FloorPlanner, PlanFaultError, load_notes, solve_floor
from heftwright.solve.floor.replan import remaining, replan_floor

__all__ = [
    "FloorPlanner",
    "PlanFaultError",
    "load_notes",
    "move_by_hand",
    "remaining",
    "replan_floor",
    "solve_floor",
]
