"""A band's curve: published values, never falling, and as sure as its readings."""

from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from resistance_gear import DAY, band, published, reading, two_reading_band
from scipy.optimize import nnls

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.resistance.band_laws import BandLawError, PowerLaw, RubberLaw
from heftwright.domain.resistance.bands import (
    BandModel,
    BandReadingError,
    UncalibratedBandError,
    _two_non_negative,
    fit_band,
)
from heftwright.domain.resistance.rigs import band_part
from heftwright.domain.stock import Band, BandReading, ReadingDirection, RigKind, Side

INCH_M, POUND_KG = 0.0254, 0.45359237
ON_THE_LINE = Length(0)
UP, DOWN = ReadingDirection.UP, ReadingDirection.DOWN


# --- published values -----------------------------------------------------------------------


def band_force(row):
    curve, path_m = fit_band(two_reading_band()), float(row["path_m"])
    return {
        "force of the loop": lambda: float(curve.force_kg(path_m)),
        "mean from 1.30": lambda: curve.mean_kg(1.30, path_m),
        "doubled": lambda: one_side(RigKind.DOUBLED, path_m),
        "single": lambda: one_side(RigKind.SINGLE, path_m),
        "anchor 0.30 m off": lambda: one_side(RigKind.CHOKED, path_m, Length.cm(30)),
    }[row["what"]]()


def one_side(rig, height_m, offset=ON_THE_LINE):
    return float(band_part(two_reading_band(), rig, peg_offset=offset).tension_kg(height_m)) / 2


@pytest.mark.parametrize("row", published("resist_band_forces.csv"), ids=lambda row: row["id"])
def test_the_two_reading_band_pulls_what_arithmetic_and_geometry_say(row):
    # checks.md B1, B3, B4: power law through (1.30 m, 20 kg) and (1.90 m, 40 kg), rest 1.000 m.
    assert band_force(row) == pytest.approx(
        float(row["expected_kg"]), abs=float(row["tolerance_kg"])
    )


@pytest.mark.parametrize("row", published("resist_rubber_form.csv"))
def test_the_rubber_form_gives_the_worked_values(row):
    # checks.md B5: Mooney–Rivlin form, A 20 kg, B 10 kg.
    law, stretch = RubberLaw(1.0, 20.0, 10.0), float(row["stretch"])
    force = float(law.force_kg(stretch))
    if row["what"] == "mean from 1.25":
        ends = law.integral_kg_m([1.25, stretch])
        force = float(ends[1] - ends[0]) / (stretch - 1.25)
    assert force == pytest.approx(float(row["expected_kg"]), abs=float(row["tolerance_kg"]))


@pytest.mark.parametrize("area_cm2", [5, 10, 20])
def test_natural_rubber_is_followed_within_6_percent_from_1_24_to_1_90(area_cm2):
    # checks.md B11: Treloar 1944 (as reproduced in public material models), per cm² of strip.
    rows = [
        (float(r["stretch"]), float(r["stress_kgf_cm2"]))
        for r in published("resist_rubber_treloar.csv")
    ]
    curve = fit_band(band(*[(stretch, stress * area_cm2) for stretch, stress in rows]))
    assert curve.model == BandModel.RUBBER
    for stretch, stress in rows[1:3]:
        assert float(curve.force_kg(stretch)) == pytest.approx(stress * area_cm2, rel=0.06)


def hanging_bar(rig):
    rows = [row for row in published("resist_hanging_bar.csv") if row["rig"] == rig]
    slack_m = float(rows[0]["slack_in"]) * INCH_M
    points = [
        (slack_m + float(r["extra_in"]) * INCH_M, float(r["load_lb"]) * POUND_KG) for r in rows
    ]
    return fit_band(band(*points, rest_m=slack_m)), slack_m


def test_a_doubled_pair_pulls_1_75_to_2_10_times_a_choked_one_at_equal_strain():
    # checks.md B8: informal hanging-bar measurement on a public forum (no laboratory).
    (choked, choked_m), (doubled, doubled_m) = hanging_bar("choked"), hanging_bar("doubled")
    ratio = float(doubled.force_kg(1.3 * doubled_m)) / float(choked.force_kg(1.3 * choked_m))
    assert 1.75 <= ratio <= 2.10


def test_a_doubled_band_is_two_loops_at_twice_the_distance_by_construction():
    # geometry: two half-loops, each at the whole loop's stretch.
    doubled = band_part(two_reading_band(), RigKind.DOUBLED)
    plain = band_part(two_reading_band(), RigKind.CHOKED)
    assert doubled.tension_kg(0.8) == pytest.approx(2 * plain.tension_kg(1.6))


