"""From a group's least price back to its stacks."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from heftwright.solve.floor.programme import GroupProgramme
from heftwright.solve.floor.subsets import bipartitions

Path = tuple[int, ...]
Group = tuple[int, ...]


class TraceError(RuntimeError):
    """The programme's values and its moves disagree: a fault of ours, never of the data."""


def stacks_of(programme: GroupProgramme, size: int, row: int) -> dict[int, Path]:
    """Plates (places in the graph, inner to outer) of each lifter of a group."""
    group = tuple(int(member) for member in programme.level(size).members[row])
    fork = int(programme.fork[size - 1][row])
    return _Tracer(programme).at_fork(group, fork, _climb_to(programme, fork))


def _climb_to(programme: GroupProgramme, node: int) -> Path:
    path: list[int] = []
    plate_of, source_of = programme.climbed_by
    while node:
        path.append(int(plate_of[node]))
        node = int(source_of[node])
    return tuple(reversed(path))


class _Tracer:
    def __init__(self, programme: GroupProgramme) -> None:
        self.programme = programme

    def at_fork(self, group: Group, node: int, path: Path) -> dict[int, Path]:
        """Stacks above the common stack: all alike, or split here."""
        stop = self._stop(group, node)
        split = self._best_split(group, node)
        if split is None or stop <= split[0]:
            return dict.fromkeys(group, path)
        return self._both(split[1], split[2], node, path)

    def _both(self, first: Group, second: Group, node: int, path: Path) -> dict[int, Path]:
        return self._below(first, node, path) | self._below(second, node, path)

    def _below(self, group: Group, node: int, path: Path) -> dict[int, Path]:
        """Stacks of a group served at this node or further up, price as in the table."""
        price = self._value(group, node)
        if self._stop(group, node) + int(self.programme.collars) == price:
            return dict.fromkeys(group, path)
        split = self._best_split(group, node)
        if split is not None and split[0] == price:
            return self._both(split[1], split[2], node, path)
        for plate, target in enumerate(self.programme.graph.after[:, node]):
            if target < 0:
                continue
            if self._value(group, int(target)) + int(self.programme.edges[plate]) == price:
                return self._below(group, int(target), (*path, plate))
        raise TraceError(f"no move explains the price of group {group} at load {node}")

    def _stop(self, group: Group, node: int) -> int:
        return int(sum(int(self.programme.stop[member, node]) for member in group))

    def _value(self, group: Group, node: int) -> int:
        return int(self.programme.rows_below(_row(group))[0, node])

    def _best_split(self, group: Group, node: int) -> tuple[int, Group, Group] | None:
        best: tuple[int, Group, Group] | None = None
        for first, second in bipartitions(len(group)):
            one = tuple(group[place] for place in first)
            other = tuple(group[place] for place in second)
            price = self._value(one, node) + self._value(other, node)
            if best is None or price < best[0]:
                best = price, one, other
        return best


def _row(group: Group) -> NDArray[np.int64]:
    return np.array([group], np.int64)
