"""The floor solver: exact group prices, set partitioning, shared plates, re-planning."""

from heftwright.solve.floor.planner import FloorPlanner, PlanFaultError, solve_floor

__all__ = ["FloorPlanner", "PlanFaultError", "solve_floor"]