# --- how many readings ----------------------------------------------------------------------


def test_one_reading_gives_the_power_law_with_n_0_66():
    curve = fit_band(band((1.5, 30)))
    assert curve.model == BandModel.ONE_READING
    assert curve.laws[0].exponent == 0.66
    assert float(curve.force_kg(1.5)) == pytest.approx(30)
    assert "rests on one reading" in curve.notes[0]


@pytest.mark.parametrize(("far_kg", "exponent"), [(21.0, 0.40), (60.0, 1.00)])
def test_two_readings_never_bend_more_than_a_band_can(far_kg, exponent):
    # n within [0.40, 1.00]: outside it the readings are averaged, not followed.
    curve = fit_band(band((1.30, 20), (1.60, far_kg)))
    assert curve.laws[0].exponent == exponent
    assert curve.form_ratio >= BandModel.TWO_READINGS.form_ratio


def test_three_readings_of_a_rubber_band_are_met_within_the_form_error():
    law = RubberLaw(0.97, 20.0, 10.0)
    points = [(x, float(law.force_kg(x))) for x in (1.2, 1.5, 1.9)]
    curve = fit_band(band(*points))
    assert curve.model == BandModel.RUBBER
    assert curve.force_kg([1.35, 1.7]) == pytest.approx(law.force_kg([1.35, 1.7]), rel=0.01)
    assert 0.85 <= curve.laws[0].rest_m <= 1.05


def test_a_band_never_read_and_without_a_label_is_refused():
    with pytest.raises(UncalibratedBandError, match="never read: hang it from a scale"):
        fit_band(band())
    with pytest.raises(UncalibratedBandError, match="never read"):
        fit_band(band(guess_top_force=Mass(0)))


def test_a_label_is_only_a_guess_of_25_percent_either_way():
    curve = fit_band(band(guess_top_force=Mass.kg(40)))
    assert curve.is_guess
    assert float(curve.force_kg(2.0)) == pytest.approx(40)
    assert float(curve.sd_kg(1.999)) >= 0.25 * 39.9
    assert "± 25 %" in curve.notes[0]
    assert curve.measured_m == (0.0, 0.0)
    assert curve.hysteresis_kg == 0


def test_a_guess_needs_a_safe_length_above_rest():
    for safe_cm in (90, 100):
        with pytest.raises(BandReadingError, match="must be above its rest length"):
            fit_band(band(guess_top_force=Mass.kg(40), safe_length=Length.cm(safe_cm)))


def test_the_safe_length_is_the_makers_or_twice_the_rest_length():
    assert fit_band(two_reading_band()).safe_m == 2.0
    assert fit_band(two_reading_band(safe_length=Length.m("2.4"))).safe_m == 2.4


# --- readings that cannot be true -----------------------------------------------------------


def test_a_force_that_falls_with_length_is_refused():
    with pytest.raises(BandReadingError, match="never pulls less when it is longer"):
        fit_band(band((1.3, 20), (1.6, 33), (1.9, 30)))


def test_a_reading_below_zero_is_refused():
    with pytest.raises(BandReadingError, match="is below 0"):
        fit_band(band((1.3, -2)))


def test_a_pull_at_rest_length_is_refused():
    with pytest.raises(BandReadingError, match="not longer than its rest length"):
        fit_band(band((1.0, 3)))


def test_a_slack_reading_just_past_rest_is_left_aside_and_far_past_it_is_refused():
    slack = fit_band(band((1.02, 0), (1.3, 20), (1.9, 40)))
    assert slack.model == BandModel.TWO_READINGS
    with pytest.raises(BandReadingError, match="pulls nothing beyond its rest length"):
        fit_band(band((1.06, 0), (1.3, 20)))


def test_readings_that_hardly_stretch_the_band_are_refused():
    with pytest.raises(BandReadingError, match="read it where it is used"):
        fit_band(band((1.04, 5)))


def test_a_reading_a_hair_past_rest_does_not_spoil_a_real_one():
    curve = fit_band(band((1.0001, 0.2), (1.9, 40)))
    assert float(curve.force_kg(1.9)) == pytest.approx(40, rel=0.01)


# --- up and down, left and right, old and new -----------------------------------------------


