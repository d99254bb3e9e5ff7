"""What one bar can make of the gym's plates, and what it takes to get from load to load."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.catalogue import Implement
from heftwright.domain.dose.bar_ladder import bar_ladder, plate_moves
from heftwright.domain.dose.ramp import RampError
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.stock import Bar, PlatePair


def a_bar(kg="20", sleeve_mm="415", collar="0"):
    return Bar(
        "bar", "Bar", Implement.STRAIGHT_BAR, Mass.kg(kg), Mass.kg(collar), Length.mm(sleeve_mm)
    )


def plates(**pairs):
    """``k20=2``: two pairs of 20 kg; ``_`` stands for the point."""
    return [
        PlatePair(key, Mass.kg(key[1:].replace("_", ".")), count, thickness=Length.mm("30"))
        for key, count in pairs.items()
    ]


def test_the_ladder_of_two_kinds_is_every_sum_of_pairs():
    ladder = bar_ladder(a_bar(), plates(k20=1, k5=2), 200)
    assert ladder.loads_kg == (20, 30, 40, 60, 70, 80)


def test_collars_stay_on_the_empty_bar():
    assert bar_ladder(a_bar(collar="2.5"), plates(k10=1), 100).loads_kg == (25, 45)


def test_no_load_is_longer_than_the_sleeve():
    ladder = bar_ladder(a_bar(sleeve_mm="60"), plates(k20=5), 400)
    assert ladder.loads_kg == (20, 60, 100)


def test_no_load_passes_the_heaviest_that_is_wanted():
    assert max(bar_ladder(a_bar(), plates(k20=5, k1_25=1), 103).loads_kg) == 102.5


def test_thirteen_kinds_of_plates_are_too_many():
    many = plates(**{f"k{kg}": 1 for kg in range(1, 14)})
    with pytest.raises(RampError, match="at most 12"):
        bar_ladder(a_bar(), many, 100)


def test_adding_a_plate_moves_one_at_each_end():
    assert plate_moves(a_bar(), plates(k20=2, k10=1), (60, 80)) == (2, 2)


def test_a_swap_takes_off_and_puts_on():
    # 20 kg plates off, 25 kg plates on: two of each, both ends counted
    assert plate_moves(a_bar(), plates(k25=1, k20=1), (60, 70)) == (2, 4)


def test_a_stack_is_chosen_for_what_comes_after_it():
    # 60 kg as 2 × 10 and not 1 × 20, because 40 came first and nothing comes off
    assert plate_moves(a_bar(), plates(k20=1, k10=2), (40, 60)) == (2, 2)


def test_a_load_that_cannot_be_made_is_refused():
    with pytest.raises(RampError, match="cannot make 47"):
        plate_moves(a_bar(), plates(k10=2), (47,))


@settings(max_examples=60, deadline=None)
@given(
    pairs=st.lists(st.integers(0, 3), min_size=4, max_size=4),
    picks=st.lists(st.integers(0, 10_000), min_size=1, max_size=3),
)
def test_every_rung_is_a_sum_and_moves_are_the_fewest_that_any_stacks_need(pairs, picks):
    kinds = plates(**dict(zip(("k25", "k15", "k10", "k2_5"), pairs, strict=True)))
    bar = a_bar(sleeve_mm="900")
    ladder = bar_ladder(bar, kinds, 500)
    every = list(product(*(range(count + 1) for count in pairs)))
    weights = (25, 15, 10, 2.5)
    sums = {20 + 2 * sum(w * n for w, n in zip(weights, stack, strict=True)) for stack in every}
    assert set(ladder.loads_kg) == sums
    loads = [ladder.loads_kg[pick % len(ladder.loads_kg)] for pick in picks]
    assert sum(plate_moves(bar, kinds, loads)) == _fewest(every, weights, loads)


def _fewest(every, weights, loads):
    """By brute force over all ways to stack every load."""
    best = {(0,) * len(weights): 0}
    for load in loads:
        fit = [
            s for s in every
            if 20 + 2 * sum(w * n for w, n in zip(weights, s, strict=True)) == load
        ]  # fmt: skip
        best = {s: min(cost + _moved(old, s) for old, cost in best.items()) for s in fit}
    return min(best.values())


def _moved(old, new):
    """Largest plates inside: from the first difference on, everything comes off."""
    a = [kind for kind, count in enumerate(old) for _ in range(count)]
    b = [kind for kind, count in enumerate(new) for _ in range(count)]
    kept = 0
    while kept < min(len(a), len(b)) and a[kept] == b[kept]:
        kept += 1
    return 2 * (len(a) + len(b) - 2 * kept)
