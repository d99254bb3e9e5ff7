"""Which plates make a bar load: the heaviest that is not above the target, rounding down.

Both sides alike, the largest discs first, at most as many pairs as there are, and within the
sleeve's room. Sums are exact; two stacks closer than 10 g count as one, the fewer plates winning.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance.loaded_bar import LoadedBar, sleeve_room
from heftwright.domain.stock import Bar, PlatePair

CLOSE_TICKS = Mass.kg("0.010").ticks


class StackError(Refusal):
    """A bar load that the plates in stock cannot make."""


@dataclass(frozen=True, slots=True)
class _Stack:
    ticks: int
    plates: tuple[PlatePair, ...]


def heaviest_up_to(bar: Bar, plates: Sequence[PlatePair], target: Mass) -> LoadedBar:
    """The heaviest loading of a bar with its collars that is not above a target.

    Parameters
    ----------
    bar : Bar
        With its collars.
    plates : sequence of PlatePair
        The stock's.
    target : Mass
        Total wanted.

    Raises
    ------
    StackError
        If the empty bar is above the target.
    """
    a_side_ticks = (target - bar.empty).ticks // 2
    if a_side_ticks < 0:
        raise StackError(
            f"{bar.name} with its collars is {bar.empty}, more than the {target} that would be "
            "left for it: use a lighter bar or a lighter rig."
        )
    fitting = [
        stack
        for stack in _stacks(plates, a_side_ticks)
        if not stack.plates or sleeve_room(bar, stack.plates).ticks >= 0
    ]
    best = max(fitting, key=lambda stack: stack.ticks)
    return LoadedBar.alike(bar, best.plates, has_collars=True)


def _stacks(plates: Sequence[PlatePair], most_ticks: int) -> Iterator[_Stack]:
    """One stack for every sum that one side can make, the empty sleeve included."""
    reached: dict[int, _Stack] = {0: _Stack(0, ())}
    for plate in sorted(plates, key=_inner_first):
        for stack in list(reached.values()):
            _grow(reached, stack, plate, most_ticks)
    yield from reached.values()


def _grow(reached: dict[int, _Stack], stack: _Stack, plate: PlatePair, most_ticks: int) -> None:
    for count in range(1, plate.pairs + 1):
        ticks = stack.ticks + count * plate.mass.ticks
        if ticks > most_ticks:
            return
        grown = _Stack(ticks, stack.plates + count * (plate,))
        known = reached.get(ticks // CLOSE_TICKS)
        if known is None or len(grown.plates) < len(known.plates):
            reached[ticks // CLOSE_TICKS] = grown


def _inner_first(plate: PlatePair) -> tuple[int, int, str]:
    """Large and heavy discs sit inside."""
    return (-plate.diameter.ticks, -plate.mass.ticks, plate.key)