def test_up_and_down_are_averaged_and_half_the_gap_is_the_bands_own():
    rows = [
        reading(x, kg, way=way)
        for x, up, down in ((1.3, 21, 19), (1.9, 43, 37))
        for way, kg in ((UP, up), (DOWN, down))
    ]
    curve = fit_band(band(*rows))
    assert curve.model == BandModel.TWO_READINGS
    assert curve.force_kg([1.3, 1.9]) == pytest.approx([20, 40])
    assert curve.hysteresis_kg == pytest.approx(3)
    assert any("3.0 kg more than shown going up" in note for note in curve.notes)


def test_a_gap_is_a_size_whichever_way_read_more():
    rows = [reading(1.5, kg, way=way) for way, kg in ((UP, 29), (DOWN, 31))]
    assert fit_band(band(*rows)).hysteresis_kg == pytest.approx(1)


def test_a_gap_between_up_and_down_within_2_5_percent_is_kept_but_not_announced():
    rows = [reading(1.5, kg, way=way) for way, kg in ((UP, 30.7), (DOWN, 29.3))]
    curve = fit_band(band(*rows))
    assert curve.hysteresis_kg == pytest.approx(0.7)
    assert not any("going up" in note for note in curve.notes)


def test_two_readings_up_and_one_down_weigh_as_one_up_and_one_down():
    rows = [reading(1.5, 32, way=UP), reading(1.5, 32, way=UP), reading(1.5, 28, way=DOWN)]
    assert float(fit_band(band(*rows)).force_kg(1.5)) == pytest.approx(30)


def sided(left_kg, right_kg):
    return band(
        reading(1.9, left_kg, side=Side.LEFT),
        reading(1.3, left_kg / 2, side=Side.LEFT),
        reading(1.9, right_kg, side=Side.RIGHT),
        reading(1.3, right_kg / 2, side=Side.RIGHT),
    )


def test_left_40_and_right_34_differ_by_16_2_percent_of_their_mean_and_warn():
    # checks.md B10, arithmetic.
    curve = fit_band(sided(40, 34))
    assert 100 * curve.imbalance_ratio(1.9) == pytest.approx(16.2, abs=0.1)
    assert any("differ by 16.2%" in note for note in curve.notes)
    assert fit_band(sided(34, 40)).imbalance_ratio(1.9) == curve.imbalance_ratio(1.9)
    assert float(curve.force_kg(1.9)) == pytest.approx(37)
    assert curve.mean_kg(1.3, 1.9) == pytest.approx(30.66 * 37 / 40, abs=0.05)


def test_matched_sides_do_not_warn_and_slack_sides_do_not_differ():
    curve = fit_band(sided(40, 39))
    assert not any("differ" in note for note in curve.notes)
    assert curve.imbalance_ratio(0.9) == 0
    assert fit_band(two_reading_band()).imbalance_ratio(1.9) == 0


def test_a_reading_of_both_sides_counts_for_left_and_right():
    mixed = band(*sided(40, 34).readings, reading(1.6, 29.5))
    assert fit_band(mixed).model == BandModel.RUBBER


def test_one_side_read_alone_is_taken_for_both_and_said():
    curve = fit_band(band(reading(1.9, 40, side=Side.LEFT)))
    assert any("only the left one was read" in note for note in curve.notes)
    assert len(curve.laws) == 1


def test_only_the_newest_calibration_counts_and_drift_is_shown():
    old = date(2025, 6, 1)
    rows = [reading(1.3, 25, on=old), reading(1.9, 50, on=old), reading(1.3, 20), reading(1.9, 40)]
    curve = fit_band(band(*rows))
    assert float(curve.force_kg(1.9)) == pytest.approx(40)
    assert [drift.ratio for drift in curve.drifts] == pytest.approx([0.8, 0.8])
    assert curve.drifts[0].read_on == old
    assert any("20% less than on 2025-06-01" in note for note in curve.notes)


def test_a_band_that_did_not_change_has_no_drift_note():
    rows = [reading(1.9, 40, on=date(2025, 6, 1)), reading(1.3, 20), reading(1.9, 41)]
    assert not any("than on" in note for note in fit_band(band(*rows)).notes)


def test_a_band_that_stiffened_reads_more():
    rows = [reading(1.9, 30, on=date(2025, 6, 1)), reading(1.9, 40)]
    assert any("33% more than on" in note for note in fit_band(band(*rows)).notes)


