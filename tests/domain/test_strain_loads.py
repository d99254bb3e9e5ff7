"""Session loads, monotony, moving averages, reports (checks.md A, L rows; C, readiness)."""

import math
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strength_published import PUBLISHED

import heftwright
from heftwright.domain.catalogue import LiftKey, Region, load_catalogue
from heftwright.domain.squad import AthleteId
from heftwright.domain.strain.load import (
    StrainError,
    WorkDone,
    exposures,
    lifts_by_tens,
    session_load,
    tonnage_kg,
)
from heftwright.domain.strain.reports import (
    FIVE_ITEMS,
    FOUR_ITEMS,
    Direction,
    Report,
    Scale,
    usual_goodness,
)
from heftwright.domain.strain.week import (
    DESCRIPTIVE,
    ImpulseResponse,
    SdConvention,
    Seed,
    against_habit,
    decay_for,
    habit,
    moving_average,
    rolling_ratio,
    week_strain,
)

SQUAT = load_catalogue()[LiftKey("box_squat")]
A1 = AthleteId("a1")


def test_session_load_is_rating_times_minutes():
    # checks.md L1: Foster et al. 2001.
    row = PUBLISHED["L1"]
    assert [session_load(case["rpe"], case["min"]) for case in row.input] == row.expected


def test_a_weeks_total_mean_sd_monotony_and_strain():
    # checks.md L2, constructed; population SD.
    row = PUBLISHED["L2"]
    week = week_strain(row.input)
    values = [week.total, week.mean, week.sd, week.monotony, week.strain]
    assert values == pytest.approx(row.expected, abs=row.tolerance)


def test_six_days_alike_and_one_off():
    # checks.md L4, constructed.
    row = PUBLISHED["L4"]
    week = week_strain(row.input)
    assert week.monotony == pytest.approx(row.expected["monotony"], abs=row.tolerance)
    assert week.strain == pytest.approx(row.expected["strain"], abs=row.tolerance)


def test_seven_equal_days_have_no_monotony_rather_than_an_infinite_one():
    # checks.md L5, algebra.
    week = week_strain(PUBLISHED["L5"].input)
    assert week.monotony is None
    assert week.strain is None
    assert "undefined" in week.words


def test_the_sd_convention_is_stored_and_changes_the_number():
    daily = PUBLISHED["L2"].input
    sample = week_strain(daily, SdConvention.SAMPLE)
    assert sample.convention is SdConvention.SAMPLE
    assert sample.sd == pytest.approx(week_strain(daily).sd * math.sqrt(7 / 6))
    assert "sample SD" in sample.words


def test_decay_of_seven_and_twenty_eight_days():
    # checks.md L6: Williams et al. 2017.
    row = PUBLISHED["L6"]
    assert [decay_for(days) for days in row.input] == pytest.approx(row.expected, abs=1e-6)


def test_a_jump_after_27_even_days_in_every_convention():
    # checks.md L7, constructed.
    row = PUBLISHED["L7"]
    daily = [100.0] * 27 + [300.0]
    view = habit(daily)
    values = [
        view.week, view.month, view.ratio,
        rolling_ratio(daily, is_coupled=True), rolling_ratio(daily, is_coupled=False),
    ]  # fmt: skip
    # The month is printed with three places only, so its tolerance is half the last digit.
    assert values[1] == pytest.approx(row.expected[1], abs=0.0005)
    del values[1]
    assert values == pytest.approx(row.expected[:1] + row.expected[2:], abs=row.tolerance)


def test_the_seed_changes_the_ratio_so_it_is_shown():
    # checks.md L9, constructed.
    row = PUBLISHED["L9"]
    week = [600.0, 0.0, 360.0, 0.0, 630.0, 250.0, 0.0]
    daily = week * 3 + [1.5 * load for load in week]
    values = [
        habit(daily, Seed.FIRST_LOAD).ratio, habit(daily, Seed.ZERO).ratio,
        rolling_ratio(daily, is_coupled=True), rolling_ratio(daily, is_coupled=False),
    ]  # fmt: skip
    assert values == pytest.approx(row.expected, abs=row.tolerance)
    assert "first load" in habit(daily).words


