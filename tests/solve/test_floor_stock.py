"""Whatever the search asks for, no answer takes plates that the gym does not have."""

import time

import pytest
from bench.floor_classes import random_class

from heftwright.solve.floor.planner import FloorPlanner

LIMIT_S = 5.0


@pytest.mark.parametrize("seed", [10_101, 10_119, *range(10_000, 10_030)])
def test_an_answer_is_within_stock_whatever_price_it_had_to_beat(seed):
    # 10101 and 10119: the cheapest groups without counting plates cost what the best within stock
    # costs, so a tie with the price to beat must not let them through.
    master = FloorPlanner(random_class(seed)).master
    if not len(master.columns):
        pytest.skip("nobody can be placed")
    longest = int(master.columns.round_ds.max())
    best = master.solve(longest, time.monotonic() + LIMIT_S)
    for to_beat in (best.cost, best.cost + 0.0005, best.bound, best.cost - 1):
        part = master.solve(longest, time.monotonic() + LIMIT_S, to_beat)
        assert _is_within_stock(master, part)
        assert part.bound <= max(best.cost, to_beat)


def _is_within_stock(master, part):
    needs = [master.book.needs(int(column)) for column in part.chosen]
    return (
        all(sum(need[plate] for need in needs) <= pairs for plate, pairs in master.pairs.items())
        or not master.is_shared
    )
