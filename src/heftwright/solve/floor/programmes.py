"""One group programme for each kind of bar on the floor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from heftwright.domain.floor.problem import FloorPlate, FloorPlatform, FloorProblem, Lifter
from heftwright.solve.floor.columns import DS, PlatformKind, may_meet
from heftwright.solve.floor.graph import LoadGraph, load_graph
from heftwright.solve.floor.programme import NEVER_DS, GroupProgramme, Prices
from heftwright.solve.floor.stability import Stability
from heftwright.solve.floor.subsets import Company, likely_groups, windows_of
from heftwright.solve.floor.windows import deviation_prices, heaviest_side

Ints = NDArray[np.int64]
MOST_GROUPS = 160_000
NEIGHBOURS = 18


def programmes(
    problem: FloorProblem,
    kinds: list[PlatformKind],
    stability: Stability,
    strangers: int | None = None,
) -> list[GroupProgramme | None]:
    """Programmes by the numbers in the kinds; None for a bar that nobody wants.

    With ``strangers``, only groups with at most so many from other groups of the plan so far.
    """
    made: dict[int, GroupProgramme | None] = {}
    for kind in kinds:
        if kind.programme not in made:
            made[kind.programme] = (
                _programme(problem, kind, stability, strangers) if kind.lifters else None
            )
    return [made[number] for number in range(len(made))]


def _programme(
    problem: FloorProblem, kind: PlatformKind, stability: Stability, strangers: int | None
) -> GroupProgramme:
    lifters = [problem.lifters[at] for at in kind.lifters]
    bar = kind.platforms[0].empty_bar
    graph = _graph(problem, kind, kind.lifters)
    masks = np.array([set_up_bits(problem, lifter) for lifter in lifters], np.uint64)
    company = Company.of_anyone(masks, may_meet(problem, kind.lifters))
    if strangers is not None:
        outside = stability.outside()[:, list(kind.lifters)]
        company = replace(company, outside=outside, strangers=strangers)
    elif likely_groups(company, problem.policy.group_max) > MOST_GROUPS:
        order = np.argsort([lifter.target.ticks for lifter in lifters], kind="stable")
        company = replace(company, outside=windows_of(order, NEIGHBOURS))
    deviations = deviation_prices(
        graph, lifters, bar, problem.policy, from_floor=problem.is_from_floor(kind.platforms[0])
    )
    deviations += _new_load_ds(problem, graph, kind, stability)
    return GroupProgramme(
        graph, deviations, _prices(problem, graph.plates), company, problem.policy.group_max
    )


def _new_load_ds(
    problem: FloorProblem, graph: LoadGraph, kind: PlatformKind, stability: Stability
) -> Ints:
    """``[lifter, node]`` price a round of another load than announced [ds]."""
    totals = kind.platforms[0].empty_bar.ticks + 2 * graph.ticks
    a_round = round(DS * problem.policy.new_load_s / problem.scheme.sets)
    prices = np.zeros((len(kind.lifters), graph.size), np.int64)
    for row, at in enumerate(kind.lifters):
        announced = stability.loads.get(problem.lifters[at].athlete)
        if announced is not None:
            prices[row, totals != announced.ticks] = a_round
    return prices


def capped_programme(
    problem: FloorProblem,
    kind: PlatformKind,
    base: GroupProgramme,
    group: tuple[int, ...],
    caps: Mapping[str, int],
) -> GroupProgramme:
    """Programme of one group alone, the same loads, at most so many pairs of some plates."""
    plates = tuple(
        replace(plate, pairs=min(plate.pairs, caps.get(plate.key, plate.pairs)))
        for plate in problem.plates
    )
    sleeve_mm = kind.platforms[0].sleeve_mm
    graph = _graph(replace(problem, plates=plates), kind, group, frozenset(caps), sleeve_mm)
    rows = [base.deviations[kind.lifters.index(at)] for at in group]
    return GroupProgramme(
        graph,
        np.array([_same_loads(base.graph, row, graph) for row in rows]),
        _prices(problem, graph.plates),
        Company.of_anyone(np.ones(len(group), np.uint64), np.ones((len(group), len(group)), bool)),
        len(group),
    )


def _same_loads(base: LoadGraph, prices: Ints, graph: LoadGraph) -> Ints:
    """Prices of a lifter's loads carried to another graph; no load is allowed that was not."""
    known = dict(zip(base.ticks.tolist(), prices.tolist(), strict=True))
    return np.array([known.get(ticks, NEVER_DS) for ticks in graph.ticks.tolist()], np.int64)


def _graph(
    problem: FloorProblem,
    kind: PlatformKind,
    places: tuple[int, ...],
    counted: frozenset[str] = frozenset(),
    sleeve_mm: float | None = None,
) -> LoadGraph:
    lifters = [problem.lifters[at] for at in places]
    return load_graph(
        problem.plates,
        heaviest_side(lifters, kind.platforms[0].empty_bar),
        problem.policy.stack_order,
        from_floor=problem.is_from_floor(kind.platforms[0]),
        counted=counted,
        sleeve_mm=sleeve_mm,
    )


def _prices(problem: FloorProblem, plates: tuple[FloorPlate, ...]) -> Prices:
    times = np.array([round(DS * plate.round_trip_s) for plate in plates], np.int64)
    weight = problem.policy.change_weight
    return Prices(
        rounds=problem.scheme.sets,
        edges=np.round(weight * times).astype(np.int64),
        edge_ds=times,
        collars=round(weight * DS * problem.times.collars_s),
        collars_ds=round(DS * problem.times.collars_s),
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