def test_readings_of_one_fortnight_are_one_calibration():
    rows = [reading(1.3, 20, on=date(2026, 2, 20)), reading(1.9, 40)]
    assert fit_band(band(*rows)).model == BandModel.TWO_READINGS
    rows = [reading(1.3, 20, on=date(2026, 2, 10)), reading(1.9, 40)]
    assert fit_band(band(*rows)).model == BandModel.ONE_READING


def test_readings_in_the_rig_that_is_used_come_before_others():
    rows = [reading(0.75, 55.2, rig=RigKind.DOUBLED), reading(1.5, 20), reading(1.9, 30)]
    both = band(*rows)
    doubled, choked = fit_band(both, rig=RigKind.DOUBLED), fit_band(both, rig=RigKind.CHOKED)
    assert float(doubled.force_kg(1.5)) == pytest.approx(27.6)  # half the pull at twice the way
    assert float(choked.force_kg(1.5)) == pytest.approx(20)
    assert float(fit_band(both).force_kg(1.5)) == pytest.approx(20)


def test_readings_of_another_rig_are_converted_with_a_wider_margin_and_a_note():
    choked, doubled = (
        fit_band(two_reading_band(), rig=rig) for rig in (RigKind.CHOKED, RigKind.DOUBLED)
    )
    assert doubled.force_kg(1.6) == pytest.approx(choked.force_kg(1.6))
    assert doubled.sd_kg(1.6) > choked.sd_kg(1.6)
    assert any("read in another rig than doubled" in note for note in doubled.notes)
    assert choked.notes == ()


# --- how sure -------------------------------------------------------------------------------


def test_more_readings_make_it_surer():
    law = RubberLaw(0.97, 20.0, 10.0)
    points = [(x, float(law.force_kg(x))) for x in (1.2, 1.5, 1.9)]
    sd = [float(fit_band(band(*points[:n])).sd_kg(1.5)) for n in (1, 2, 3)]
    assert sd[0] > sd[1] > sd[2] > 0


def test_the_form_is_sure_to_8_4_and_2_5_percent_and_a_guess_to_25():
    # resistance.md: form 8 / 4 / 2.5 % for 1 / 2 / >= 3 readings, + 6 % per e-fold outside.
    ratios = {model.value: (model.form_ratio, model.efold_ratio) for model in BandModel}
    assert ratios == {
        "guess": (0.25, 0.0),
        "one_reading": (0.08, 0.10),
        "two_readings": (0.04, 0.06),
        "rubber": (0.025, 0.06),
    }
    assert fit_band(band((1.5, 30))).length_sd_m == 0.01
    assert fit_band(band((1.5, 30)), rig=RigKind.DOUBLED).length_sd_m == 0.03


def test_two_readings_outside_the_range_of_n_are_weighed_by_their_own_errors():
    lengths, forces = np.array([1.30, 1.60]), np.array([20.0, 60.0])
    strains = lengths - 1.0
    sd2 = (0.025 * forces) ** 2 + 0.25**2 + (0.01 * 0.66 * forces / strains) ** 2
    stiffness = np.sum(strains * forces / sd2) / np.sum(strains**2 / sd2)
    curve = fit_band(band((1.30, 20), (1.60, 60)))
    assert curve.laws[0].stiffness_kg == pytest.approx(stiffness)
    misfit = (stiffness * strains - forces) ** 2 / sd2
    assert curve.form_ratio == pytest.approx(max(0.04, 0.025 * np.sqrt(np.mean(misfit))))


columns = st.lists(
    st.tuples(st.floats(0.01, 5), st.floats(0.01, 5), st.floats(0.01, 50)), min_size=3, max_size=6
)


@given(columns)
def test_two_non_negative_constants_fit_as_well_as_the_reference_solver_finds(rows):
    # Reference library: scipy.optimize.nnls.
    first, second, target = np.array(rows).T
    (a,), (b,) = _two_non_negative(first[None], second[None], target[None])
    assert a >= 0
    assert b >= 0
    ours = np.linalg.norm(a * first + b * second - target)
    _, theirs = nnls(np.column_stack([first, second]), target)
    assert ours == pytest.approx(theirs, rel=1e-5, abs=1e-5)


@pytest.mark.parametrize(
    ("target", "expected"), [((1, 2, 3), (1, 0)), ((3, 2, 1), (0, 1)), ((4, 4, 4), (1, 1))]
)
def test_a_fit_that_wants_a_negative_constant_stays_on_its_edge(target, expected):
    first, second = np.array([[1.0, 2.0, 3.0]]), np.array([[3.0, 2.0, 1.0]])
    found = _two_non_negative(first, second, np.array([target], dtype=float))
    assert [float(x[0]) for x in found] == pytest.approx(expected)


