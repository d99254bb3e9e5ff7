"""Load along the path: two independent counts agree, parts add up, and change is told."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from resistance_gear import band, chain, two_reading_band

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.resistance import by_hand
from heftwright.domain.resistance.band_laws import PowerLaw, RubberLaw
from heftwright.domain.resistance.bands import BandCurve, BandModel, fit_band
from heftwright.domain.resistance.bar_path import BarPath
from heftwright.domain.resistance.load import (
    LoadCurveError,
    StraightPolicy,
    change,
    load_along,
    straight_kg,
    tension_grid,
    total_sd_kg,
)
from heftwright.domain.resistance.rigs import BandPart, ChainPart, band_part, chain_part, set_up
from heftwright.domain.stock import Chain, RigKind

PULL = BarPath(0.225, 0.807, 0.0222, "from stature", (("floor", 0.225), ("lockout", 0.807)))
# Exactly at rest the last binary digit of the length decides between 0 and a few milligrams.
SLACK_EDGE_KG = 1e-5
SHORT = band((0.40, 12), (0.60, 25), (0.80, 37), rest_m=0.30, key="short")

laws = st.one_of(
    st.builds(PowerLaw, st.floats(0.2, 1.4), st.floats(0, 120), st.floats(0.4, 1.0)),
    st.builds(RubberLaw, st.floats(0.2, 1.4), st.floats(0, 80), st.floats(0, 80)),
)


def curve_of(its_laws):
    return BandCurve("b", "b", BandModel.RUBBER, its_laws, 1.0, 2.0, (1.3, 1.9), 0.025)


band_parts = st.builds(
    lambda its_laws, rig, height, offset, pairs: BandPart(
        SHORT, curve_of(its_laws), rig, height, offset, pairs
    ),
    st.one_of(st.tuples(laws), st.tuples(laws, laws)),
    st.sampled_from(RigKind),
    st.floats(0, 2.6),
    st.floats(0, 0.6),
    st.integers(1, 3),
)
chain_parts = st.builds(
    lambda mu, length, leader_kg, strands, leader_m, pairs, floor_m: ChainPart(
        Chain(
            "c", "c", 3, Mass.nearest_kg(mu), Length.nearest_m(length), Mass.nearest_kg(leader_kg)
        ),
        strands,
        leader_m,
        pairs,
        floor_m,
    ),
    st.floats(0.3, 6.0),
    st.floats(0.2, 4.0),
    st.floats(0, 3),
    st.sampled_from([1, 2]),
    st.floats(0, 1.2),
    st.integers(1, 3),
    st.floats(0, 0.3),
)
setups = st.lists(st.one_of(band_parts, chain_parts), min_size=1, max_size=4).map(
    lambda parts: set_up(*parts)
)


# --- two independently written counts (trust.md H2) -------------------------------------------


@settings(max_examples=150)
@given(setups, st.floats(0, 400), st.lists(st.floats(0, 3), min_size=20, max_size=20))
def test_the_fast_count_and_the_count_by_hand_agree(setup, bar_kg, heights):
    # trust.md H2; the long run of a million cases is in bench/.
    fast = bar_kg + setup.tension_kg(heights)
    slow = [by_hand.load_at(bar_kg, setup, height) for height in heights]
    assert fast == pytest.approx(slow, rel=1e-9, abs=SLACK_EDGE_KG)


@given(setups, st.floats(0, 400))
def test_the_curve_drawn_is_the_count_by_hand_at_every_height(setup, bar_kg):
    curve = load_along(bar_kg, setup, PULL, points=7)
    slow = [by_hand.load_at(bar_kg, setup, height) for height in curve.heights_m]
    assert curve.total_kg == pytest.approx(slow, rel=1e-9, abs=SLACK_EDGE_KG)


def test_by_hand_straight_weight_is_the_bar():
    assert by_hand.load_at(140.0, None, 0.5) == 140.0


def test_the_two_counts_would_notice_a_forgotten_side():
    # The control arm: the comparison bites.
    setup = set_up(band_part(SHORT))
    one_side = 100 + float(setup.tension_kg(0.7)) / 2
    assert one_side != pytest.approx(by_hand.load_at(100, setup, 0.7), rel=1e-3)


@given(setups, st.floats(0, 400))
def test_the_parts_shown_add_up_to_the_total_shown(setup, bar_kg):
    # trust.md H2.
    curve = load_along(bar_kg, setup, PULL)
    sums = np.sum([part.kg for part in curve.parts], axis=0)
    assert curve.total_kg == pytest.approx(sums, rel=1e-12, abs=1e-12)
    assert curve.parts[0].name == "bar"
    assert len(curve.parts) == 1 + len(setup.parts)


@given(setups, st.floats(0, 400))
def test_the_mean_is_the_mean_of_a_finely_drawn_curve(setup, bar_kg):
    fine = load_along(bar_kg, setup, PULL, points=4001)
    trapezoid = np.mean((np.array(fine.total_kg[1:]) + np.array(fine.total_kg[:-1])) / 2)
    assert fine.mean_kg == pytest.approx(trapezoid, rel=2e-3, abs=5e-2)


# --- what is drawn ---------------------------------------------------------------------------


def test_straight_weight_is_the_same_all_the_way_and_certain():
    curve = load_along(140, None, PULL, points=3)
    assert curve.heights_m == pytest.approx((0.225, 0.516, 0.807))
    assert curve.total_kg == curve.bar_kg == (140, 140, 140)
    assert curve.sd_kg == (0, 0, 0)
    assert (curve.mean_kg, curve.bottom_kg, curve.top_kg, curve.top_sd_kg) == (140, 140, 140, 0)
    assert curve.unload_ratio == 0


def test_a_chain_unloads_by_what_lies_down():
    # Weight in the air: 0.225 of 0.807 m is left hanging at the bottom.
    curve = load_along(100, set_up(chain_part(chain())), PULL)
    assert curve.unload_ratio == pytest.approx(1 - 0.225 / 0.807)


def test_half_way_up_the_height_is_as_unsure_as_the_mean_of_both_ends():
    press = BarPath(1.40, 2.00, 0.04, "from stature", (), start_sd_m=0.01)
    setup = set_up(band_part(two_reading_band()))
    slope = float(setup.tension_kg(1.725) - setup.tension_kg(1.675)) / 2
    expected = np.hypot(float(setup.sd_kg(1.70)), slope)
    assert float(total_sd_kg(setup, 1.70, press)) == pytest.approx(expected)


def test_a_bar_of_whole_kilograms_is_drawn_in_plain_numbers():
    curve = load_along(140, None, PULL, points=3)
    assert {type(kg) for kg in (*curve.bar_kg, *curve.total_kg, curve.mean_kg)} == {float}


def test_by_hand_a_band_just_at_its_rest_length_pulls_nothing():
    setup = set_up(band_part(band((1.5, 30))))
    assert by_hand.load_at(100.0, setup, 1.0) == 100.0


def test_bands_add_most_at_the_top_and_unload_at_the_bottom():
    setup = set_up(band_part(SHORT))
    curve = load_along(100, setup, PULL)
    assert len(curve.heights_m) == 25
    assert curve.bottom_kg == 100  # 22.5 cm on a band of 30 cm
    assert curve.top_kg == pytest.approx(100 + float(setup.tension_kg(0.807)))
    assert curve.peak_kg == curve.top_kg
    assert curve.unload_ratio == 1
    assert curve.bar_kg == (100,) * 25


def test_the_peak_of_an_unloaded_bar_is_where_the_bands_let_go():
    part = band_part(two_reading_band(), RigKind.FROM_ABOVE, peg_height=Length.m("2.4"))
    curve = load_along(150, set_up(part), PULL)
    assert curve.bottom_kg < curve.top_kg < 150
    assert curve.peak_kg == curve.top_kg


def test_not_knowing_the_lockout_height_widens_the_top():
    setup = set_up(band_part(SHORT))
    taped = BarPath(0.225, 0.807, 0.0, "taped", ())
    sure, unsure = (float(total_sd_kg(setup, 0.807, path)) for path in (taped, PULL))
    slope = float(setup.tension_kg(0.8292) - setup.tension_kg(0.7848)) / 2
    assert sure == pytest.approx(float(setup.sd_kg(0.807)))
    assert unsure == pytest.approx(np.hypot(sure, slope))


def test_22_mm_of_lockout_is_about_0_7_kg_on_a_31_kg_band():
    # resistance.md, finding 1: 22 mm standard error, about 0.7 kg on a 31 kg band.
    law = fit_band(band((1.0, 15), (1.40, 31), rest_m=0.70))
    slope = float(law.force_kg(1.422) - law.force_kg(1.378)) / 2
    assert slope == pytest.approx(0.7, abs=0.25)


def test_one_sweep_over_many_athletes_equals_one_at_a_time():
    rigs = [set_up(band_part(SHORT)), set_up(chain_part(chain()))]
    paths = [PULL, BarPath(0.325, 0.75, 0.01, "", ())]
    grid = tension_grid(rigs, paths, points=5)
    assert grid.shape == (2, 2, 5)
    assert tension_grid(rigs, paths).shape == (2, 2, 25)
    for i, setup in enumerate(rigs):
        for j, path in enumerate(paths):
            alone = load_along(0, setup, path, points=5)
            assert grid[i, j] == pytest.approx(alone.total_kg)


def test_higher_pegs_are_told_as_less_at_the_bottom_the_top_and_on_average():
    low = load_along(100, set_up(band_part(SHORT)), PULL)
    high = load_along(100, set_up(band_part(SHORT, peg_height=Length.cm(10))), PULL)
    told = change(low, high)
    assert told.bottom_kg == 0
    assert told.top_kg < 0
    assert told.mean_kg < 0
    assert str(told).startswith("+0.0 kg at the bottom, -")
    assert str(told).endswith("on average")


def test_another_plate_is_the_same_change_all_the_way():
    setup = set_up(band_part(SHORT))
    told = change(load_along(100, setup, PULL), load_along(105, setup, PULL))
    assert (told.bottom_kg, told.top_kg, told.mean_kg) == pytest.approx((5, 5, 5))


def test_straight_weight_can_stand_in_by_mean_bottom_or_top():
    curve = load_along(100, set_up(band_part(SHORT)), PULL)
    assert straight_kg(curve, StraightPolicy.SAME_BOTTOM) == curve.bottom_kg
    assert straight_kg(curve, StraightPolicy.SAME_MEAN) == curve.mean_kg
    assert straight_kg(curve, StraightPolicy.SAME_TOP) == curve.top_kg
    assert curve.bottom_kg < curve.mean_kg < curve.top_kg


@pytest.mark.parametrize("bar_kg", [-1, float("nan"), float("inf")])
def test_a_bar_that_cannot_be_is_refused(bar_kg):
    with pytest.raises(LoadCurveError, match="must be 0 kg or more"):
        load_along(bar_kg, None, PULL)


def test_a_curve_needs_two_ends():
    with pytest.raises(LoadCurveError, match="at least 2 heights"):
        load_along(100, None, PULL, points=1)
    assert len(load_along(0, None, PULL, points=2).heights_m) == 2
