"""Rigs and chains: geometry, weight in the air, closed-form means, parts that add up."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from resistance_gear import band, chain, published, two_reading_band

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.resistance.chains import (
    CHAIN_TABLE,
    ChainError,
    HangingChain,
    kg_per_m_by_calliper,
    kg_per_m_by_table,
    kg_per_m_by_weighing,
)
from heftwright.domain.resistance.rigs import (
    BandPart,
    ChainPart,
    RigError,
    SetUp,
    band_part,
    chain_part,
    set_up,
)
from heftwright.domain.stock import ChainMassSource, RigKind

# --- chains ---------------------------------------------------------------------------------


@pytest.mark.parametrize("row", published("resist_chain_din766.csv"))
def test_three_calliper_readings_weigh_a_chain_within_4_percent_of_din_766(row):
    # checks.md C1: DIN 766 (catalogue tables).
    ours = kg_per_m_by_calliper(*(float(row[name]) for name in ("wire_mm", "pitch_mm", "outer_mm")))
    assert ours == pytest.approx(float(row["formula_kg_per_m"]), abs=0.002)
    assert ours == pytest.approx(float(row["printed_kg_per_m"]), rel=0.04)
    assert kg_per_m_by_table("DIN 766", float(row["wire_mm"])) == float(row["printed_kg_per_m"])


def test_the_shipped_chain_table_is_the_published_one():
    rows = published("resist_chain_din766.csv")
    assert [(size.wire_mm, size.pitch_mm, size.outer_mm) for size in CHAIN_TABLE] == [
        (float(r["wire_mm"]), float(r["pitch_mm"]), float(r["outer_mm"])) for r in rows
    ]


def test_a_size_not_in_the_table_asks_for_the_scale_or_the_calliper():
    with pytest.raises(ChainError, match="weigh a length of the chain"):
        kg_per_m_by_table("DIN 766", 7)
    with pytest.raises(ChainError, match="no row for other 6 mm"):
        kg_per_m_by_table("other", 6)


@pytest.mark.parametrize("measures", [(0, 20, 20), (8, 24, 16), (8, 10, 30), (-1, 3, 3)])
def test_measures_that_no_link_has_are_refused(measures):
    with pytest.raises(ChainError, match="No link has wire"):
        kg_per_m_by_calliper(*measures)
    assert kg_per_m_by_calliper(0.9, 5, 4) > 0  # a necklace has a mass too


def test_a_chain_weighed_whole_tells_its_mass_per_metre():
    assert kg_per_m_by_weighing(Mass.kg("7.6"), Length.m(2)) == pytest.approx(3.8)
    for mass, length in ((Mass(0), Length.m(2)), (Mass.kg(1), Length(0))):
        with pytest.raises(ChainError, match="both must be above 0"):
            kg_per_m_by_weighing(mass, length)


@pytest.mark.parametrize(("inner_mm", "pitch_mm"), [(0.5, 24), (20, 20)])
def test_a_link_may_be_narrow_or_a_ring(inner_mm, pitch_mm):
    # Geometry: kg/m = (π/4)d²ρ[2(t − b) + π(b + d)]/t; with t = b only the ring is left.
    metres = (2 * (pitch_mm - inner_mm) + np.pi * (inner_mm + 8)) / pitch_mm
    expected = np.pi / 4 * 0.008**2 * 7850 * metres
    assert kg_per_m_by_calliper(8, pitch_mm, inner_mm + 16) == pytest.approx(expected)


def test_the_least_that_can_be_weighed_and_measured_is_taken():
    assert kg_per_m_by_weighing(Mass(1), Length.m(1)) == pytest.approx(1e-11)
    assert kg_per_m_by_weighing(Mass.kg(1), Length(1)) == pytest.approx(1e7)


def test_a_2_m_chain_of_3_8_kg_a_metre_hangs_0_855_to_2_983_kg_a_side():
    # checks.md C3, arithmetic.
    part = chain_part(chain())
    assert part.tension_kg(0.225) / 2 == pytest.approx(0.855, abs=0.002)
    assert part.tension_kg(0.785) / 2 == pytest.approx(2.983, abs=0.002)
    assert set_up(part).mean_kg(0.225, 0.785) == pytest.approx(3.838, abs=0.002)


def unloading(is_looped):
    """A 1.6 m chain that is just clear at the top of 0.62 m of motion."""
    part = chain_part(chain(length_m="1.6"), is_looped=is_looped)
    top_m = 0.8 if is_looped else 1.6
    bottom, top = part.tension_kg([top_m - 0.62, top_m])
    return 100 * (1 - bottom / top)


@pytest.mark.parametrize(
    ("is_looped", "exact", "lo", "hi"), [(False, 38.75, 36, 42), (True, 77.5, 78, 89)]
)
def test_looped_chains_unload_twice_as_fast_as_hanging_ones(is_looped, exact, lo, hi):
    # checks.md C5: Neelly, Terry & Morris 2010 (JSCR 24(1):278–281) measured 36–42, 78–89 %.
    assert unloading(is_looped) == pytest.approx(exact, abs=0.1)
    assert lo - 6 <= unloading(is_looped) <= hi + 6


def test_leader_and_clips_always_count():
    hanging = HangingChain(3.0, 1.5, leader_m=0.4, leader_kg=0.7)
    assert hanging.load_kg([0.0, 0.4, 1.4, 5.0]) == pytest.approx([0.7, 0.7, 3.7, 5.2])
    assert not hanging.is_clear(1.89)
    assert hanging.is_clear(1.91)
    assert HangingChain(3.0, 1.5).is_clear(1.5)  # the last link just leaves the floor


@pytest.mark.parametrize(
    ("values", "match"),
    [
        ((0, 1.0), "kg/m > 0"),
        ((1.0, 0), "length > 0"),
        ((1.0, 1.0, 3), "1 or 2 strands"),
        ((1.0, 1.0, 1, -0.1), "length ≥ 0"),
        ((1.0, 1.0, 1, 0.0, -0.1), "mass ≥ 0"),
    ],
)
def test_a_chain_that_cannot_hang_is_refused(values, match):
    with pytest.raises(ChainError, match=match):
        HangingChain(*values)


chains = st.builds(
    HangingChain,
    st.floats(0.5, 8.0),
    st.floats(0.3, 4.0),
    st.sampled_from([1, 2]),
    st.floats(0.0, 1.0),
    st.floats(0.0, 3.0),
)


@given(chains, st.floats(0.0, 1.0), st.floats(0.05, 2.0))
def test_a_chains_closed_mean_is_the_mean_of_its_load(hanging, lo_m, rom_m):
    middles = lo_m + (np.arange(2000) + 0.5) * rom_m / 2000
    ends = hanging.integral_kg_m([lo_m, lo_m + rom_m])
    assert (ends[1] - ends[0]) / rom_m == pytest.approx(
        float(np.mean(hanging.load_kg(middles))), rel=1e-3, abs=1e-6
    )


@given(chains)
def test_a_chain_never_gets_lighter_on_the_way_up_nor_heavier_than_itself(hanging):
    load = hanging.load_kg(np.linspace(0, 4, 300))
    assert np.all(np.diff(load) >= -1e-12)
    assert np.max(load) <= hanging.kg_per_m * hanging.length_m + hanging.leader_kg + 1e-9


@given(chains, st.floats(0.0, 4.0), st.sampled_from(["anywhere", "leader taut", "clear"]))
def test_a_millimetre_of_height_or_leader_moves_a_chain_by_its_own_strands(hanging, height, where):
    # Also just where the leader comes taut and where the last link leaves the floor.
    taut_m = hanging.leader_m
    clear_m = taut_m + hanging.length_m / hanging.strands
    at_m = {"anywhere": height, "leader taut": taut_m, "clear": clear_m}[where]
    most_kg = 0.001 * hanging.strands * hanging.kg_per_m + 1e-9
    longer = replace(hanging, leader_m=taut_m + 0.001)
    here = float(hanging.load_kg(at_m))
    for step_m in (-0.001, 0.001):
        assert abs(float(hanging.load_kg(at_m + step_m)) - here) <= most_kg
    assert 0 <= here - float(longer.load_kg(at_m)) <= most_kg


# --- bands on pegs --------------------------------------------------------------------------


def test_higher_pegs_slacken_the_band_by_their_height():
    low = band_part(two_reading_band())
    high = band_part(two_reading_band(), peg_height=Length.cm(20))
    assert high.tension_kg(1.7) == pytest.approx(low.tension_kg(1.5))


def test_bands_from_above_unload_most_at_the_bottom():
    part = band_part(two_reading_band(), RigKind.FROM_ABOVE, peg_height=Length.m("2.4"))
    bottom, top = part.tension_kg([0.6, 1.2])
    assert bottom < top < 0
    assert bottom == pytest.approx(-2 * float(part.curve.force_kg(1.8)))
    assert part.sd_kg(0.6) > 0


def test_a_bar_at_the_peg_feels_nothing():
    assert band_part(two_reading_band(), peg_height=Length.m(1)).tension_kg(1.0) == 0


def test_two_pairs_pull_twice_and_are_twice_as_unsure():
    one, two = band_part(two_reading_band()), band_part(two_reading_band(), pairs=2)
    assert two.tension_kg(1.6) == pytest.approx(2 * one.tension_kg(1.6))
    assert two.sd_kg(1.6) == pytest.approx(2 * one.sd_kg(1.6))


def test_both_sides_share_the_curve_so_their_errors_add():
    part = band_part(two_reading_band())
    assert part.sd_kg(1.6) == pytest.approx(2 * part.curve.sd_kg(1.6))


def test_different_bands_err_apart_and_the_same_band_errs_together():
    grey, red = two_reading_band(), two_reading_band(key="red")
    one = float(band_part(grey).sd_kg(1.6))
    apart = set_up(band_part(grey), band_part(red)).sd_kg(1.6)
    together = set_up(band_part(grey), band_part(grey)).sd_kg(1.6)
    assert apart == pytest.approx(one * np.sqrt(2))
    assert together == pytest.approx(2 * one)


def test_different_chains_err_apart_and_two_lengths_of_one_chain_err_together():
    one = float(chain_part(chain()).sd_kg(0.5))
    apart = set_up(chain_part(chain()), chain_part(chain(key="other"))).sd_kg(0.5)
    together = set_up(chain_part(chain()), chain_part(chain())).sd_kg(0.5)
    assert apart == pytest.approx(one * np.sqrt(2))
    assert together == pytest.approx(2 * one)


@pytest.mark.parametrize(
    ("known_by", "ratio"),
    [
        (ChainMassSource.WEIGHED, 0.01),
        (ChainMassSource.TABLE, 0.04),
        (ChainMassSource.CALLIPER, 0.04),
    ],
)
def test_a_chain_by_table_or_calliper_is_less_sure_than_a_weighed_one(known_by, ratio):
    # checks.md C1: the formula stays within 4 % of printed tables.
    part = chain_part(replace(chain(), known_by=known_by))
    clear_m = 2.5  # all in the air: only the mass of a metre is left to doubt
    assert part.sd_kg(clear_m) == pytest.approx(ratio * float(part.tension_kg(clear_m)))


def test_a_chain_is_unsure_by_its_weighing_and_a_centimetre_of_height():
    part = chain_part(chain())
    per_cm = 2 * 3.8 * 0.01
    assert part.sd_kg(0.5) == pytest.approx(np.hypot(0.01 * 2 * 3.8 * 0.5, per_cm))


pegs = st.tuples(st.floats(0.0, 0.6), st.floats(0.0, 0.5))
rigs = st.sampled_from([RigKind.SINGLE, RigKind.CHOKED, RigKind.DOUBLED])


@given(pegs, rigs, st.floats(0.6, 1.2), st.floats(0.05, 1.2))
def test_the_mean_over_the_motion_is_exact_for_every_rig_and_offset(peg, rig, lo_m, rom_m):
    part = BandPart(two_reading_band(), band_part(two_reading_band()).curve, rig, *peg)
    middles = lo_m + (np.arange(4000) + 0.5) * rom_m / 4000
    expected = float(np.mean(part.tension_kg(middles)))
    assert set_up(part).mean_kg(lo_m, lo_m + rom_m) == pytest.approx(expected, rel=1e-3, abs=1e-2)


@given(pegs, rigs)
def test_above_its_peg_a_rig_only_pulls_harder(peg, rig):
    part = BandPart(two_reading_band(), band_part(two_reading_band()).curve, rig, *peg)
    tension = part.tension_kg(np.linspace(peg[0], 2.5, 200))
    assert np.all(tension >= 0)
    assert np.all(np.diff(tension) >= -1e-9)


readings = st.lists(st.floats(2.0, 30.0), min_size=1, max_size=3).map(
    lambda steps: [(1.25 + 0.3 * i, sum(steps[: i + 1])) for i in range(len(steps))]
)


@given(readings, pegs, rigs, st.floats(0.6, 2.4), st.booleans())
def test_a_hair_of_height_peg_or_offset_moves_a_rig_by_a_hair(points, peg, rig, bar_m, is_at_slack):
    # One, two and three readings; anywhere, and just where the band comes taut.
    part = BandPart(band(*points), band_part(band(*points)).curve, rig, *peg)
    if is_at_slack:
        taut_m = part.curve.laws[0].rest_m / (2 if rig is RigKind.DOUBLED else 1)
        bar_m = part.peg_height_m + np.sqrt(max(taut_m**2 - part.peg_offset_m**2, 0.0))
    hair_m = 1e-9
    moved = (
        part.tension_kg(bar_m + hair_m),
        replace(part, peg_height_m=part.peg_height_m + hair_m).tension_kg(bar_m),
        replace(part, peg_offset_m=part.peg_offset_m + hair_m).tension_kg(bar_m),
    )
    here = float(part.tension_kg(bar_m))
    assert all(abs(float(other) - here) < 0.1 for other in moved)


@given(st.floats(0.2, 2.0))
def test_bands_and_chains_simply_add(height_m):
    parts = (
        band_part(two_reading_band()),
        band_part(two_reading_band(key="red"), RigKind.DOUBLED),
        chain_part(chain()),
    )
    alone = sum(float(part.tension_kg(height_m)) for part in parts)
    assert float(set_up(*parts).tension_kg(height_m)) == pytest.approx(alone)


def test_the_mean_over_no_motion_is_the_tension_there():
    setup = set_up(band_part(two_reading_band()))
    assert setup.mean_kg(1.5, 1.5) == float(setup.tension_kg(1.5))


def test_a_set_up_counts_the_pairs_it_takes_from_stock():
    grey = two_reading_band()
    setup = set_up(band_part(grey), band_part(grey, pairs=2), chain_part(chain(), pairs=2))
    assert setup.band_key_counts() == {"grey": 3}
    assert setup.chain_key_counts() == {"long": 2}
    assert len(setup.band_parts) == 2
    assert len(setup.chain_parts) == 1


def test_a_set_up_is_named_for_a_coach():
    setup = set_up(
        band_part(two_reading_band(), RigKind.DOUBLED, peg_height=Length.cm(6)),
        chain_part(chain(), is_looped=True, leader=Length.cm(40), pairs=2),
    )
    assert setup.name == (
        "grey band pair, doubled, pegs at 6 cm and long chain × 2 pairs, both ends up, leader 40 cm"
    )
    assert setup.key == "grey:doubled:60+0&2xlong:looped:400"


def test_bands_fixed_alike_say_how_only_once():
    grey, red = two_reading_band(), two_reading_band(key="red")
    assert set_up(band_part(grey)).name == "grey band pair, choked, pegs at 0 cm"
    alike = set_up(band_part(grey), band_part(red, pairs=2))
    assert alike.name == "grey band pair and red band × 2 pairs, both choked, pegs at 0 cm"
    apart = set_up(band_part(grey), band_part(red, RigKind.DOUBLED))
    assert apart.name == (
        "grey band pair, choked, pegs at 0 cm and red band pair, doubled, pegs at 0 cm"
    )
    mixed = set_up(band_part(grey), chain_part(chain()))
    assert mixed.name.endswith("and long chain pair, hanging by one end")


def test_a_band_is_longest_where_it_is_furthest_from_its_peg_in_whichever_order():
    part = band_part(two_reading_band(), RigKind.FROM_ABOVE, peg_height=Length.m("2.4"))
    assert part.longest_loop_m(0.6, 1.2) == pytest.approx(1.8)
    assert part.longest_loop_m(1.2, 0.6) == pytest.approx(1.8)
    beside = band_part(two_reading_band(), peg_height=Length.m("0.2"), peg_offset=Length.m("0.3"))
    assert beside.longest_loop_m(0.3, 0.6) == pytest.approx(0.5)  # 3-4-5


def test_off_the_line_the_bar_feels_only_the_vertical_part_of_pull_and_doubt():
    # 0.9 m beside and 1.2 m up is 1.5 m of band: four fifths of it is vertical.
    beside = band_part(two_reading_band(), peg_offset=Length.m("0.9"))
    assert beside.tension_kg(1.2) == pytest.approx(2 * 0.8 * float(beside.curve.force_kg(1.5)))
    assert beside.sd_kg(1.2) == pytest.approx(2 * 0.8 * float(beside.curve.sd_kg(1.5)))


def test_unsaid_rigs_are_one_pair_on_the_floor_on_the_line_hanging_by_one_end():
    grey = two_reading_band()
    bare = BandPart(grey, band_part(grey).curve, RigKind.CHOKED)
    assert bare == band_part(grey)
    assert (bare.peg_height_m, bare.peg_offset_m, bare.pairs) == (0, 0, 1)
    assert ChainPart(chain()) == chain_part(chain())
    assert ChainPart(chain()).hanging() == HangingChain(3.8, 2.0, 1, 0.0, 0.0)
    assert HangingChain(3.8, 2.0).load_kg(0.5) == pytest.approx(1.9)


def test_keys_are_in_whole_millimetres():
    part = band_part(two_reading_band(), peg_height=Length.mm(2400), peg_offset=Length.mm(700))
    assert part.key == "grey:choked:2400+700"
    assert chain_part(chain(), leader=Length.mm(1200)).key == "long:single:1200"


def test_names_and_keys_tell_rigs_apart():
    parts = [
        band_part(two_reading_band(), pairs=2),
        band_part(two_reading_band()),
        band_part(two_reading_band(), peg_offset=Length.cm(10)),
        chain_part(chain()),
        chain_part(chain(), is_looped=True),
    ]
    assert len({part.key for part in parts}) == len(parts)
    assert "× 2 pairs" in parts[0].name
    assert "hanging by one end" in parts[3].name


def test_a_set_up_says_when_it_rests_on_a_guess_and_repeats_no_note():
    guess = band(guess_top_force=Mass.kg(30))
    setup = set_up(band_part(guess), band_part(guess, pairs=2))
    assert setup.is_guess
    assert len(setup.notes) == 1
    assert set_up(band_part(guess), band_part(two_reading_band(key="red"))).is_guess
    assert not set_up(band_part(two_reading_band())).is_guess


@pytest.mark.parametrize(
    ("build", "match"),
    [
        (lambda: band_part(two_reading_band(), pairs=0), "pairs must be at least 1"),
        (lambda: band_part(two_reading_band(), peg_height=Length.cm(-1)), "0 or more"),
        (lambda: band_part(two_reading_band(), peg_offset=Length.cm(-1)), "0 or more"),
        (lambda: chain_part(chain(), pairs=0), "pairs must be at least 1"),
        (lambda: chain_part(chain(kg_per_m="0")), "kg/m > 0"),
        (lambda: SetUp("x", "x", ()), "no band and no chain"),
    ],
)
def test_a_rig_that_cannot_be_built_is_refused(build, match):
    with pytest.raises((RigError, ChainError), match=match):
        build()
