"""Plate stacks: changes between turns, the cheapest cycle, strip order.

Only the outermost plate can come off, so stacks are words over plates and a change goes down to
the common prefix and up again. The cheapest cycle visits the prefix tree depth first: each edge
is then put on once and taken off once a round, and no cycle can do with less, since every edge
separates some stack from some other.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from heftwright.domain.floor.plan import FloorPlan, GroupPlan, Turn
from heftwright.domain.floor.problem import FloorPlate, FloorPlatform, FloorProblem
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId

Stack = tuple[str, ...]
SIDES = 2
MOVES_OF_AN_EDGE = 2 * SIDES


def load_of(empty_bar: Mass, stack: Stack, plates: Mapping[str, FloorPlate]) -> Mass:
    """Total on the bar, exact: bar with collars and both sides."""
    return empty_bar + SIDES * Mass(sum(plates[key].mass.ticks for key in stack))


def common_prefix(stacks: Iterable[Stack]) -> Stack:
    """What stays on all through the cycle."""
    listed = list(stacks)
    if not listed:
        return ()
    first, last = min(listed), max(listed)
    length = 0
    while length < min(len(first), len(last)) and first[length] == last[length]:
        length += 1
    return first[:length]


def change(before: Stack, after: Stack) -> tuple[Stack, Stack]:
    """What comes off (outermost first) and goes on (innermost first), one side."""
    kept = len(common_prefix((before, after)))
    return tuple(reversed(before[kept:])), after[kept:]


def tree_edges(stacks: Iterable[Stack]) -> tuple[list[str], list[str]]:
    """Plates of the common stack, and plates of the prefix tree below it, one side."""
    listed = list(stacks)
    common = common_prefix(listed)
    nodes = {
        stack[:length] for stack in listed for length in range(len(common) + 1, len(stack) + 1)
    }
    return list(common), [node[-1] for node in sorted(nodes)]


def change_round_s(
    stacks: Sequence[Stack], plates: Mapping[str, FloorPlate], collars_s: float
) -> float:
    """Plate changing of one round of the cheapest cycle [s]; 0 when nobody differs."""
    distinct = set(stacks)
    if len(distinct) < 2:
        return 0.0
    _, below = tree_edges(distinct)
    return sum(plates[key].round_trip_s for key in below) + collars_s * len(distinct)


def moves_of(stacks: Sequence[Stack], rounds: int) -> int:
    """Plates moved in a class of ``rounds``: the common stack on and off once, the rest a round."""
    common, below = tree_edges(stacks)
    return MOVES_OF_AN_EDGE * (len(common) + rounds * len(below))


def depth_first(
    stacks: Mapping[AthleteId, Stack], first: Sequence[AthleteId] = ()
) -> list[AthleteId]:
    """Athletes in an order that moves each plate of the prefix tree once up and once down.

    Parameters
    ----------
    stacks : Mapping
        Athlete -> stack.
    first : sequence of AthleteId
        Wanted order; followed wherever it costs no move.
    """
    wish = {athlete: place for place, athlete in enumerate(first)}
    rank = {athlete: (wish.get(athlete, len(wish)), athlete) for athlete in stacks}
    return _visit(list(stacks), 0, stacks, rank)


def _visit(
    athletes: list[AthleteId],
    depth: int,
    stacks: Mapping[AthleteId, Stack],
    rank: Mapping[AthleteId, tuple[int, AthleteId]],
) -> list[AthleteId]:
    here = sorted((who for who in athletes if len(stacks[who]) == depth), key=rank.__getitem__)
    branches: dict[str, list[AthleteId]] = {}
    for who in athletes:
        if len(stacks[who]) > depth:
            branches.setdefault(stacks[who][depth], []).append(who)
    visited = [_visit(members, depth + 1, stacks, rank) for members in branches.values()]
    visited.sort(key=lambda branch: rank[branch[0]])
    return here + [who for branch in visited for who in branch]


def strip_order(off: Stack) -> tuple[tuple[str, str], ...]:
    """Sides in turn, one plate at a time, so that the bar never tips: (side, plate) steps.

    The heaviest difference between sides is then one plate of the stack.
    """
    sides = ("left", "right")
    return tuple((side, key) for key in off for side in sides)


def tidied(
    stacks: Mapping[AthleteId, Stack],
    plates: Mapping[str, FloorPlate],
    *,
    from_floor: bool,
    as_before: Stack = (),
) -> dict[AthleteId, Stack]:
    """The same loads and the same moves, with heavy plates inside wherever that costs no move.

    Plates that always come and go together may lie in any order among themselves; the heaviest
    goes inside, so that what comes off is outermost and light, and no small plate is shut in.

    Parameters
    ----------
    stacks : Mapping
        Athlete -> plates of one side, inner to outer.
    plates : Mapping
        Key -> plate.
    from_floor : bool
        Whether the first plate on the empty bar must be full diameter.
    as_before : tuple of str
        What lay innermost so far: it stays there, so that nobody turns a whole bar round.
    """
    order = _tidy(dict(stacks), 0, plates, from_floor=from_floor, as_before=as_before)
    return {athlete: order[athlete] for athlete in stacks}


def _tidy(
    stacks: dict[AthleteId, Stack],
    depth: int,
    plates: Mapping[str, FloorPlate],
    *,
    from_floor: bool,
    as_before: Stack,
) -> dict[AthleteId, Stack]:
    """One stretch of the prefix tree without a branch, then every branch by itself."""
    end = len(common_prefix(stacks.values()))
    stretch = next(iter(stacks.values()))[depth:end]
    inner = _kept(stretch, as_before)
    if from_floor and inner and not plates[inner[0]].is_full_diameter:
        inner = ()
    left = Counter(stretch) - Counter(inner)
    rest = sorted(left.elements(), key=lambda key: -plates[key].mass.ticks)
    if from_floor and rest and not inner:
        first = next(key for key in rest if plates[key].is_full_diameter)
        rest.remove(first)
        rest.insert(0, first)
    tidy = (*inner, *rest)
    done = {who: stack[:depth] + tidy for who, stack in stacks.items() if len(stack) == end}
    branches: dict[str, dict[AthleteId, Stack]] = {}
    for who, stack in stacks.items():
        if len(stack) > end:
            moved = stack[:depth] + tidy + stack[end:]
            branches.setdefault(stack[end], {})[who] = moved
    for branch in branches.values():
        done |= _tidy(branch, end, plates, from_floor=from_floor and not end, as_before=())
    return done


def _kept(stretch: Stack, as_before: Stack) -> Stack:
    left, kept = Counter(stretch), list[str]()
    for key in as_before:
        if not left[key]:
            break
        left[key] -= 1
        kept.append(key)
    return tuple(kept)


def group_plan(
    problem: FloorProblem,
    platform: FloorPlatform,
    set_up: str,
    stacks: Mapping[AthleteId, Stack],
    first: Sequence[AthleteId] = (),
) -> GroupPlan:
    """A group's turns in depth-first order, with changes, clock and moves worked out."""
    order = depth_first(stacks, first)
    return ordered_group(problem, platform, set_up, [(who, stacks[who]) for who in order])


