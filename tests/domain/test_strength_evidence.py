"""What was lifted, how much it can say, and how it ages."""

import math
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, Pattern
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.evidence import Evidence, EvidenceError, EvidenceKind
from heftwright.domain.strength.noise import (
    BeliefSettings,
    seen_today,
    speaks_for_deadlift,
    usable,
)

TODAY = date(2026, 11, 25)
SETTINGS = BeliefSettings()


def lifted(kg="200", days_ago=0, kind=EvidenceKind.TEST, reps=1, reserve=0.0):
    day = TODAY - timedelta(days=days_ago)
    return Evidence(AthleteId("a1"), LiftKey("deadlift"), kind, Mass.kg(kg), day, reps, reserve)


@pytest.mark.parametrize("kg", ["0", "1000.001"])
def test_a_load_outside_what_people_lift_is_refused(kg):
    with pytest.raises(EvidenceError, match="outside 0–1000 kg"):
        lifted(kg)


def test_a_test_is_a_single_and_reps_have_limits():
    with pytest.raises(EvidenceError, match="A test is a single"):
        lifted(reps=2)
    with pytest.raises(EvidenceError, match="outside 1–30"):
        lifted(kind=EvidenceKind.REP_SET, reps=31)
    with pytest.raises(EvidenceError, match="outside 0–10"):
        lifted(reserve=10.5)


def test_only_a_test_or_contest_single_with_nothing_left_is_a_tested_max():
    assert lifted().is_single
    assert lifted(kind=EvidenceKind.CONTEST).is_single
    assert not lifted(reserve=1).is_single
    assert not lifted(kind=EvidenceKind.BANDED_SINGLE).is_single
    assert not lifted(kind=EvidenceKind.CONTEST, reps=3).is_single


def test_five_reps_with_two_left_speak_for_load_over_83_percent():
    # Derived from the training-load chart (checks.md E2).
    assert lifted("166", kind=EvidenceKind.REP_SET, reps=5, reserve=2).implied_kg == pytest.approx(
        200
    )


def test_noise_grows_with_reps_and_reserve_and_more_for_deadlifts():
    sd = SETTINGS.noise_sd
    sets = [lifted(kind=EvidenceKind.REP_SET, reps=reps) for reps in (2, 5, 10)]
    assert [sd(item, is_deadlift=False) for item in sets] == sorted(
        sd(item, is_deadlift=False) for item in sets
    )
    assert sd(sets[1], is_deadlift=True) > sd(sets[1], is_deadlift=False)
    felt = lifted(kind=EvidenceKind.REP_SET, reps=4, reserve=1)
    assert sd(felt, is_deadlift=False) > sd(sets[1], is_deadlift=False)
    assert sd(lifted(), is_deadlift=True) == SETTINGS.test_sd == 0.02
    assert sd(lifted(kind=EvidenceKind.BANDED_SINGLE), is_deadlift=True) == SETTINGS.banded_sd
    speed = lifted(kind=EvidenceKind.BAR_SPEED)
    assert sd(speed, is_deadlift=True) > sd(speed, is_deadlift=False) == SETTINGS.speed_sd


def test_only_the_deadlift_pattern_speaks_for_deadlifts():
    assert [p for p in Pattern if speaks_for_deadlift(p)] == [Pattern.DEADLIFT]


def test_two_tests_of_one_day_count_twice():
    mean, variance = seen_today([lifted("200"), lifted("210")], TODAY, SETTINGS, is_deadlift=True)
    assert mean == pytest.approx((math.log(200) + math.log(210)) / 2)
    assert variance == pytest.approx(0.02**2 / 2)


@given(st.lists(st.tuples(st.integers(100, 300), st.integers(0, 700)), min_size=1, max_size=6))
def test_ageing_equals_a_random_walk_by_plain_matrices(items):
    # Independent arithmetic: y_k = max(today) - walk back to day k + noise, generalised mean.
    evidence = [lifted(str(kg), days) for kg, days in items]
    ages = [days / 7 for _, days in items]
    ys = [math.log(kg) for kg, _ in items]
    cov = SETTINGS.week_sd**2 * np.minimum.outer(ages, ages) + 0.02**2 * np.eye(len(items))
    weights = np.linalg.solve(cov, np.ones(len(items)))
    mean, variance = seen_today(evidence, TODAY, SETTINGS, is_deadlift=True)
    assert mean == pytest.approx(float(weights @ ys / weights.sum()), abs=1e-9)
    misfit = np.array(ys) - mean
    step = float(misfit @ np.linalg.solve(cov, misfit)) / max(1, len(ys) - 1)
    # Ordinary scatter leaves the variance alone; beyond three sd it widens with the misfit.
    assert variance == pytest.approx(float(1 / weights.sum()) * max(1.0, step - 8.0), rel=1e-6)


def test_a_year_old_test_counts_much_less_than_a_fresh_one():
    mean, _ = seen_today([lifted("200", 364), lifted("220", 1)], TODAY, SETTINGS, is_deadlift=True)
    assert math.exp(mean) > 217


def test_a_deadlift_rep_set_below_the_latest_single_is_left_out_and_others_stay():
    # LeSuer et al. 1997; Bishop et al. 2014.
    single = lifted("200", 30)
    low = lifted("150", 2, EvidenceKind.REP_SET, 5)
    high = lifted("190", 2, EvidenceKind.REP_SET, 5)
    speed = lifted("180", 2, EvidenceKind.BAR_SPEED)
    banded = lifted("180", 2, EvidenceKind.BANDED_SINGLE)
    kept = usable([single, low, high, speed, banded], is_deadlift=True)
    assert kept == (single, high, banded)
    assert usable([low, speed], is_deadlift=True) == (low, speed)
    assert usable([single, low], is_deadlift=False) == (single, low)


def test_a_set_is_told_with_its_reps_and_what_was_left():
    five = Evidence(
        AthleteId("ada"), LiftKey("bench"), EvidenceKind.REP_SET, Mass.kg("62.5"),
        date(2026, 11, 2), reps=5, reps_in_reserve=2,
    )  # fmt: skip
    assert five.set_words() == "62.5 kg × 5, 2 in reserve"
    single = Evidence(
        AthleteId("ada"), LiftKey("bench"), EvidenceKind.TEST, Mass.kg(100), date(2026, 11, 2)
    )
    assert single.set_words() == "100 kg"