def test_the_margin_is_form_scale_and_a_centimetre_inside_the_data():
    curve = fit_band(two_reading_band())
    force = float(curve.force_kg(1.6))
    slope = float(curve.force_kg(1.61) - curve.force_kg(1.59)) / 2
    expected = np.sqrt((0.04 * force) ** 2 + 0.25**2 + slope**2)
    assert float(curve.sd_kg(1.6)) == pytest.approx(expected)


def test_an_efold_of_strain_outside_the_data_adds_6_percent():
    curve = fit_band(two_reading_band())
    far = 1 + 0.9 * np.e
    force = float(curve.force_kg(far))
    slope = float(curve.force_kg(far + 0.01) - curve.force_kg(far - 0.01)) / 2
    expected = np.sqrt((0.10 * force) ** 2 + 0.25**2 + slope**2)
    assert float(curve.sd_kg(far)) == pytest.approx(expected)


def test_one_reading_adds_the_spread_of_its_exponent():
    curve = fit_band(band((1.5, 30)))
    force = float(curve.force_kg(1 + 0.5 / np.e))
    sd = float(curve.sd_kg(1 + 0.5 / np.e))
    assert sd > 0.18 * force  # 8 % + 10 % an e-fold


def test_a_band_slack_by_more_than_a_centimetre_surely_pulls_nothing():
    assert float(fit_band(two_reading_band()).sd_kg(0.95)) == 0


def test_readings_that_scatter_widen_the_margin_and_say_so():
    curve = fit_band(band((1.20, 20), (1.30, 21), (1.90, 60)))
    assert curve.form_ratio > 0.05
    assert any("scatter" in note for note in curve.notes)


def test_beyond_1_25_times_the_largest_strain_and_below_half_the_smallest_is_flagged():
    curve = fit_band(two_reading_band())
    assert not curve.is_beyond_data(1 + 1.249 * 0.9)
    assert curve.is_beyond_data(1 + 1.251 * 0.9)
    assert not curve.is_short_of_data(1 + 0.501 * 0.3)
    assert curve.is_short_of_data(1 + 0.499 * 0.3)
    assert not curve.is_short_of_data(1.0)


# --- properties -----------------------------------------------------------------------------

calibrations = st.lists(
    st.tuples(st.floats(0.06, 1.0), st.floats(0.2, 30.0)), min_size=1, max_size=6
).map(lambda steps: np.cumsum(np.array(steps), axis=0))


@settings(max_examples=150)
@given(calibrations)
def test_any_rising_calibration_gives_a_curve_that_never_falls(points):
    # checks.md B6: any 1–6 increasing readings -> non-decreasing, >= 0, finite up to 3.4 x rest.
    curve = fit_band(band(*[(1.0 + strain, kg) for strain, kg in points]))
    force = curve.force_kg(np.linspace(0.0, 3.4, 500))
    assert np.all(np.isfinite(force))
    assert np.all(force >= 0)
    assert np.all(np.diff(force) >= -1e-9)
    assert np.all(force[np.linspace(0.0, 3.4, 500) < 0.85] == 0)
    assert np.all(np.isfinite(curve.sd_kg(np.linspace(0.0, 3.4, 500))))


hostile = st.lists(
    st.builds(
        reading,
        st.floats(0.5, 3.0),
        st.floats(0.0, 200.0),
        side=st.sampled_from(Side),
        way=st.sampled_from(ReadingDirection),
        rig=st.sampled_from(RigKind),
        on=st.sampled_from([DAY, date(2025, 1, 1)]),
    ),
    min_size=1,
    max_size=8,
)


@settings(max_examples=200)
@given(hostile)
def test_a_hostile_calibration_is_refused_or_still_gives_a_rising_curve(rows):
    try:
        curve = fit_band(band(*rows, guess_top_force=Mass.kg(30)))
    except BandReadingError:
        return
    force = curve.force_kg(np.linspace(0.0, 3.4, 300))
    assert np.all(np.isfinite(force))
    assert np.all(force >= 0)
    assert np.all(np.diff(force) >= -1e-9 * (1 + force[1:]))


@given(calibrations, st.floats(0.3, 3.0))
def test_the_curve_is_continuous_everywhere(points, path_m):
    curve = fit_band(band(*[(1.0 + strain, kg) for strain, kg in points]))
    step = 1e-9
    assert abs(float(curve.force_kg(path_m + step) - curve.force_kg(path_m))) < 0.05


