"""Load–velocity lines and their limits, against published values (checks.md A, V rows)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strength_published import PUBLISHED

from heftwright.domain.catalogue import Pattern
from heftwright.domain.strength.bar_speed import (
    MINIMAL_SPEED,
    SpeedPoint,
    SpeedProfileError,
    bench_share_pct,
    max_from_speed,
    speed_drop_ratio,
    speed_loss_ratio,
    squat_share_pct,
)


def points(loads, speeds):
    return [SpeedPoint(load, speed) for load, speed in zip(loads, speeds, strict=True)]


def test_bench_share_from_propulsive_velocity():
    # checks.md V1: Gonzalez-Badillo & Sanchez-Medina 2010 (memory).
    row = PUBLISHED["V1"]
    values = [bench_share_pct(speed) for speed in row.input]
    assert values == pytest.approx(row.expected, abs=row.tolerance)


def test_squat_at_0_32_is_about_the_max():
    # checks.md V3: Sanchez-Medina et al. 2017 (equation from memory, V1RM seen).
    row = PUBLISHED["V3"]
    assert squat_share_pct(row.input) == pytest.approx(row.expected, abs=row.tolerance)


def test_minimal_speeds_of_the_three_barbell_lifts():
    # checks.md V4: Helms et al. 2017.
    shown = {p.value: [v.mean_m_s, v.sd_m_s] for p, v in MINIMAL_SPEED.items()}
    assert shown == PUBLISHED["V4"].expected


def test_two_points_of_a_bench_give_its_max():
    # checks.md V5: method of Garcia-Ramos & Jaric 2018, numbers constructed.
    row = PUBLISHED["V5"]
    found = max_from_speed(points([60, 100], [0.90, 0.40]), 0.17, Pattern.BENCH)
    assert found.max_kg == pytest.approx(row.expected, abs=row.tolerance)
    assert not found.is_low_confidence


def test_two_loads_too_close_are_warned_about():
    # checks.md V8, first case.
    case = PUBLISHED["V8"].input[0]
    found = max_from_speed(points(case["l"], case["v"]), 0.17, Pattern.BENCH)
    assert found.is_low_confidence
    assert "too close" in found.cautions[0]


def test_a_bar_that_speeds_up_with_load_is_refused():
    # checks.md V8, second case.
    case = PUBLISHED["V8"].input[1]
    with pytest.raises(SpeedProfileError, match="does not slow down"):
        max_from_speed(points(case["l"], case["v"]), 0.17, Pattern.BENCH)


def test_a_deadlift_is_always_low_confidence():
    # checks.md V9: Ruf et al. 2018; Lake et al. 2017.
    found = max_from_speed(points([100, 200], [0.7, 0.3]), 0.14, Pattern.DEADLIFT)
    assert found.is_low_confidence
    assert "Ruf et al. 2018" in found.cautions[-1]


def test_one_load_is_no_line():
    with pytest.raises(SpeedProfileError, match="two different loads"):
        max_from_speed(points([100, 100], [0.5, 0.52]), 0.17, Pattern.BENCH)


@pytest.mark.parametrize(("load", "speed"), [(0, 0.5), (100, 0), (100, 4.2), (-1, 0.5)])
def test_points_that_cannot_have_been_measured_are_refused(load, speed):
    with pytest.raises(SpeedProfileError, match="above 0"):
        SpeedPoint(load, speed)


@given(
    st.floats(80, 400), st.floats(0.1, 0.3), st.floats(0.004, 0.02),
    st.lists(st.floats(0.3, 0.9), min_size=3, max_size=6, unique=True),
)  # fmt: skip
def test_points_on_a_line_give_back_the_max_they_came_from(top, minimal, per_kg, shares):
    loads = [top * share for share in shares]
    if (max(loads) - min(loads)) < 0.25 * max(loads):
        return
    speeds = [minimal + per_kg * (top - load) for load in loads]
    if max(speeds) >= 4:
        return
    found = max_from_speed(points(loads, speeds), minimal, Pattern.SQUAT)
    assert found.max_kg == pytest.approx(top, rel=1e-6)


def test_speed_loss_in_a_set_is_held_against_its_fastest_rep():
    assert speed_loss_ratio([0.50, 0.52, 0.40]) == pytest.approx(0.12 / 0.52)
    with pytest.raises(SpeedProfileError, match="at least one repetition"):
        speed_loss_ratio([])


def test_a_slow_day_is_held_against_the_athletes_own_habit_or_not_at_all():
    assert speed_drop_ratio(0.45, [0.50, 0.51]) is None
    assert speed_drop_ratio(0.45, [0.50, 0.51, 0.49]) == pytest.approx(0.1)
