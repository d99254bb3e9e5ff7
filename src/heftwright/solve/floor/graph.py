"""The graph of loads that plates can make on one side of a bar.

A node is an exact mass of plates a side (with the outermost plate where heavy plates must stay
inside, and with the count of scarce plates); an edge puts one more plate on. Masses are whole
ticks, so odd weighed masses and pounds are as exact as a 1.25 kg grid. Where too many distinct
masses exist, one exact mass is kept in each narrow cell: every kept load is still exact, some
stacks are merely not considered (``is_complete`` says so).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from heftwright.domain.floor.policy import StackOrder
from heftwright.domain.floor.problem import FloorPlate

Ints = NDArray[np.int64]
MOST_NODES = 640
CELLS = 240
SCARCE_PAIRS = 3
_NO_PLATE = -1

MM_PARTS = 10

_Key = tuple[int, int, tuple[int, ...], int]


@dataclass(frozen=True, slots=True)
class LoadGraph:
    """Loads of one side and the plates that lead from one to the next.

    Parameters
    ----------
    plates : tuple of FloorPlate
        Kinds at hand, heaviest first.
    ticks : array
        Mass of plates a side of each node [10 ng], ascending; node 0 is the empty bar.
    after : array
        ``after[p, i]`` is the node after putting plate ``p`` on node ``i``, or −1.
    is_complete : bool
        Whether every mass that plates can make is a node.
    """

    plates: tuple[FloorPlate, ...]
    ticks: Ints
    after: Ints
    is_complete: bool

    @property
    def size(self) -> int:
        """Number of nodes."""
        return len(self.ticks)


def load_graph(
    plates: Sequence[FloorPlate],
    heaviest_side: int,
    order: StackOrder,
    *,
    from_floor: bool,
    counted: frozenset[str] = frozenset(),
    sleeve_mm: float | None = None,
) -> LoadGraph:
    """All loads of one side up to ``heaviest_side`` [10 ng].

    Parameters
    ----------
    plates : sequence of FloorPlate
        Kinds tonight.
    heaviest_side : int
        No stack above this is looked at [10 ng].
    order : StackOrder
        Whether heavier plates must be inside lighter ones.
    from_floor : bool
        Whether the first plate must be full diameter.
    counted : frozenset of str
        Plates whose pairs are counted even where running out looks unlikely.
    sleeve_mm : float or None
        Sleeve that every stack must fit [mm]; None: not looked at.
    """
    kinds = sorted((kind for kind in plates if kind.pairs), key=lambda kind: -kind.mass.ticks)
    builder = _Builder(kinds, heaviest_side, order, from_floor=from_floor)
    builder.count(counted)
    builder.sleeve = None if sleeve_mm is None else int(sleeve_mm * MM_PARTS + 1e-6)
    keys, edges = builder.grow(cell=1)
    while len(keys) > MOST_NODES and builder.count_one_less(counted):
        keys, edges = builder.grow(cell=1)
    is_complete = len(keys) <= MOST_NODES
    if not is_complete:
        keys, edges = builder.grow(cell=max(1, heaviest_side // CELLS))
    return _as_arrays(tuple(kinds), keys, edges, is_complete=is_complete)


def _as_arrays(
    plates: tuple[FloorPlate, ...],
    keys: list[_Key],
    edges: list[tuple[int, int, int]],
    *,
    is_complete: bool,
) -> LoadGraph:
    ascending = sorted(range(len(keys)), key=lambda node: keys[node])
    place = {node: rank for rank, node in enumerate(ascending)}
    after = np.full((len(plates), len(keys)), _NO_PLATE, dtype=np.int64)
    for plate, before, node in edges:
        after[plate, place[before]] = place[node]
    ticks = np.array([keys[node][0] for node in ascending], dtype=np.int64)
    return LoadGraph(plates, ticks, after, is_complete)


class _Builder:
    """Breadth-first growth, fewest plates first."""

    def __init__(
        self, kinds: list[FloorPlate], heaviest_side: int, order: StackOrder, *, from_floor: bool
    ) -> None:
        self.kinds = kinds
        self.heaviest_side = heaviest_side
        self.order = order
        self.from_floor = from_floor
        self.sleeve: int | None = None
        self.scarce = [kind for kind in range(len(kinds)) if self._is_scarce(kind)]

    def count(self, keys: frozenset[str]) -> None:
        """Counts the pairs of these plates too."""
        named = {kind for kind, plate in enumerate(self.kinds) if plate.key in keys}
        self.scarce = sorted(named | set(self.scarce))

    def count_one_less(self, kept: frozenset[str]) -> bool:
        """Stops counting the scarce plate of which there are most; False when none is left."""
        loose = [kind for kind in self.scarce if self.kinds[kind].key not in kept]
        if loose:
            self.scarce.remove(max(loose, key=lambda kind: self.kinds[kind].pairs))
        return bool(loose)

    def _is_scarce(self, kind: int) -> bool:
        """Whether a useful stack could ask for more of a plate than there is.

        More than a few of a plate that is not the heaviest are always dearer than heavier ones.
        """
        plate = self.kinds[kind]
        fits = self.heaviest_side // plate.mass.ticks
        return plate.pairs < fits and (kind == 0 or plate.pairs <= SCARCE_PAIRS)

    def grow(self, cell: int) -> tuple[list[_Key], list[tuple[int, int, int]]]:
        """Nodes in the order found, and edges (plate, from, to); stops when far too many."""
        start: _Key = (0, _NO_PLATE, tuple(self.kinds[kind].pairs for kind in self.scarce), 0)
        keys = [start]
        found: dict[_Key, int] = {self._cell_of(start, cell): 0}
        edges = []
        node = 0
        while node < len(keys) and len(keys) <= 4 * MOST_NODES:
            for plate, key in self._next(keys[node]):
                in_cell = self._cell_of(key, cell)
                other = found.get(in_cell)
                if other is None:
                    other = found[in_cell] = len(keys)
                    keys.append(key)
                if keys[other] == key:
                    edges.append((plate, node, other))
            node += 1
        return keys, edges

    @staticmethod
    def _cell_of(key: _Key, cell: int) -> _Key:
        return key[0] // cell, key[1], key[2], key[3]

    def _next(self, key: _Key) -> list[tuple[int, _Key]]:
        ticks, outer, left, taken = key
        is_empty = ticks == 0
        options = []
        for kind, plate in enumerate(self.kinds):
            heavier = ticks + plate.mass.ticks
            if heavier > self.heaviest_side:
                continue
            if is_empty and self.from_floor and not plate.is_full_diameter:
                continue
            if kind < outer:
                continue
            if kind in self.scarce and not left[self.scarce.index(kind)]:
                continue
            wider = taken + self._width(plate)
            if self.sleeve is not None and wider > self.sleeve:
                continue
            options.append((kind, (heavier, self._outer(kind), self._left(left, kind), wider)))
        return options

    def _width(self, plate: FloorPlate) -> int:
        """Tenths of a millimetre of sleeve; 0 where the sleeve is not looked at."""
        return 0 if self.sleeve is None else round(MM_PARTS * plate.thickness_mm)

    def _outer(self, kind: int) -> int:
        return kind if self.order is StackOrder.HEAVY_INSIDE else _NO_PLATE

    def _left(self, left: tuple[int, ...], kind: int) -> tuple[int, ...]:
        if kind not in self.scarce:
            return left
        place = self.scarce.index(kind)
        return (*left[:place], left[place] - 1, *left[place + 1 :])