@given(
    st.floats(0.45, 0.9), st.floats(10, 80), st.floats(0.15, 0.4), st.floats(0.15, 0.4),
    st.floats(0, 1),
)  # fmt: skip
def test_one_more_reading_that_agrees_moves_the_curve_no_more_than_its_doubt(n, k, lo, gap, part):
    # A band that follows K(λ - 1)ⁿ exactly: from one reading to two, and from the power law to the
    # rubber form at three, the number between the readings stays within two of the stated ±.
    strains = [lo, lo + gap, lo + 2 * gap]
    points = [(1.0 + strain, k * strain**n) for strain in strains]
    one, two, three = (fit_band(band(*points[:count])) for count in (1, 2, 3))
    between_m = 1.0 + lo + part * gap
    for before, after in ((one, two), (two, three)):
        moved = abs(float(after.force_kg(between_m) - before.force_kg(between_m)))
        doubt = float(np.hypot(before.sd_kg(between_m), after.sd_kg(between_m)))
        assert moved <= 2 * doubt


@given(calibrations, st.floats(0.5, 2.0), st.floats(0.01, 1.5))
def test_the_closed_mean_is_the_mean_of_the_curve(points, lo_m, span_m):
    curve = fit_band(band(*[(1.0 + strain, kg) for strain, kg in points]))
    middles = lo_m + (np.arange(4000) + 0.5) * span_m / 4000
    expected = float(np.mean(curve.force_kg(middles)))
    assert curve.mean_kg(lo_m, lo_m + span_m) == pytest.approx(expected, rel=2e-4, abs=1e-3)


def test_the_mean_over_no_distance_is_the_force_there():
    curve = fit_band(two_reading_band())
    assert curve.mean_kg(1.5, 1.5) == float(curve.force_kg(1.5))


@pytest.mark.parametrize("law", [PowerLaw(0.8, 40.0, 0.66), RubberLaw(0.8, 20.0, 10.0)])
def test_no_work_is_stored_in_a_slack_band(law):
    assert law.integral_kg_m([0.0, 0.5, 0.8]) == pytest.approx([0, 0, 0], abs=1e-15)
    assert law.integral_kg_m(0.9) > 0


def test_half_of_bottom_and_top_underestimates_the_mean():
    curve = fit_band(two_reading_band())
    ends = float(curve.force_kg(1.3) + curve.force_kg(1.9)) / 2
    assert curve.mean_kg(1.3, 1.9) > ends


@given(st.lists(st.integers(2, 90), min_size=1, max_size=5, unique=True))
def test_a_calibration_in_pounds_and_inches_gives_the_same_curve(inches):
    # NIST SP 811: 1 lb = 0.45359237 kg and 1 in = 25.4 mm, both exactly.
    def calibrated(length, force):
        rows = tuple(BandReading(length(40 + x), force(10 + x), DAY) for x in sorted(inches))
        return fit_band(Band("grey", "grey", 2, length(40), rows))

    imperial = calibrated(Length.inches, Mass.lb)
    metric = calibrated(
        lambda x: Length.mm(Decimal("25.4") * x), lambda x: Mass.kg(Decimal("0.45359237") * x)
    )
    assert imperial == metric


@pytest.mark.parametrize(
    ("law", "match"),
    [
        (lambda: PowerLaw(0.0, 1.0, 0.66), "rest length > 0"),
        (lambda: PowerLaw(1.0, -1.0, 0.66), "K ≥ 0"),
        (lambda: PowerLaw(1.0, float("inf"), 0.66), "K ≥ 0"),
        (lambda: PowerLaw(1.0, 1.0, 0.0), "n > 0"),
        (lambda: RubberLaw(0.0, 1.0, 1.0), "rest length > 0"),
        (lambda: RubberLaw(1.0, -1.0, 1.0), "A ≥ 0"),
        (lambda: RubberLaw(1.0, 1.0, -1.0), "B ≥ 0"),
        (lambda: RubberLaw(1.0, float("nan"), 1.0), "A ≥ 0"),
        (lambda: RubberLaw(1.0, float("inf"), 1.0), "A ≥ 0"),
        (lambda: RubberLaw(1.0, 1.0, float("inf")), "B ≥ 0"),
    ],
)
def test_a_law_that_could_fall_cannot_be_built(law, match):
    with pytest.raises(BandLawError, match=match):
        law()
