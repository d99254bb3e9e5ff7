"""The loads that one bar can make from the gym's plates, and the plate moves between them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from heftwright.domain.dose.ramp import LoadLadder, RampError
from heftwright.domain.mass import Mass
from heftwright.domain.stock import Bar, PlatePair

MOST_KINDS = 12
MOST_STACKS = 30
_ENOUGH_STACKS = 2000
_GRAM = Mass.kg("0.001").ticks
_BUCKET = Mass.kg("0.25").ticks
"""Loads of a side nearer than this to each other are one rung; the fewest plates make it."""


def bar_ladder(bar: Bar, plates: Sequence[PlatePair], most_kg: float) -> LoadLadder:
    """Every load from the empty bar up to ``most_kg`` that its sleeves and the stock allow.

    Parameters
    ----------
    bar : Bar
        With its collars and sleeve length.
    plates : sequence of PlatePair
        What the gym owns; the largest lie inside.
    most_kg : float
        Heaviest load wanted [kg].

    Raises
    ------
    RampError
        If there are more than twelve kinds of plates.
    """
    kinds = [plate for plate in sorted(plates, key=_inner_first) if plate.pairs]
    if len(kinds) > MOST_KINDS:
        raise RampError(f"{len(kinds)} kinds of plates: a ladder is made of at most {MOST_KINDS}.")
    stacks = _stacks(bar, kinds, most_kg)
    loads = {_total_kg(bar, kinds, stack): stack for stack in stacks}
    return LoadLadder(
        tuple(sorted(loads)), lambda before, after: _moves(kinds, loads[before], loads[after])
    )


def plate_moves(
    bar: Bar, plates: Sequence[PlatePair], loads_kg: Sequence[float]
) -> tuple[int, ...]:
    """Plates handled at both ends to go through ``loads_kg`` from the empty bar, fewest in all.

    Parameters
    ----------
    bar, plates
        As for :func:`bar_ladder`.
    loads_kg : sequence of float
        Loads that a ladder of this bar has [kg], in the order of lifting.

    Returns
    -------
    tuple of int
        One for each load.

    Raises
    ------
    RampError
        If a load cannot be made.

    Notes
    -----
    Shortest path over at most ``MOST_STACKS`` stacks a load, those with fewest plates.
    """
    kinds = [plate for plate in sorted(plates, key=_inner_first) if plate.pairs]
    best: dict[tuple[int, ...], tuple[int, tuple[int, ...]]] = {(0,) * len(kinds): (0, ())}
    for load in loads_kg:
        reached: dict[tuple[int, ...], tuple[int, tuple[int, ...]]] = {}
        for stack in _stacks_making(bar, kinds, load):
            steps = ((_moves(kinds, old, stack), *found) for old, found in best.items())
            reached[stack] = min((cost + step, (*so_far, step)) for step, cost, so_far in steps)
        best = reached
    return min(best.values())[1]


def _stacks_making(bar: Bar, kinds: Sequence[PlatePair], load_kg: float) -> list[tuple[int, ...]]:
    """Counts of each kind on a side that make a load exactly, fewest plates first."""
    side = (Mass.nearest_kg(load_kg).ticks - bar.empty.ticks) // 2
    found: list[tuple[int, ...]] = []
    _fill(kinds, side, (), found)
    room = bar.sleeve.in_mm
    fitting = [stack for stack in found if _length_mm(kinds, stack) <= room]
    if not fitting:
        raise RampError(f"This bar and its plates cannot make {load_kg:g} kg.")
    return sorted(fitting, key=sum)[:MOST_STACKS]


def _fill(
    kinds: Sequence[PlatePair], left: int, stack: tuple[int, ...], found: list[tuple[int, ...]]
) -> None:
    """All ways to make what is ``left`` of a side, heaviest counts first, within ±1 g."""
    rest = kinds[len(stack) :]
    if not rest or abs(left) <= _GRAM:
        if abs(left) <= _GRAM:
            found.append((*stack, *([0] * len(rest))))
        return
    if left > sum(plate.pairs * plate.mass.ticks for plate in rest) + _GRAM:
        return
    most = min(rest[0].pairs, (left + _GRAM) // rest[0].mass.ticks)
    for count in range(most, -1, -1):
        if len(found) >= _ENOUGH_STACKS:
            return
        _fill(kinds, left - count * rest[0].mass.ticks, (*stack, count), found)


def _inner_first(plate: PlatePair) -> tuple[float, int]:
    return (-plate.diameter.in_mm, -plate.mass.ticks)


def _stacks(bar: Bar, kinds: Sequence[PlatePair], most_kg: float) -> list[tuple[int, ...]]:
    """Counts of each kind on a side: for every reachable rung the one with fewest plates."""
    room = bar.sleeve.in_mm
    most = Mass.nearest_kg(most_kg).ticks - bar.empty.ticks
    best: dict[int, tuple[int, ...]] = {0: ()}
    for plate in kinds:
        grown: dict[int, tuple[int, ...]] = {}
        for stack in best.values():
            for count in range(plate.pairs + 1):
                longer = (*stack, count)
                side = _side_ticks(kinds, longer)
                if 2 * side > most or _length_mm(kinds, longer) > room:
                    break
                rung = round(side / _BUCKET)
                if rung not in grown or sum(longer) < sum(grown[rung]):
                    grown[rung] = longer
        best = grown
    return list(best.values())


def _side_ticks(kinds: Sequence[PlatePair], stack: Sequence[int]) -> int:
    return sum(count * plate.mass.ticks for plate, count in zip(kinds, stack, strict=False))


def _length_mm(kinds: Sequence[PlatePair], stack: Sequence[int]) -> float:
    return sum(count * plate.thickness.in_mm for plate, count in zip(kinds, stack, strict=False))


def _total_kg(bar: Bar, kinds: Sequence[PlatePair], stack: Sequence[int]) -> float:
    return Mass(bar.empty.ticks + 2 * _side_ticks(kinds, stack)).in_kg


def _moves(kinds: Sequence[PlatePair], before: Sequence[int], after: Sequence[int]) -> int:
    """Plates handled at both ends: what lies outside the first difference comes off."""
    old, new = _in_order(kinds, before), _in_order(kinds, after)
    kept = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(old, new, strict=False)))
    return 2 * (len(old) + len(new) - 2 * kept)


def _in_order(kinds: Sequence[PlatePair], stack: Sequence[int]) -> list[str]:
    counted = zip(kinds, stack, strict=False)
    return [plate.key for plate, count in counted for _ in range(count)]
