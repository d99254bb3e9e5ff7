"""What plates can make on one side, and which groups may be looked at."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.floor import FloorPlate, StackOrder
from heftwright.domain.mass import Mass
from heftwright.solve.floor.graph import MOST_NODES, load_graph
from heftwright.solve.floor.subsets import (
    Company,
    binomials,
    bipartitions,
    levels,
    likely_groups,
    ranks,
    windows_of,
)

KG = 10**11


def kinds(*rows) -> list[FloorPlate]:
    return [FloorPlate(mass, Mass.kg(mass), pairs, full) for mass, pairs, full in rows]


def sums(plates, heaviest_kg, *, from_floor):
    found = set()
    for counts in product(*(range(plate.pairs + 1) for plate in plates)):
        total = sum(n * plate.mass.ticks for n, plate in zip(counts, plates, strict=True))
        stands = any(n and plate.is_full_diameter for n, plate in zip(counts, plates, strict=True))
        if total <= heaviest_kg * KG and (stands or not total or not from_floor):
            found.add(total)
    return found


@settings(max_examples=30, deadline=None)
@given(
    pairs=st.tuples(*[st.integers(0, 2)] * 4),
    from_floor=st.booleans(),
    order=st.sampled_from(StackOrder),
)
def test_the_graph_holds_every_load_that_plates_make_and_no_other(pairs, from_floor, order):
    rows = zip(("20.05", "15.02", "10", "2.5"), pairs, (True, True, True, False), strict=True)
    plates = kinds(*rows)
    graph = load_graph(plates, 60 * KG, order, from_floor=from_floor)
    assert graph.is_complete
    assert set(graph.ticks.tolist()) == sums(plates, 60, from_floor=from_floor)


def test_an_edge_adds_exactly_its_plate():
    graph = load_graph(
        kinds(("20.05", 4, True), ("5", 4, False)), 60 * KG, StackOrder.FREE, from_floor=True
    )
    for plate, row in enumerate(graph.after):
        for before, after in enumerate(row):
            if after >= 0:
                gained = graph.ticks[after] - graph.ticks[before]
                assert gained == graph.plates[plate].mass.ticks


def test_heavy_inside_knows_the_outermost_plate():
    plates = kinds(("20", 2, True), ("10", 2, True))
    ordered = load_graph(plates, 40 * KG, StackOrder.HEAVY_INSIDE, from_floor=True)
    after_small = [node for node in range(ordered.size) if ordered.ticks[node] == 10 * KG]
    assert after_small
    assert all(ordered.after[0, node] < 0 for node in after_small)


def test_too_many_odd_masses_are_thinned_but_stay_exact():
    masses = ("25.013", "20.007", "14.989", "10.031", "4.977", "2.513", "1.247", "0.501")
    plates = kinds(*((mass, 8, float(mass) > 9) for mass in masses))
    graph = load_graph(plates, 120 * KG, StackOrder.FREE, from_floor=True)
    assert not graph.is_complete
    assert graph.size <= MOST_NODES
    for plate, row in enumerate(graph.after):
        for before in np.flatnonzero(row >= 0):
            gained = graph.ticks[row[before]] - graph.ticks[before]
            assert gained == graph.plates[plate].mass.ticks


def test_no_plates_leave_the_empty_bar():
    graph = load_graph([], 60 * KG, StackOrder.FREE, from_floor=True)
    assert graph.ticks.tolist() == [0]


@pytest.mark.parametrize("size", [1, 2, 3, 4])
def test_every_group_has_its_own_rank(size):
    members = np.array(list(combinations(range(7), size)), np.int64)
    found = ranks(members, binomials(7, size))
    assert sorted(found.tolist()) == list(range(len(members)))


def test_groups_share_a_set_up_and_may_meet():
    masks = np.array([0b01, 0b11, 0b10, 0b11], np.uint64)
    meet = np.ones((4, 4), bool)
    meet[1, 3] = meet[3, 1] = False
    grown = levels(Company.of_anyone(masks, meet), 3)
    pairs = {tuple(row) for row in grown[1].members.tolist()}
    assert pairs == {(0, 1), (0, 3), (1, 2), (2, 3)}
    assert len(grown[2].members) == 0


def test_near_groups_hold_few_strangers_and_all_their_subsets():
    masks = np.ones(8, np.uint64)
    outside = np.array([[0, 0, 0, 0, 1, 1, 1, 1], [1, 1, 1, 1, 0, 0, 0, 0]])
    company = Company(masks, np.ones((8, 8), bool), outside, strangers=1)
    grown = levels(company, 4)
    kept = {tuple(row) for level in grown for row in level.members.tolist()}
    assert (0, 1, 2, 4) in kept
    assert (0, 1, 4, 5) not in kept
    for group in kept:
        for size in range(1, len(group)):
            assert all(part in kept for part in combinations(group, size))


def test_windows_cover_everybody_and_overlap():
    order = np.array([3, 1, 4, 0, 2, 5])
    outside = windows_of(order, 4)
    assert (outside == 0).any(axis=0).all()
    assert ((outside == 0).sum(axis=1) == 4).all()


def test_an_open_class_has_about_all_groups():
    anyone = Company.of_anyone(np.ones(10, np.uint64), np.ones((10, 10), bool))
    assert likely_groups(anyone, 5) == pytest.approx(252)
    assert likely_groups(Company.of_anyone(np.ones(1, np.uint64), np.ones((1, 1), bool)), 5) == 0


def test_a_group_of_five_parts_in_fifteen_ways():
    assert [len(bipartitions(size)) for size in (2, 3, 4, 5)] == [1, 3, 7, 15]
    for first, second in bipartitions(4):
        assert 0 in first
        assert sorted(first + second) == [0, 1, 2, 3]
