"""Speed-work waves, schemes and tapers as the trade does them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.catalogue import Resistance
from heftwright.domain.dose import (
    WAVE_TEMPLATES,
    Scheme,
    SchemeError,
    SchemeStyle,
    WaveError,
    WaveStep,
    WaveTemplate,
    factorisations,
    scheme_for,
    step_for,
    taper,
    template_for,
)
from heftwright.domain.dose.schemes import ClassTime, scheme_within
from heftwright.domain.dose.waves import UnknownWaveError, wave_named

BANDED = WAVE_TEMPLATES["banded"]


def as_written(schemes):
    return [str(scheme) for scheme in schemes]


def test_a_banded_wave_puts_50_55_60_on_the_bar_and_75_80_85_at_lockout():
    # checks.md A, facts of the trade (common practice, no source).
    steps = [step_for(BANDED, week, 3) for week in (1, 2, 3)]
    assert [step.bar_ratio for step in steps] == [0.50, 0.55, 0.60]
    assert [step.lockout_ratio for step in steps] == pytest.approx([0.75, 0.80, 0.85])
    assert [step.most_reps for step in steps] == [24, 24, 20]


def test_25_percent_of_a_270_kg_max_is_67_5_kg_and_a_60_kg_band_is_22_2_percent():
    # checks.md A, facts of the trade (common practice, no source).
    assert 270 * BANDED.steps[0].top_ratio == 67.5
    assert round(100 * 60 / 270, 1) == 22.2


@pytest.mark.parametrize(
    ("reps", "written"),
    [(24, ["12 × 2", "8 × 3", "6 × 4"]), (20, ["10 × 2", "5 × 4", "4 × 5"])],
)
def test_24_reps_and_20_reps_split_on_a_lower_day(reps, written):
    # checks.md A, facts of the trade (common practice, no source).
    step = WaveStep(0.5, 0.25, reps)
    assert as_written(scheme_for(step, drift, is_lower=True) for drift in range(3)) == written


def test_an_upper_day_starts_at_sets_of_three():
    step = WaveStep(0.5, 0.25, 24)
    written = as_written(scheme_for(step, drift, is_lower=False) for drift in range(3))
    assert written == ["8 × 3", "6 × 4", "4 × 6"]


def test_8_sets_need_a_third_fewer_set_ups_than_12():
    # checks.md A, facts of the trade.
    by_sets = {option.scheme.sets: option for option in factorisations(24)}
    assert by_sets[8].set_ups_saved_against(by_sets[12]) == Fraction(1, 3)


def test_every_way_to_split_24_is_named_with_what_it_means():
    options = factorisations(24)
    assert as_written(o.scheme for o in options) == ["12 × 2", "8 × 3", "6 × 4", "4 × 5", "4 × 6"]
    assert [o.short_of for o in options] == [0, 0, 0, 4, 0]
    assert [o.style for o in options] == [
        SchemeStyle.FIRST_REP, SchemeStyle.SPEED, SchemeStyle.SPEED, SchemeStyle.ENDURANCE,
        SchemeStyle.ENDURANCE,
    ]  # fmt: skip
    assert options[3].words.startswith("4 × 5: 20 reps, 4 below the table, 4 set-ups")
    assert "below" not in options[0].words


@given(st.integers(4, 40), st.integers(0, 2), st.booleans())
def test_no_scheme_goes_above_the_table_and_drift_lengthens_the_sets(most, drift, is_lower):
    step = WaveStep(0.5, 0.25, most)
    try:
        scheme = scheme_for(step, drift, is_lower)
        later = scheme_for(step, min(drift + 1, 2), is_lower)
    except SchemeError:
        pytest.fail("every total of 4–40 must split into a scheme")
    assert scheme.total_reps <= most
    assert later.reps >= scheme.reps
    assert later.sets <= scheme.sets


@given(st.integers(1, 60), st.integers(1, 6), st.integers(0, 6))
def test_all_factorisations_are_there_and_none_is_above_the_total(total, low, more):
    options = factorisations(total, (low, low + more))
    for option in options:
        assert option.scheme.total_reps + option.short_of == total
        assert 0 <= option.short_of < option.scheme.reps
    exact = {
        reps for reps in range(low, low + more + 1) if total % reps == 0 and total // reps <= 20
    }
    assert exact == {option.scheme.reps for option in options if option.is_exact}


@pytest.mark.parametrize(("sets", "kept"), [(12, 7), (10, 5), (8, 4), (6, 3), (5, 3), (1, 1)])
def test_a_taper_keeps_54_5_percent_of_the_volume_as_fewer_sets(sets, kept):
    # Winwood et al. 2018: volume −45.5 %.
    eased = taper(Scheme(sets, 3, 60))
    assert eased == Scheme(kept, 3, 60)
    best = min(range(1, sets + 1), key=lambda n: abs(n / sets - 0.545))
    assert kept == best


def test_speed_sets_rest_one_to_two_minutes():
    # J Sports Sci Med 14:269: 1–2 min suffice for power over six sets.
    for option in factorisations(24):
        assert 60 <= option.scheme.rest_s <= 120


def test_a_short_wave_keeps_the_lighter_weeks():
    assert step_for(BANDED, 1, 1) == BANDED.steps[0]
    assert step_for(BANDED, 2, 2) == BANDED.steps[1]


def test_a_week_that_a_wave_does_not_have_is_refused():
    with pytest.raises(WaveError, match="Week 3 of 2"):
        step_for(BANDED, 3, 2)
    with pytest.raises(WaveError, match="has 3 weeks, not 4"):
        step_for(BANDED, 1, 4)


def test_no_bands_means_other_percentages():
    assert template_for(Resistance.BANDS, is_lower=True).key == "lower_banded"
    assert template_for(Resistance.BANDS, is_lower=False).key == "upper_banded"
    assert template_for(Resistance.CHAINS, is_lower=True).key == "chains"
    straight = template_for(Resistance.STRAIGHT, is_lower=True)
    assert not straight.needs_accommodation
    assert BANDED.needs_accommodation
    assert straight.steps[0].bar_ratio > BANDED.steps[0].bar_ratio


def test_beginners_and_returners_start_lighter_than_the_straight_wave():
    straight = WAVE_TEMPLATES["straight"].steps[0]
    for key in ("beginner", "lay_off"):
        assert wave_named(key).steps[0].lockout_ratio < straight.lockout_ratio
    assert wave_named("lay_off").steps[0].most_reps <= 12


def test_an_unknown_wave_names_the_known_ones():
    with pytest.raises(UnknownWaveError, match="choose one of banded"):
        wave_named("sideways")


@pytest.mark.parametrize(
    ("bar", "top", "reps", "words"),
    [(0.1, 0.2, 24, "outside"), (0.5, 0.7, 24, "outside"), (0.9, 0.3, 24, "no speed work"),
     (0.5, 0.25, 3, "outside 4–40")],
)  # fmt: skip
def test_a_week_nobody_should_train_is_refused(bar, top, reps, words):
    with pytest.raises(WaveError, match=words):
        WaveStep(bar, top, reps)


def test_a_wave_must_not_get_lighter_and_has_one_to_six_weeks():
    heavy, light = WaveStep(0.6, 0.25, 20), WaveStep(0.5, 0.25, 24)
    with pytest.raises(WaveError, match="gets lighter"):
        WaveTemplate("x", "X", (heavy, light))
    with pytest.raises(WaveError, match="must have 1–6"):
        WaveTemplate("x", "X", ())


def test_totals_and_steps_outside_the_table_are_refused():
    with pytest.raises(SchemeError, match="must be 0, 1 or 2"):
        scheme_for(BANDED.steps[0], 3, is_lower=True)
    with pytest.raises(SchemeError, match="must be 1–60"):
        factorisations(61)


def test_a_class_without_the_time_gets_fewer_longer_sets_and_is_told_why():
    # maxes.md: the event ahead and the class time choose.
    step = BANDED.steps[0]
    assert scheme_within(step, 0, True, ClassTime(40, 180)) == (Scheme(12, 2, 60), "")
    scheme, why = scheme_within(step, 0, True, ClassTime(25, 180))
    assert str(scheme) == "8 × 3"
    assert why == "12 × 2 takes longer than the class has"
    assert str(scheme_within(step, 0, True, ClassTime(20, 180))[0]) == "6 × 4"


def test_a_class_with_hardly_any_time_drops_sets_not_rest():
    scheme, why = scheme_within(BANDED.steps[0], 1, True, ClassTime(9, 180))
    assert scheme == Scheme(3, 4, 75)
    assert why == "only 3 rounds fit the class"
    with pytest.raises(SchemeError, match="must be above 0"):
        ClassTime(0, 180)


def test_a_scheme_nobody_can_do_is_refused():
    with pytest.raises(SchemeError, match="outside 1–20 sets"):
        Scheme(21, 1)
