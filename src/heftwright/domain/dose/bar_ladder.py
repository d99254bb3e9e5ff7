"""The loads that one bar can make from the gym's plates, and the plate moves between them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from heftwright.domain.dose.ramp import LoadLadder, RampError
from heftwright.domain.mass import Mass
from heftwright.domain.stock import Bar, PlatePair

MOST_KINDS = 12
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
