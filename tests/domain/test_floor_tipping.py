"""A bar on two supports: moments worked by hand."""

from __future__ import annotations

import pytest

from heftwright.domain.floor import FloorPlate, FloorProblemError
from heftwright.domain.floor.tipping import strip_tips, tips
from heftwright.domain.mass import Mass

PLATES = {key: FloorPlate(key, Mass.kg(key), 6) for key in ("50", "25", "20", "5")}


@pytest.mark.parametrize(
    ("heavier", "lighter", "expected"),
    [
        (36, 0, False),  # 36 × 0.30 = 10.8 against 20 × 0.55 = 11.0 kg·m
        (37, 0, True),  # 11.1
        (100, 13, True),  # 30.0 against 11.0 + 13 × 1.40 = 29.2
        (100, 14, False),  # 30.6
    ],
)
def test_a_twenty_kilogram_bar_on_a_rack(heavier, lighter, expected):
    assert tips(Mass.kg(20), Mass.kg(heavier), Mass.kg(lighter)) is expected


def test_a_wide_rack_holds_more():
    assert tips(Mass.kg(20), Mass.kg(50), Mass(0), support_half_m=0.5)
    assert not tips(Mass.kg(20), Mass.kg(50), Mass(0), support_half_m=0.65)


def test_supports_outside_the_plates_make_no_sense():
    with pytest.raises(FloorProblemError, match="measure the rack"):
        tips(Mass.kg(20), Mass.kg(20), Mass(0), support_half_m=0.9)


def test_one_plate_at_a_time_keeps_ordinary_stacks_steady():
    assert not strip_tips(Mass.kg(20), ("25", "25", "25", "5"), PLATES)


def test_one_heavy_plate_alone_tips_even_when_sides_alternate():
    assert strip_tips(Mass.kg(20), ("50",), PLATES)


def test_an_empty_bar_never_tips():
    assert not strip_tips(Mass.kg(20), (), PLATES)
