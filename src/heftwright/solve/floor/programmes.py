"""One group programme for each kind of bar on the floor."""

from __future__ import annotations

import numpy as np

from heftwright.domain.floor.problem import FloorPlatform, FloorProblem, Lifter
from heftwright.solve.floor.columns import DS, PlatformKind, may_meet
from heftwright.solve.floor.graph import load_graph
from heftwright.solve.floor.programme import GroupProgramme, Prices
from heftwright.solve.floor.windows import deviation_prices, heaviest_side


def programmes(problem: FloorProblem, kinds: list[PlatformKind]) -> list[GroupProgramme | None]:
    """Programmes by the numbers in the kinds; None for a bar that nobody wants."""
    made: dict[int, GroupProgramme | None] = {}
    for kind in kinds:
        if kind.programme not in made:
            made[kind.programme] = _programme(problem, kind) if kind.lifters else None
    return [made[number] for number in range(len(made))]


def _programme(problem: FloorProblem, kind: PlatformKind) -> GroupProgramme:
    policy = problem.policy
    lifters = [problem.lifters[at] for at in kind.lifters]
    bar = kind.platforms[0].empty_bar
    graph = load_graph(
        problem.plates, heaviest_side(lifters, bar), policy.stack_order,
        from_floor=policy.starts_on_floor,
    )  # fmt: skip
    times = np.array([round(DS * plate.round_trip_s) for plate in graph.plates], np.int64)
    weight = policy.change_weight
    prices = Prices(
        rounds=problem.scheme.sets,
        edges=np.round(weight * times).astype(np.int64),
        edge_ds=times,
        collars=round(weight * DS * problem.times.collars_s),
        collars_ds=round(DS * problem.times.collars_s),
    )
    return GroupProgramme(
        graph,
        deviation_prices(graph, lifters, bar, policy),
        prices,
        np.array([set_up_bits(problem, lifter) for lifter in lifters], np.uint64),
        may_meet(problem, kind.lifters),
        policy.group_max,
    )


def set_up_bits(problem: FloorProblem, lifter: Lifter) -> int:
    """Set-ups possible for a lifter, as bits in the order of the problem."""
    return sum(
        1 << place for place, set_up in enumerate(problem.set_ups) if set_up.key in lifter.set_ups
    )


def bars_on_floor(problem: FloorProblem) -> dict[str, list[FloorPlatform]]:
    """Platforms by implement kind."""
    found: dict[str, list[FloorPlatform]] = {}
    for platform in problem.platforms:
        found.setdefault(platform.bar, []).append(platform)
    return found
