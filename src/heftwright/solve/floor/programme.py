"""The exact dynamic programme over groups and loads.

``below[S, i]`` is the least price a round of everything below load ``i`` on the bar that serves
the lifters S: all of S stop here on one stack, or one more plate goes on, or S splits into two
parts that branch here. The cheapest plan of a group then climbs once, for the whole class, to the
load where its stacks part. Each value also carries its own change time in its low bits, so that
the clock comes with the price; between equal prices the shorter change wins.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from heftwright.solve.floor.graph import LoadGraph
from heftwright.solve.floor.subsets import Company, Level, binomials, bipartitions, levels, ranks

Ints = NDArray[np.int64]
Values = NDArray[np.signedinteger[Any]]
NEVER_DS = 10_000_000
CHUNK_VALUES = 200_000


@dataclass(frozen=True, slots=True)
class Packing:
    """How price and change time share one number.

    Parameters
    ----------
    bits : int
        Low bits that hold the change time [ds].
    never_ds : int
        Price that stands for "impossible"; above any real price of a round [ds].
    width : type
        Integer type of a value.
    """

    bits: int
    never_ds: int
    width: type[np.int32] | type[np.int64]

    @property
    def never(self) -> int:
        """The packed "impossible"."""
        return self.never_ds << self.bits

    def packed(self, price_ds: Ints, change_ds: Ints | int = 0) -> Values:
        """Prices with their change times."""
        return ((price_ds << self.bits) + change_ds).astype(self.width)


NARROW = Packing(13, 40_000, np.int32)
WIDE = Packing(26, NEVER_DS, np.int64)


@dataclass(frozen=True, slots=True)
class Prices:
    """Prices of one class slot in whole tenths of a second.

    Parameters
    ----------
    rounds : int
        Sets in the class.
    edges, edge_ds : array
        Price, and time, of putting each kind of plate on and taking it off [ds].
    collars, collars_ds : int
        Price, and time, of each distinct stack in a round [ds].
    """

    rounds: int
    edges: Ints
    edge_ds: Ints
    collars: int
    collars_ds: int

    def packing(self, plates_a_stack: int, largest: int, worst_deviation: int) -> Packing:
        """Narrow numbers where the dearest thinkable round fits them, wide ones elsewhere."""
        leaves = largest * plates_a_stack
        dearest = leaves * int(self.edges.max(initial=0)) + largest * (
            self.collars + worst_deviation
        )
        longest = leaves * int(self.edge_ds.max(initial=0)) + largest * self.collars_ds
        fits = dearest < NARROW.never_ds and longest < 1 << NARROW.bits
        return NARROW if fits else WIDE


class GroupProgramme:
    """All groups of some lifters at one kind of bar, with their least prices.

    Parameters
    ----------
    graph : LoadGraph
        Loads of one side.
    deviations : array
        ``[lifter, node]`` price a round of that load [ds]; ``NEVER_DS`` outside the window.
    prices : Prices
        Of plates and collars.
    company : Company
        Who may share a platform.
    largest : int
        Largest group.
    """

    def __init__(
        self,
        graph: LoadGraph,
        deviations: Ints,
        prices: Prices,
        company: Company,
        largest: int,
    ) -> None:
        self.graph = graph
        self.prices = prices
        self.deviations = deviations
        inside = deviations[deviations < NEVER_DS]
        self.packing = prices.packing(_deepest(graph), largest, int(inside.max(initial=0)))
        self.never = self.packing.width(self.packing.never)
        self.edges = self.packing.packed(prices.edges, prices.edge_ds)
        self.collars = self.packing.packed(np.array(prices.collars), prices.collars_ds)
        self.stop = self.packing.packed(np.minimum(deviations, self.packing.never_ds))
        self.choose = binomials(len(deviations), largest)
        self.levels = levels(company, largest)
        self.is_complete = graph.is_complete and not len(company.outside)
        self.climb, self.climbed_by = self._climb()
        self.below: list[Values] = []
        self.price: list[Ints] = []
        self.change_ds: list[Ints] = []
        self.fork: list[Ints] = []
        for size in range(1, len(self.levels) + 1):
            self._fill(size, is_last=size == len(self.levels))

    def _climb(self) -> tuple[Ints, Ints]:
        """Least price to reach each load once from the empty bar, and the last plate."""
        climb = np.full(self.graph.size, NEVER_DS, np.int64)
        climb[0] = 0
        by = np.full(self.graph.size, -1, np.int64)
        source = np.full(self.graph.size, -1, np.int64)
        for node in range(self.graph.size):
            for plate, target in enumerate(self.graph.after[:, node]):
                price = climb[node] + self.prices.edges[plate]
                if target >= 0 and price < climb[target]:
                    climb[target], by[target], source[target] = price, plate, node
        return climb, np.stack([by, source])

    def _fill(self, size: int, *, is_last: bool) -> None:
        level = self.levels[size - 1]
        count = len(level.members)
        price = np.empty(count, np.int64)
        change_ds = np.empty(count, np.int64)
        fork = np.empty(count, np.int64)
        below = np.empty((0 if is_last else count, self.graph.size), self.packing.width)
        step = max(64, CHUNK_VALUES // self.graph.size)
        for start in range(0, count, step):
            rows = slice(start, start + step)
            members = level.members[rows]
            stop = self._stop_together(members)
            split = self._split(members)
            # nobody differs at a single stack: no collars
            alone = stop if split is None else np.minimum(stop, split)
            price[rows], change_ds[rows], fork[rows] = self._best_fork(alone)
            if not is_last:
                below[rows] = self._chain(self._with_collars(stop, split))
        self.below.append(below)
        self.price.append(price)
        self.change_ds.append(change_ds)
        self.fork.append(fork)

    def _with_collars(self, stop: Values, split: Values | None) -> Values:
        stopped: Values = np.minimum(stop + self.collars, self.never)
        return stopped if split is None else np.minimum(stopped, split)

    def _stop_together(self, members: Ints) -> Values:
        total: Values = self.stop[members[:, 0]].copy()
        for place in range(1, members.shape[1]):
            np.add(total, self.stop[members[:, place]], out=total)
            np.minimum(total, self.never, out=total)
        return total

    def _split(self, members: Ints) -> Values | None:
        best: Values | None = None
        for first, second in bipartitions(members.shape[1]):
            both = self.rows_below(members[:, first]) + self.rows_below(members[:, second])
            best = both if best is None else np.minimum(best, both, out=best)
        return None if best is None else np.minimum(best, self.never, out=best)

    def rows_below(self, members: Ints) -> Values:
        """Values below every load for these subsets."""
        size = members.shape[1]
        rows = self.levels[size - 1].row_of[ranks(members, self.choose)]
        values: Values = self.below[size - 1][rows]
        return values

    def _chain(self, values: Values) -> Values:
        """Let one more plate go on, heaviest loads first."""
        by_node = np.ascontiguousarray(values.T)
        for node in range(self.graph.size - 1, -1, -1):
            for plate, target in enumerate(self.graph.after[:, node]):
                if target >= 0:
                    np.minimum(
                        by_node[node], by_node[target] + self.edges[plate], out=by_node[node]
                    )
        return by_node.T

    def _best_fork(self, alone: Values) -> tuple[Ints, Ints, Ints]:
        """Least price of the class, its change a round, and the load where the stacks part."""
        total = self.climb[None, :] + self.prices.rounds * (alone >> self.packing.bits).astype(
            np.int64
        )
        fork = total.argmin(axis=1)
        place = np.arange(len(fork))
        return (
            total[place, fork],
            (alone[place, fork] & ((1 << self.packing.bits) - 1)).astype(np.int64),
            fork,
        )

    def level(self, size: int) -> Level:
        """Groups of one size."""
        return self.levels[size - 1]


def _deepest(graph: LoadGraph) -> int:
    """Fewest plates that reach the load which needs most of them."""
    plates = np.full(graph.size, graph.size, np.int64)
    plates[0] = 0
    for node in range(graph.size):
        for target in graph.after[:, node]:
            if target >= 0:
                plates[target] = min(plates[target], plates[node] + 1)
    return int(plates.max(initial=0))
