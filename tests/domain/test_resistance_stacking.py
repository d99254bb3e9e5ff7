"""Plates for a bar load, held against trying every combination."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.catalogue import Implement
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, total
from heftwright.domain.resistance import sleeve_room
from heftwright.domain.resistance.stacking import StackError, heaviest_up_to
from heftwright.domain.stock import Bar, PlatePair

BAR = Bar("b", "Bar", Implement.STRAIGHT_BAR, Mass.kg(20), Mass.kg("2.5"), Length.mm(415))
QUARTERS = st.integers(1, 100).map(lambda n: Mass.kg(str(n / 4)))


def plate(mass: Mass, pairs: int, mm: int = 30) -> PlatePair:
    return PlatePair(f"p{mass.ticks}", mass, pairs, thickness=Length.mm(mm))


def heaviest_by_trying(plates, target: Mass) -> Mass:
    """Every number of every plate: slow, and nothing in common with the code."""
    best = Mass(0)
    for counts in product(*(range(item.pairs + 1) for item in plates)):
        side = tuple(item for item, n in zip(plates, counts, strict=True) for _ in range(n))
        mass = total([item.mass for item in side])
        fits = not side or sleeve_room(BAR, side).ticks >= 0
        if fits and BAR.empty + 2 * mass <= target:
            best = max(best, mass)
    return BAR.empty + 2 * best


@given(
    st.lists(QUARTERS, min_size=0, max_size=4, unique=True),
    st.lists(st.integers(0, 3), min_size=4, max_size=4),
    st.integers(100, 1200).map(lambda n: Mass.kg(str(n / 4))),
)
@settings(max_examples=60, deadline=None)
def test_no_other_stack_comes_nearer_from_below(masses, pairs, target):
    plates = [plate(mass, n) for mass, n in zip(masses, pairs, strict=False)]
    loaded = heaviest_up_to(BAR, plates, target)
    assert loaded.mass == heaviest_by_trying(plates, target)


@given(st.integers(1, 300).map(lambda n: Mass.kg(25) + Mass.kg(str(n))))
@settings(max_examples=40, deadline=None)
def test_no_more_plates_than_there_are_and_both_sides_alike(target):
    plates = [plate(Mass.kg(kg), 2) for kg in ("25", "10", "5", "2.5")]
    loaded = heaviest_up_to(BAR, plates, target)
    assert loaded.left == loaded.right
    assert all(loaded.left.count(item) <= item.pairs for item in plates)
    assert loaded.mass <= target


def test_a_common_load_is_made_with_few_plates_large_ones_inside():
    plates = [plate(Mass.kg(kg), 6) for kg in ("2.5", "5", "10", "20", "25")]
    loaded = heaviest_up_to(BAR, plates, Mass.kg(140))
    assert [item.mass for item in loaded.left] == [
        Mass.kg(25),
        Mass.kg(20),
        Mass.kg("10"),
        Mass.kg("2.5"),
    ]


def test_large_discs_sit_inside_even_where_a_small_one_is_heavier():
    large, dense = plate(Mass.kg(10), 1), replace(plate(Mass.kg(15), 1), diameter=Length.mm(300))
    loaded = heaviest_up_to(BAR, [dense, large], Mass.kg(75))
    assert loaded.left == (large, dense)


def test_weighed_plates_are_counted_as_weighed():
    loaded = heaviest_up_to(BAR, [plate(Mass.kg("24.87"), 2)], Mass.kg(75))
    assert loaded.mass == Mass.kg("74.74")


def test_what_does_not_fit_the_sleeve_is_not_loaded():
    thick = plate(Mass.kg(10), 6, mm=150)
    loaded = heaviest_up_to(BAR, [thick], Mass.kg(145))
    assert len(loaded.left) == 2  # 415 mm less the collar's 50 mm holds two of 150 mm


def test_plates_may_fill_the_sleeve_to_the_last_millimetre():
    loaded = heaviest_up_to(BAR, [plate(Mass.kg(10), 5, mm=73)], Mass.kg(145))
    assert len(loaded.left) == 5  # 415 mm less the collar's 50 mm is 5 × 73 mm


def test_a_bar_that_is_too_heavy_is_refused():
    with pytest.raises(StackError, match="use a lighter bar or a lighter rig"):
        heaviest_up_to(BAR, [], Mass.kg("24.99"))
