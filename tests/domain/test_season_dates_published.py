"""Tapers and easy weeks against the papers' numbers (docs/sources.toml)."""

from __future__ import annotations

from datetime import timedelta

import pytest
from bench.season_gyms import EVENTS, START, contest, gym_season, squad

from heftwright.domain.catalogue import EventFamily, load_catalogue
from heftwright.domain.season.rules import SeasonRules
from heftwright.domain.season.substitution import own_taper
from heftwright.domain.season.weeks import WeekKind, lay_weeks, training_runs

# Winwood et al. 2018, 454 strongman athletes: taper 8.6 ± 5.0 days, volume −45.5 ± 12.9 %,
# last training 3.9 ± 1.8 days before.
TAPER_DAYS, TAPER_SD = 8.6, 5.0
VOLUME_CUT_PCT, VOLUME_CUT_SD = 45.5, 12.9
LAST_DAYS, LAST_SD = 3.9, 1.8
# Rogerson et al. 2024, n = 246: a deload of 6.4 ± 1.7 days every 5.6 ± 2.3 weeks.
DELOAD_DAYS, DELOAD_SD = 6.4, 1.7
DELOAD_EVERY_WEEKS, DELOAD_EVERY_SD = 5.6, 2.3
# Pritchard et al. 2016 and Grgic & Mikulic 2017: 10,000 kg -> 4,110 and 4,950 kg.
OTHER_TAPERS_KG = (4110, 4950)

ATHLETES = squad(4)


def tapering(days_before: int):
    side = contest(6, EVENTS[:2], main=False, entrants=ATHLETES[:1])
    problem = gym_season(4, 9, contests=[side])
    return own_taper(ATHLETES[0], problem, side.on - timedelta(days=days_before))


def test_an_easy_week_comes_as_often_and_lasts_as_long_as_coaches_say():
    rules = SeasonRules()
    assert rules.easy_every_weeks == pytest.approx(DELOAD_EVERY_WEEKS, abs=DELOAD_EVERY_SD)
    kinds = lay_weeks(30, [], rules.easy_every_weeks)
    gaps = [len(run) for run in training_runs(kinds)][1:]
    assert set(gaps) == {rules.easy_every_weeks}
    easy_days = 7 * kinds.count(WeekKind.EASY) / max(1, len(training_runs(kinds)) - 1)
    assert easy_days == pytest.approx(DELOAD_DAYS, abs=DELOAD_SD)


def test_a_taper_begins_within_the_days_that_strongman_athletes_taper():
    longest = max(days for days in range(1, 30) if tapering(days) is not None)
    assert longest == pytest.approx(TAPER_DAYS, abs=TAPER_SD)
    assert abs(longest - TAPER_DAYS) < 1


def test_the_volume_left_is_what_strongman_athletes_leave():
    left = 10_000 * tapering(6).volume_ratio
    assert left == pytest.approx(5450, abs=0.5)
    # the papers on other strength sports cut deeper; both lie within one SD of the cut here
    for other_kg in OTHER_TAPERS_KG:
        assert abs(left - other_kg) <= 100 * VOLUME_CUT_SD + 50


def test_the_last_session_of_a_saturday_contest_is_on_tuesday_or_wednesday():
    trained = [days for days in range(1, 8) if tapering(days).volume_ratio > 0]
    assert min(trained) in (3, 4)  # Wednesday or Tuesday
    assert min(trained) == pytest.approx(LAST_DAYS, abs=LAST_SD)


def test_the_squads_taper_week_covers_the_days_before_the_contest():
    kinds = lay_weeks(9, [8], 0)
    saturday = START + timedelta(days=7 * 8 + 5)
    first = START + timedelta(days=7 * kinds.index(WeekKind.TAPER))
    assert (saturday - first).days <= TAPER_DAYS + TAPER_SD


@pytest.mark.parametrize(
    ("family", "least", "most"),
    [  # common practice, no source: deadlift, yoke and stones 8–10 days, press 5–7
        (EventFamily.DEADLIFT_MAX, 7, 10),
        (EventFamily.YOKE, 8, 10),
        (EventFamily.STONES, 8, 10),
        (EventFamily.PRESS_MAX, 5, 7),
    ],
)
def test_an_events_own_lift_has_its_last_heavy_day_in_time(family, least, most):
    own = [lift for lift in load_catalogue().values() if lift.transfer.get(family, 0) >= 0.95]
    assert own
    for lift in own:
        assert least <= lift.last_heavy_days <= most, lift.name
