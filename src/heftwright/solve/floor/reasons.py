"""Sentences for those who have no bar: why, and a way out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from heftwright.domain.floor.problem import STRAIGHT, FloorPlatform, FloorProblem, Lifter
from heftwright.domain.mass import Mass
from heftwright.solve.floor.columns import PlatformKind
from heftwright.solve.floor.graph import LoadGraph
from heftwright.solve.floor.programme import NEVER_DS, GroupProgramme
from heftwright.solve.floor.programmes import bars_on_floor

CLOSE_MM = 1e-6


def why_unplaced(
    problem: FloorProblem,
    lifter: Lifter,
    kinds: list[PlatformKind],
    programmes: list[GroupProgramme | None],
) -> str:
    """The first reason that holds, in a sentence with something to do."""
    platforms = bars_on_floor(problem).get(lifter.bar, [])
    return (
        _no_bar(lifter, platforms)
        or _no_rack(lifter, platforms)
        or _no_set_up(problem, lifter, platforms)
        or _no_load(problem, lifter, kinds, programmes)
        or _no_sleeve(problem, lifter, kinds, programmes)
        or _no_room(problem, lifter, platforms)
        or _no_company(problem, lifter)
    )


def _no_bar(lifter: Lifter, platforms: list[FloorPlatform]) -> str:
    if platforms:
        return ""
    return (
        f"{lifter.called}: no {_named(lifter.bar)} is on the floor tonight; put one on a platform "
        "or let them do a twin lift on another bar."
    )


def _no_rack(lifter: Lifter, platforms: list[FloorPlatform]) -> str:
    if not lifter.needs_rack or any(platform.has_rack for platform in platforms):
        return ""
    return f"{lifter.called}: no platform with {_a(lifter.bar)} has a rack; change the lift."


def _no_set_up(problem: FloorProblem, lifter: Lifter, platforms: list[FloorPlatform]) -> str:
    owned = problem.bands
    usable = [
        set_up
        for set_up in problem.set_ups
        if set_up.key in lifter.set_ups
        and all(owned.get(band, 0) >= pairs for band, pairs in set_up.bands.items())
        and any(platform.allows(set_up.key) for platform in platforms)
    ]
    if usable:
        return ""
    return (
        f"{lifter.called}: no band set-up in stock gives the wanted top share; widen the range, "
        "add a set-up, or give straight weight."
    )


def _no_load(
    problem: FloorProblem,
    lifter: Lifter,
    kinds: list[PlatformKind],
    programmes: list[GroupProgramme | None],
) -> str:
    lightest: Mass | None = None
    is_from_floor = False
    at = problem.lifters.index(lifter)
    for kind in kinds:
        programme = programmes[kind.programme]
        if programme is None or at not in kind.lifters:
            continue
        if (programme.deviations[kind.lifters.index(at)] < NEVER_DS).any():
            return ""
        least = lightest_load(problem, kind.platforms[0])
        lightest = least if lightest is None else min(lightest, least)
        is_from_floor |= problem.is_from_floor(kind.platforms[0])
    return _cannot_be_made(lifter, lightest, is_from_floor=is_from_floor)


def _cannot_be_made(lifter: Lifter, lightest: Mass | None, *, is_from_floor: bool) -> str:
    """Discs and blocks only bring a bar up to height on the floor; in a rack a lighter bar does."""
    bar = _named(lifter.bar)
    if is_from_floor:
        said = f"the lightest loaded {bar} is {lightest}"
        way_out = "Use a lighter bar, lighter full-size discs, or blocks"
    else:
        said = f"the lightest {bar} on the floor tonight is {lightest}, empty"
        way_out = f"Put out a lighter {bar}, or let them do a twin lift on another bar"
    return f"{lifter.called}: {lifter.target} cannot be made; {said}. {way_out}."


def _no_sleeve(
    problem: FloorProblem,
    lifter: Lifter,
    kinds: list[PlatformKind],
    programmes: list[GroupProgramme | None],
) -> str:
    at = problem.lifters.index(lifter)
    for kind in kinds:
        programme = programmes[kind.programme]
        if programme is not None and at in kind.lifters:
            loads = programme.deviations[kind.lifters.index(at)] < NEVER_DS
            if _fits_sleeve(programme.graph, loads, kind.platforms):
                return ""
    return (
        f"{lifter.called}: the sleeves of tonight's {_named(lifter.bar)} do not hold plates for "
        f"{lifter.target}. Use thinner plates or a bar with longer sleeves."
    )


def _fits_sleeve(
    graph: LoadGraph, loads: NDArray[np.bool_], platforms: tuple[FloorPlatform, ...]
) -> bool:
    """Whether some stack for one of these loads is no wider than a sleeve; if in doubt, it is."""
    sleeves = [platform.sleeve_mm for platform in platforms]
    known = [length for length in sleeves if length is not None]
    if len(known) < len(sleeves):
        return True
    return bool(_least_width_mm(graph)[loads].min(initial=np.inf) <= max(known) + CLOSE_MM)


def _least_width_mm(graph: LoadGraph) -> NDArray[np.float64]:
    """Sleeve that the thinnest stack of every node takes [mm]."""
    width = np.full(graph.size, np.inf)
    width[0] = 0.0
    for node in range(graph.size):
        for plate, target in enumerate(graph.after[:, node]):
            if target >= 0:
                wider = width[node] + graph.plates[plate].thickness_mm
                width[target] = min(width[target], wider)
    return width


def lightest_load(problem: FloorProblem, platform: FloorPlatform) -> Mass:
    """The lightest bar that may be lifted on a platform."""
    if not problem.is_from_floor(platform):
        return platform.empty_bar
    discs = [plate.mass for plate in problem.plates if plate.is_full_diameter and plate.pairs]
    return platform.empty_bar + 2 * min(discs, default=Mass(0))


def _no_room(problem: FloorProblem, lifter: Lifter, platforms: list[FloorPlatform]) -> str:
    wanting = sum(other.bar == lifter.bar for other in problem.lifters)
    room = len(platforms) * problem.policy.group_max
    if wanting <= room:
        return ""
    return (
        f"{lifter.called}: {wanting} lifters want {_some(lifter.bar, len(platforms))}, which "
        f"{'serves' if len(platforms) == 1 else 'serve'} at most {room} in groups of "
        f"{problem.policy.group_max}. Split the class in two halves, or let {lifter.called} do a "
        "twin lift on another bar."
    )


def _some(bar: str, count: int) -> str:
    return f"the only {_named(bar)}" if count == 1 else f"the {count} platforms with {_a(bar)}"


def _named(bar: str) -> str:
    """An implement kind in words."""
    return bar.replace("_", " ")


def _a(bar: str) -> str:
    return f"{'an' if bar[:1].lower() in 'aeiou' else 'a'} {_named(bar)}"


def _no_company(problem: FloorProblem, lifter: Lifter) -> str:
    most = problem.policy.group_max
    if STRAIGHT in lifter.set_ups:
        return (
            f"{lifter.called}: no platform is left with room (at most {most} in a group) and "
            "plates in stock for this load beside the others'. Widen the load tolerance, put out "
            "another platform, or split the class in two halves."
        )
    return (
        f"{lifter.called}: no free platform is left whose group shares a band set-up, with bands "
        f"and plates in stock, in groups of at most {most}. Widen the top share or the load "
        "tolerance, put out another platform, or split the class in two halves."
    )