def test_before_day_28_it_is_warming_up():
    # checks.md L9.
    assert habit([100.0] * 27).words.startswith("Warming up")
    assert not habit([100.0] * 28).words.startswith("Warming up")
    assert rolling_ratio([100.0] * 27, is_coupled=True) is None


def test_impulse_response_times_to_even_and_to_peak():
    # checks.md L10: Morton et al. 1990 / Fitz-Clarke et al. 1991, published rounded 16 and 40 d.
    row = PUBLISHED["L10"]
    curve = ImpulseResponse()
    values = [curve.days_to_even, curve.days_to_peak]
    assert values == pytest.approx(row.expected, abs=row.tolerance)
    assert curve.effect(curve.days_to_even) == pytest.approx(0, abs=1e-12)
    peak = curve.effect(curve.days_to_peak)
    assert peak > curve.effect(curve.days_to_peak - 1)
    assert peak > curve.effect(curve.days_to_peak + 1)


PACKAGE = Path(heftwright.__file__).parent
CLAIMS = ("injury risk", "safe zone", "danger zone", "sweet spot", "ok to lift")


def test_no_text_claims_to_predict_and_the_caution_says_descriptive():
    # checks.md L12: Impellizzeri et al. 2020, 2021. On every screen, paper and page of help.
    files = [path for kind in ("py", "html", "js", "typ") for path in PACKAGE.rglob(f"*.{kind}")]
    said = {path.name: path.read_text(encoding="utf-8").casefold() for path in files}
    assert len(files) > 300
    assert [(name, claim) for name, text in said.items() for claim in CLAIMS if claim in text] == []
    assert "descriptive" in DESCRIPTIVE.casefold()


@given(st.lists(st.floats(0, 2000), min_size=28, max_size=80))
def test_a_moving_average_stays_within_the_loads_it_averages(daily):
    for seed in Seed:
        averages = moving_average(daily, 7, seed)
        assert len(averages) == len(daily)
        assert max(averages) <= max(daily) + 1e-9
    assert min(moving_average(daily, 7, Seed.FIRST_LOAD)) >= min(daily) - 1e-9


@given(st.lists(st.floats(0, 1000), min_size=7, max_size=7), st.floats(0.1, 10))
def test_monotony_does_not_depend_on_the_unit_of_load(daily, factor):
    one, other = week_strain(daily), week_strain([factor * load for load in daily])
    if one.sd > 1e-3 and other.sd > 1e-3:
        assert one.monotony == pytest.approx(other.monotony, rel=1e-6)


def test_a_missing_day_is_not_a_zero():
    week = week_strain([600, None, 360, 0, 630, 250, 0])
    assert week.missing_days == 1
    assert week.strain is None
    assert "missing is not zero" in week.words
    assert week_strain([None] * 7).total == 0


def test_weeks_and_sessions_that_cannot_be_are_refused():
    with pytest.raises(StrainError, match="7 days"):
        week_strain([100] * 6)
    with pytest.raises(StrainError, match="below 0"):
        week_strain([100] * 6 + [-1])
    with pytest.raises(StrainError, match="outside 0–10"):
        session_load(11, 60)
    with pytest.raises(StrainError, match="outside 0–600"):
        session_load(8, 601)
    with pytest.raises(StrainError, match="at least one"):
        decay_for(0)
    with pytest.raises(StrainError, match="slower than the tiredness"):
        ImpulseResponse(tau_gain_d=10, tau_tired_d=15)


def test_no_days_and_no_load_have_words_too():
    assert habit([]).is_warming_up
    assert habit([0.0] * 30).ratio is None
    assert "No load" in habit([0.0] * 30).words
    assert rolling_ratio([0.0] * 30, is_coupled=False) is None


