"""What a floor plan costs, worked out from the plan alone."""

from __future__ import annotations

from heftwright.domain.floor.plan import FloorPlan, GroupPlan
from heftwright.domain.floor.problem import FloorProblem
from heftwright.domain.floor.stacks import change_round_s, tree_edges

DS = 10


def reference_cost_ds(problem: FloorProblem, plan: FloorPlan) -> int:
    """The design's reference cost of a plan [tenths of a second].

    Common plates once, the tree below them and the collars every round, the deviation from
    target of every athlete every round, and the price of set-ups outside the wanted range. The
    cheapest turn order is assumed; the clock is not priced.
    """
    return sum(_group_ds(problem, group) for group in plan.groups)


def _group_ds(problem: FloorProblem, group: GroupPlan) -> int:
    plates = problem.plates_by_key()
    stacks = [turn.stack for turn in group.order]
    common, _ = tree_edges(stacks)
    weight = problem.policy.change_weight
    once = sum(round(weight * DS * plates[key].round_trip_s) for key in common)
    changing = round(weight * DS * change_round_s(stacks, plates, problem.times.collars_s))
    return (
        once
        + problem.scheme.sets * (changing + _deviation_ds(problem, group))
        + _rig_ds(problem, group)
    )


def _deviation_ds(problem: FloorProblem, group: GroupPlan) -> int:
    price = DS * problem.policy.deviation_s_per_pct_round
    return sum(
        round(price * problem.lifter(turn.athlete).deviation_pct(turn.load)) for turn in group.order
    )


def _rig_ds(problem: FloorProblem, group: GroupPlan) -> int:
    prices = (problem.lifter(turn.athlete).set_ups.get(group.set_up) for turn in group.order)
    return sum(round(DS * (price or 0.0)) for price in prices)


def mean_deviation_pct(problem: FloorProblem, plan: FloorPlan) -> float:
    """Mean deviation of load from target [% of max]; 0 without groups."""
    turns = [turn for group in plan.groups for turn in group.order]
    if not turns:
        return 0.0
    away = [problem.lifter(turn.athlete).deviation_pct(turn.load) for turn in turns]
    return sum(away) / len(away)