def ordered_group(
    problem: FloorProblem,
    platform: FloorPlatform,
    set_up: str,
    order: Sequence[tuple[AthleteId, Stack]],
) -> GroupPlan:
    """A group's turns in exactly this order, with changes, clock and moves worked out."""
    plates = problem.plates_by_key()
    turns = []
    for place, (who, stack) in enumerate(order):
        off, on = change(order[place - 1][1], stack)
        turns.append(Turn(who, load_of(platform.empty_bar, stack, plates), stack, off, on))
    change_s = _cycle_s(turns, plates, problem.times.collars_s)
    busy_s = len(turns) * (problem.set_s + problem.times.set_up_s) + change_s
    round_s = max(busy_s, problem.scheme.rest_s + problem.set_s)
    sets = problem.scheme.sets
    moved = sum(len(turn.off) + len(turn.on) for turn in turns)
    common = common_prefix([stack for _, stack in order])
    moves = SIDES * sets * moved + MOVES_OF_AN_EDGE * len(common)
    return GroupPlan(platform.key, set_up, tuple(turns), round_s, sets * round_s, change_s, moves)


def without(problem: FloorProblem, plan: FloorPlan, athletes: Collection[AthleteId]) -> FloorPlan:
    """The plan without some of its lifters: the others change plates from each other's stacks."""
    groups = []
    for group in plan.groups:
        order = [(turn.athlete, turn.stack) for turn in group.order if turn.athlete not in athletes]
        if len(order) == len(group.order):
            groups.append(group)
        elif order:
            platform = problem.platform(group.platform)
            groups.append(ordered_group(problem, platform, group.set_up, order))
    return replace(plan, groups=tuple(groups))


def _cycle_s(turns: Sequence[Turn], plates: Mapping[str, FloorPlate], collars_s: float) -> float:
    moved = sum(
        sum(plates[key].off_s for key in turn.off) + sum(plates[key].on_s for key in turn.on)
        for turn in turns
    )
    return moved + collars_s * sum(bool(turn.off or turn.on) for turn in turns)