def test_tonnage_counts_what_the_bands_add_on_average():
    work = [WorkDone(SQUAT, 12, 2, 100.0, mean_added_kg=30.0), WorkDone(SQUAT, 5, 2, 80.0)]
    assert tonnage_kg(work) == 24 * 130 + 10 * 80


def test_lifts_are_counted_by_their_share_at_lockout():
    work = [
        WorkDone(SQUAT, 12, 2, 100.0, max_kg=200.0, top_added_kg=50.0),
        WorkDone(SQUAT, 3, 1, 180.0, max_kg=200.0),
        WorkDone(SQUAT, 1, 1, 205.0, max_kg=200.0),
        WorkDone(SQUAT, 2, 10, 60.0),
    ]
    assert lifts_by_tens(work) == {
        "70–79 %": 24, "90–99 %": 3, "100 and more": 1, "no max known": 20,
    }  # fmt: skip


def test_exposure_of_a_usual_session_is_the_catalogues_number():
    usual = exposures([WorkDone(SQUAT, 10, 2, 160.0, max_kg=200.0)])
    assert usual[Region.SPINE] == pytest.approx(SQUAT.exposure[Region.SPINE])
    heavier = exposures([WorkDone(SQUAT, 10, 2, 180.0, max_kg=200.0)])
    assert heavier[Region.SPINE] > usual[Region.SPINE]
    assert set(usual) == set(Region)


def test_work_below_zero_is_refused():
    with pytest.raises(StrainError, match="must not be below 0"):
        WorkDone(SQUAT, -1, 2, 100.0)


def test_readiness_five_items_higher_is_better():
    # checks.md C: 4, 4, 3, 5, 4 = 20 of 25.
    report = Report(A1, date(2026, 11, 25), FIVE_ITEMS, (4, 4, 3, 5, 4))
    assert report.total == 20
    assert report.words == "20 of 25, higher is better"
    assert report.goodness_ratio == pytest.approx(0.75)


def test_readiness_four_items_higher_is_worse():
    # checks.md C: 3, 2, 4, 3 = 12.
    report = Report(A1, date(2026, 11, 25), FOUR_ITEMS, (3, 2, 4, 3))
    assert report.total == 12
    assert report.words == "12 of 28, higher is worse"
    assert report.goodness_ratio == pytest.approx(1 - 8 / 24)


def test_an_item_not_answered_leaves_no_sum():
    report = Report(A1, date(2026, 11, 25), FIVE_ITEMS, (4, None, 3, 5, 4))
    assert report.total is None
    assert report.goodness_ratio is None
    assert "missing" in report.words


def test_answers_off_the_scale_or_of_another_length_are_refused():
    with pytest.raises(StrainError, match="every answer must be 1–5"):
        Report(A1, date(2026, 11, 25), FIVE_ITEMS, (4, 4, 6, 5, 4))
    with pytest.raises(StrainError, match="asks 5 items"):
        Report(A1, date(2026, 11, 25), FIVE_ITEMS, (4, 4))
    with pytest.raises(StrainError, match="limits that rise"):
        Scale("x", ("a",), 5, 5, Direction.HIGHER_IS_BETTER)


def test_an_athlete_is_held_against_their_own_habit_and_only_on_one_scale():
    days = [Report(A1, date(2026, 11, day), FIVE_ITEMS, (4, 4, 3, 5, 4)) for day in range(1, 6)]
    assert usual_goodness(days) == pytest.approx(0.75)
    assert usual_goodness(days[:4]) is None
    other = Report(A1, date(2026, 11, 9), FOUR_ITEMS, (3, 2, 4, 3))
    with pytest.raises(StrainError, match="do not compare"):
        usual_goodness([*days, other])


def test_a_value_is_said_within_above_or_below_the_usual():
    history = list(range(100, 200, 10))
    assert "within" in against_habit(150, history)
    assert "above" in against_habit(250, history)
    assert "below" in against_habit(50, history)
    assert against_habit(150, history[:7]) is None
