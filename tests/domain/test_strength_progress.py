"""Progress from all efforts: a line that one odd day moves little, levels of lifts that rotate."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.strength.progress import ProgressError, level_path, steady_line


def test_the_line_agrees_with_a_general_statistics_package():
    # scipy.stats.theilslopes, "joint" intercept: median of value − slope × day.
    stats = pytest.importorskip("scipy.stats")
    rng = np.random.default_rng(5)
    days = np.sort(rng.choice(180, 15, replace=False)).astype(float)
    values = 5 + 0.0004 * days + rng.normal(0, 0.03, 15)
    start, slope = steady_line(list(days), list(values))
    theirs = stats.theilslopes(values, days, method="joint")
    assert slope == pytest.approx(theirs.slope)
    assert start == pytest.approx(theirs.intercept)


def test_one_bad_last_day_does_not_turn_half_a_year_of_gains_into_a_loss():
    days = list(range(0, 100, 10))
    values = [day * 0.001 for day in days]
    values[-1] = -0.2
    assert steady_line(days, values)[1] > 0.0005


@given(st.floats(-1, 1), st.floats(-0.01, 0.01), st.sets(st.integers(0, 300), min_size=2))
def test_a_true_line_is_found(start, slope, days):
    days = sorted(days)
    found = steady_line(days, [start + slope * day for day in days])
    assert found == pytest.approx((start, slope), abs=1e-9)


@pytest.mark.parametrize("days", [[], [3], [3, 3]])
def test_no_line_through_one_day(days):
    with pytest.raises(ProgressError):
        steady_line(days, [5.0] * len(days))


def test_levels_of_rotating_lifts_are_found_though_no_span_has_them_all():
    # Two lifts a span, one handed on to the next; heights differ, levels rise by 1 % a span.
    spans, lifts, values = [], [], []
    for span in range(6):
        for lift in (span, span + 1):
            spans.append(span)
            lifts.append(f"lift {lift}")
            values.append(4 + 0.3 * lift + 0.01 * span)
    path = level_path(spans, lifts, values, 6)
    assert path == pytest.approx([0.01 * span for span in range(6)], abs=1e-5)


def test_a_span_without_efforts_lies_between_its_neighbours():
    path = level_path([0, 2], ["a", "a"], [5.0, 5.2], 3)
    assert path == pytest.approx([0.0, 0.1, 0.2], abs=1e-5)


def test_a_lift_seen_once_says_nothing_about_progress():
    path = level_path([0, 1, 1], ["a", "a", "b"], [5.0, 5.1, 9.0], 2)
    assert path == pytest.approx([0.0, 0.1], abs=1e-5)
    assert math.isfinite(sum(level_path([1], ["a"], [5.0], 3)))


def test_levels_need_efforts():
    with pytest.raises(ProgressError):
        level_path([], [], [], 3)
