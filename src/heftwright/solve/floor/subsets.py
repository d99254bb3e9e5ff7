"""All groups that may share a platform, level by level, with fast look-up of their subsets."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import comb

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Level:
    """All allowed groups of one size.

    Parameters
    ----------
    members : array
        One row a group, ascending places of its lifters.
    masks : array
        Set-ups that suit everybody in the group, as bits.
    row_of : array
        Row by rank of the group among all groups of this size, or −1.
    """

    members: Ints
    masks: NDArray[np.uint64]
    row_of: NDArray[np.int32]


def binomials(count: int, size: int) -> Ints:
    """``table[i, k]`` = i choose k."""
    return np.array([[comb(i, k) for k in range(size + 1)] for i in range(count + 1)], np.int64)


def ranks(members: Ints, choose: Ints) -> Ints:
    """Rank of ascending rows in the order of their largest, then next largest … member."""
    size = members.shape[1]
    rank = np.zeros(len(members), np.int64)
    for place in range(size):
        rank += choose[members[:, place], place + 1]
    return rank


@dataclass(frozen=True, slots=True)
class Company:
    """Who may share a platform.

    Parameters
    ----------
    masks : array
        Set-ups of each lifter, as bits.
    may_meet : array
        Symmetric: whether two lifters may share a platform.
    outside : array
        ``[old group, lifter]`` 1 where a lifter belongs elsewhere; no rows: all is open.
    strangers : int
        How many from elsewhere a group may hold, seen from the old group that it is nearest to.
    """

    masks: NDArray[np.uint64]
    may_meet: NDArray[np.bool_]
    outside: Ints
    strangers: int = 0

    @classmethod
    def of_anyone(cls, masks: NDArray[np.uint64], may_meet: NDArray[np.bool_]) -> Company:
        """No old groups to keep to."""
        return cls(masks, may_meet, np.zeros((0, len(masks)), np.int64))


def windows_of(order: Ints, width: int) -> Ints:
    """Old groups that stand for neighbours: each row marks who is outside a run of ``order``."""
    count = len(order)
    starts = [*range(0, max(1, count - width), max(1, width // 4)), max(0, count - width)]
    outside = np.ones((len(starts), count), np.int64)
    for row, start in enumerate(starts):
        outside[row, order[start : start + width]] = 0
    return outside


def likely_groups(company: Company, largest: int) -> float:
    """About how many groups of the largest size there are, from the share of pairs that suit."""
    count = len(company.masks)
    if count < 2:
        return 0.0
    suit = (company.masks[:, None] & company.masks[None, :]) != 0
    np.fill_diagonal(suit, val=False)
    share = float((suit & company.may_meet).sum()) / (count * (count - 1))
    return float(comb(count, largest) * share ** (largest + 1))


def levels(company: Company, largest: int) -> list[Level]:
    """Groups of size 1 … ``largest`` whose lifters have a set-up in common and may meet."""
    count = len(company.masks)
    choose = binomials(count, largest)
    members = np.arange(count, dtype=np.int64)[:, None]
    grown = [_level(members, company.masks, choose)]
    while len(grown) < largest and len(grown[-1].members):
        grown.append(_grow(grown[-1], company, choose))
    return grown


def _grow(level: Level, company: Company, choose: Ints) -> Level:
    count = len(company.masks)
    allowed = level.members[:, -1][:, None] < np.arange(count)[None, :]
    allowed &= (level.masks[:, None] & company.masks[None, :]) != 0
    for place in range(level.members.shape[1]):
        allowed &= company.may_meet[level.members[:, place]]
    row, extra = np.nonzero(allowed)
    members = np.concatenate([level.members[row], extra[:, None]], axis=1)
    kept = _near(members, company)
    return _level(members[kept], (level.masks[row] & company.masks[extra])[kept], choose)


def _near(members: Ints, company: Company) -> NDArray[np.bool_]:
    """Groups with few enough strangers; closed under leaving somebody out."""
    if not len(company.outside):
        return np.ones(len(members), bool)
    strangers = np.full(len(members), members.shape[1], np.int64)
    for elsewhere in company.outside:
        np.minimum(strangers, elsewhere[members].sum(axis=1), out=strangers)
    near: NDArray[np.bool_] = strangers <= company.strangers
    return near


def _level(members: Ints, masks: NDArray[np.uint64], choose: Ints) -> Level:
    size = members.shape[1]
    row_of = np.full(int(choose[len(choose) - 1, size]) or 1, -1, np.int32)
    row_of[ranks(members, choose)] = np.arange(len(members), dtype=np.int32)
    return Level(members, masks, row_of)


@cache
def bipartitions(size: int) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Ways to split places 0 … size−1 in two; the first part holds place 0."""
    splits = []
    for bits in range(2 ** (size - 1) - 1):
        chosen = (0, *(place for place in range(1, size) if bits >> (place - 1) & 1))
        splits.append((chosen, tuple(place for place in range(size) if place not in chosen)))
    return splits
