"""Bar speeds over time: own lines, loss in a set, days clearly slower than the habit."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, load_catalogue
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.bar_speed import SpeedProfileError
from heftwright.domain.strength.bar_speed_log import (
    BarSpeedSet,
    is_for_planning,
    profile,
    slowness,
)

TODAY = date(2026, 11, 25)
CATALOGUE = load_catalogue()
BENCH, DEADLIFT = CATALOGUE[LiftKey("bench")], CATALOGUE[LiftKey("deadlift")]
PRESS = CATALOGUE[LiftKey("log_clean_press")]


def a_set(kg, *speeds, back=3, number=1, lift=BENCH):
    day = TODAY - timedelta(days=back)
    return BarSpeedSet(AthleteId("ada"), lift.key, day, number, Mass.kg(str(kg)), speeds)


def test_the_line_meets_the_published_speed_of_a_bench_max():
    # v = 1.1 − 0.01·kg reaches 0.10 m/s (Helms et al. 2017, seen) at 100 kg.
    found = profile([a_set(40, 0.70), a_set(70, 0.40)], BENCH, TODAY)
    assert found.found.max_kg == pytest.approx(100)
    assert "Helms" in found.at_max.words
    assert not found.found.is_low_confidence


def test_an_own_slow_single_stands_in_for_the_published_speed():
    sets = [a_set(40, 0.70), a_set(70, 0.40), a_set(97.5, 0.125, number=3)]
    found = profile(sets, BENCH, TODAY)
    assert found.at_max.speed_m_s == 0.125
    assert "97.5 kg" in found.at_max.words


def test_a_fast_single_is_no_max_and_leaves_the_published_speed():
    assert profile([a_set(40, 0.7), a_set(70, 0.4)], BENCH, TODAY).at_max.speed_m_s == 0.10


def test_the_fastest_repetition_at_a_load_speaks():
    found = profile([a_set(40, 0.60, 0.70, 0.65), a_set(70, 0.40, 0.30)], BENCH, TODAY)
    assert [point.speed_m_s for point in found.points] == [0.70, 0.40]


def test_six_weeks_old_speeds_draw_no_line():
    found = profile([a_set(40, 0.7, back=43), a_set(70, 0.4)], BENCH, TODAY)
    assert found.found is None
    assert "two different loads" in found.why_not


def test_a_heavier_bar_that_is_clearly_faster_is_another_lift_or_a_swapped_column():
    found = profile([a_set(40, 0.4), a_set(70, 0.7)], BENCH, TODAY)
    assert "check lift, load and order" in found.why_not


def test_two_points_too_close_are_low_confidence():
    found = profile([a_set(60, 0.50), a_set(70, 0.40)], BENCH, TODAY)
    assert found.found.is_low_confidence
    assert "too close" in found.found.cautions[0]


def test_a_deadlift_is_always_low_confidence_and_never_evidence():
    # Ruf et al. 2018; Lake et al. 2017
    sets = [a_set(80, 0.8, lift=DEADLIFT), a_set(160, 0.4, lift=DEADLIFT)]
    assert profile(sets, DEADLIFT, TODAY).found.is_low_confidence
    assert not is_for_planning(DEADLIFT)
    assert is_for_planning(BENCH)


def test_without_a_published_speed_there_is_no_max():
    found = profile([a_set(40, 0.9, lift=PRESS), a_set(80, 0.5, lift=PRESS)], PRESS, TODAY)
    assert (found.found, found.at_max) == (None, None)
    assert "No speed at a max is published" in found.why_not


@pytest.mark.parametrize(("speed", "is_told"), [(0.46, False), (0.44, True)])
def test_ten_per_cent_slower_than_the_own_habit_is_told(speed, is_told):
    habit = [a_set(70, 0.5, back=back) for back in (30, 20, 10)]
    assert (slowness([*habit, a_set(70, speed, back=1)]) is not None) == is_told


def test_three_days_of_habit_at_about_the_load_are_needed():
    habit = [a_set(70, 0.5, back=30), a_set(70, 0.5, back=20), a_set(60, 0.6, back=10)]
    assert slowness([*habit, a_set(70, 0.3, back=1)]) is None
    assert slowness([*habit, a_set(71, 0.5, back=9), a_set(70, 0.3, back=1)]) is not None


def test_slowness_is_described_and_not_foretold():
    habit = [a_set(70, 0.5, back=back) for back in (30, 20, 10)]
    words = slowness([*habit, a_set(70, 0.4, back=1)]).words
    assert "20 % slower than the habit of 3 days" in words
    assert "says nothing about what will happen" in words


def test_a_set_loses_speed_from_its_fastest_to_its_last():
    assert a_set(70, 0.5, 0.45, 0.4).loss_ratio == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("speeds", "number", "words"),
    [((), 1, "0 measured"), ((0.5,) * 31, 1, "31 measured"), ((0.5,), 0, "outside 1–60"),
     ((0.0,), 1, "above 0"), ((0.005,), 1, "look at the unit"), ((4.2,), 1, "below 4 m/s")],
)  # fmt: skip
def test_a_set_that_no_bar_does_is_refused(speeds, number, words):
    with pytest.raises(SpeedProfileError, match=words):
        a_set(70, *speeds, number=number)


@given(st.lists(st.floats(0.05, 3.5), min_size=1, max_size=8), st.integers(1, 60))
def test_the_same_set_has_the_same_key_and_another_number_another(speeds, number):
    one = a_set(70, *speeds, number=number)
    assert one.key == a_set(70, *speeds, number=number).key
    assert one.key != a_set(70, *speeds, number=number % 60 + 1).key
    assert 0 <= one.loss_ratio < 1
