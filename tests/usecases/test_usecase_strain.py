"""Session ratings, tonnage and exposures against the own habit: missing is not zero."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from yard_cast import TERMINAL, YARD, logged, monday_class

from heftwright.domain.catalogue import Region
from heftwright.domain.dose.health_guards import PainRules
from heftwright.domain.log import PainReport, SetOutcome
from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.prescription.settings import CoachSettings
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId
from heftwright.domain.strain import SdConvention, Seed, StrainError
from heftwright.domain.strain.reports import FIVE_ITEMS, PAIN_0_10, Report
from heftwright.domain.strain.session import SessionEffort
from heftwright.usecases import (
    attendance,
    clock,
    dose_settings,
    log,
    pain,
    readiness,
    strain,
    timetable,
    trail,
)
from heftwright.usecases.permissions import ForbiddenError
from heftwright.usecases.readiness import ReadinessError
from heftwright.usecases.strain import SessionRatingError

ADA, BO, CY = AthleteId("ada"), AthleteId("bo"), AthleteId("cy")
TONIGHT = datetime(2026, 11, 23, 18, 45, tzinfo=UTC)
TODAY = TONIGHT.date()
IN_YARD = {"gym": YARD, "by": TERMINAL}


@pytest.fixture(autouse=True)
def tonight():
    """The clock stands at the class."""
    with clock.held_at(TONIGHT):
        yield


def effort(rpe, back=0, who=ADA, minutes=60):
    day = TODAY - timedelta(days=back)
    return SessionEffort(who, day, f"{day}/mon-1830", rpe, minutes)


def rate(*efforts):
    strain.rate_sessions(**IN_YARD, efforts=efforts)


def train(back=0, who="ada", kg=100, reps=5, **more):
    day = TODAY - timedelta(days=back)
    at = datetime.combine(day, time(18), tzinfo=UTC)
    facts = {"load": EnteredMass(kg * 1000, MassUnit.KG), "reps_done": reps}
    fact = logged(who, class_key=f"{day}/mon-1830", logged_at=at, **(facts | more))
    log.log_sets(**IN_YARD, sets=[fact])


def squad_line(who=ADA):
    return next(line for line in strain.get_squad_strain(gym=YARD) if line.athlete.id == who)


def mine(who=ADA):
    return strain.get_athlete_strain(gym=YARD, athlete=who)


def test_a_sessions_load_is_its_rating_times_its_minutes(yard):
    # Foster et al. 2001: RPE 7 over 60 min is 420.
    rate(effort(7))
    assert mine().days.loads == (420,)


def test_a_week_of_fosters_kind_has_its_monotony(yard):
    # Foster 1998's way: mean over SD of seven daily loads, here three sessions of 300 a week.
    rate(*(effort(5, back) for back in (6, 4, 2)))
    week = squad_line().week
    mean, sd = 900 / 7, (3 * (300 - 900 / 7) ** 2 + 4 * (900 / 7) ** 2) ** 0.5 / 7**0.5
    assert week.monotony == pytest.approx(mean / sd)
    assert week.strain == pytest.approx(900 * mean / sd)


def test_the_sd_convention_is_the_gyms_own(yard):
    rate(*(effort(5, back) for back in (6, 4, 2)))
    population = squad_line().week.monotony
    own = replace(CoachSettings(), sd=SdConvention.SAMPLE, seed=Seed.ZERO)
    dose_settings.change_settings(**IN_YARD, settings=own)
    assert squad_line().week.monotony == pytest.approx(population * (6 / 7) ** 0.5)
    assert mine().seed is Seed.ZERO


def test_a_day_trained_and_not_rated_is_missing_and_not_zero(yard):
    rate(effort(5, 6), effort(7, 1))
    train(back=3)
    train(back=2, outcome=SetOutcome.SKIPPED, reps=0)
    assert mine().days.loads == (300, 0, 0, None, None, 420, 0)
    line = squad_line()
    assert line.week.monotony is None
    assert "missing is not zero" in line.week.words
    assert line.missing == 2


def test_before_day_28_averages_are_warming_up(yard):
    rate(effort(5, 26), effort(5, 0))
    assert squad_line().habit_words == "warming up"
    rate(effort(5, 27))
    assert squad_line().habit_words.endswith("× the last four weeks")


def test_nobody_rated_has_no_load_and_is_not_shown_as_zero(yard):
    line = squad_line()
    assert (line.sessions, line.habit_words) == (0, "no session rated in four weeks")


def test_a_later_rating_replaces_an_earlier_one_and_one_undo_takes_a_class_back(yard):
    rate(effort(5), effort(6, who=BO))
    rate(effort(8))
    assert mine().days.loads == (480,)
    latest = trail.get_trail(gym=YARD, subject=f"session/{effort(8).key}")[0]
    trail.undo(**IN_YARD, act=latest.act)
    assert mine().days.loads == (300,)
    first = trail.get_trail(gym=YARD, subject=f"session/{effort(6, who=BO).key}")[-1]
    trail.undo(**IN_YARD, act=first.act)
    assert mine().days.loads == mine(BO).days.loads == ()


def test_a_class_to_come_or_nobody_at_all_cannot_be_rated(yard):
    with pytest.raises(SessionRatingError, match="yet to come"):
        rate(effort(5, back=-1))
    with pytest.raises(SessionRatingError, match="Nobody was rated"):
        rate()
    with pytest.raises(NotFoundError, match="zoe"):
        rate(effort(5, who=AthleteId("zoe")))


@pytest.mark.parametrize(("rpe", "minutes"), [(11, 60), (-1, 60), (5, 601)])
def test_a_rating_that_cannot_be_is_refused(rpe, minutes):
    with pytest.raises(StrainError, match="is outside"):
        effort(rpe, minutes=minutes)


def test_the_rating_sheet_has_the_members_who_came_with_their_minutes(yard):
    timetable.add_class_time(**IN_YARD, class_time=monday_class(members=(ADA, BO)))
    key = f"{TODAY}/mon-1830"
    mark = attendance.AttendanceState
    attendance.mark_attendance(**IN_YARD, class_key=key, states={ADA: mark.LATE}, minutes_late=15)
    attendance.mark_attendance(**IN_YARD, class_key=key, states={BO: mark.AWAY, CY: mark.HERE})
    rate(effort(7, who=CY, minutes=50))
    sheet = strain.get_effort_sheet(gym=YARD, class_key="mon-1830", on=TODAY)
    rows = [(row.athlete.id, row.was_here, row.rpe, row.minutes) for row in sheet.lines]
    assert rows == [("ada", True, None, 75), ("bo", False, None, 90), ("cy", True, 7, 50)]


def test_the_latest_classes_are_offered_first_and_never_one_to_come(yard):
    timetable.add_class_time(**IN_YARD, class_time=monday_class())
    days = [on for _, on, _ in strain.get_recent_classes(gym=YARD)]
    assert days == [date(2026, 11, 23), date(2026, 11, 16), date(2026, 11, 9)]


def test_tonnage_is_reps_times_load_by_week(yard):
    train(back=0, kg=100, reps=5)
    train(back=0, kg=120, reps=2)
    train(back=7, kg=100, reps=3)
    train(back=7, kg=200, reps=3, outcome=SetOutcome.SKIPPED)
    weeks = mine().weeks
    assert [(week.lifts, week.tonnage_kg) for week in weeks[-2:]] == [(3, 300), (7, 740)]
    assert len(weeks) == 12


def test_weeks_before_anything_was_rated_have_no_load_instead_of_zero(yard):
    rate(effort(5, back=8), effort(6, back=0))
    assert [week.load for week in mine().weeks[-4:]] == [None, 300, 0, 360]


def test_a_regions_week_is_held_against_the_weeks_before_it_only(yard):
    for week in range(1, 11):
        train(back=7 * week, reps=5)
    spine = next(item for item in mine().regions if item.region is Region.SPINE)
    assert spine.words == "as usual"
    assert spine.values[0] is None  # the twelfth week back was not logged
    assert spine.habit[-1][0] == pytest.approx(spine.habit[-1][1])


def test_a_much_harder_week_is_above_the_own_habit_and_no_more_is_said(yard):
    for week in range(2, 12):
        train(back=7 * week, reps=2)
    train(back=7, reps=20)
    words = {item.words for item in mine().regions if item.values[-1]}
    assert words == {"above habit"}


def test_below_eight_logged_weeks_there_is_no_habit(yard):
    for week in range(1, 8):
        train(back=7 * week)
    assert {item.words for item in mine().regions} == {""}


def test_nothing_on_strain_speaks_of_safety_or_forecasts(yard):
    # Impellizzeri et al. 2020, 2021: descriptive only
    for week in range(5):
        rate(effort(7, 7 * week), effort(8, 7 * week + 2))
        train(back=7 * week)
    found = mine()
    said = " ".join(
        [found.week.words, found.habit.words, found.load_words, strain.DESCRIPTIVE,
         *(item.words for item in found.regions)]
    ).lower()  # fmt: skip
    assert not {"safe", "risk", "danger", "injur", "ok to", "zone"} & set(said.split())
    assert "descriptive only" in said


# health notes


def report(*answers, back=0, scale=FIVE_ITEMS):
    return Report(ADA, TODAY - timedelta(days=back), scale, answers)


def test_a_second_report_of_a_day_replaces_the_first(yard):
    readiness.report_readiness(**IN_YARD, report=report(1, 1, 1, 1, 1))
    readiness.report_readiness(**IN_YARD, report=report(5, 4, None, 4, 4))
    (scale,) = readiness.read_health(**IN_YARD, athlete=ADA).scales
    assert [item.answers for item in scale.reports] == [(5, 4, None, 4, 4)]
    assert scale.reports[0].words == "An item is missing: no sum."


def test_a_report_is_held_against_the_athletes_own_middle(yard):
    for back in range(6, 0, -1):
        readiness.report_readiness(**IN_YARD, report=report(4, 4, 4, 4, 4, back=back))
    readiness.report_readiness(**IN_YARD, report=report(2, 2, 1, 2, 2))
    (scale,) = readiness.read_health(**IN_YARD, athlete=ADA).scales
    assert scale.words == "worse than this athlete's own middle"


def test_pain_is_judged_by_the_gyms_own_thresholds(yard):
    said = PainReport(ADA, "d/c", "elbow", 4, TONIGHT)
    pain.report_pain(**IN_YARD, report=said)
    assert not readiness.read_health(**IN_YARD, athlete=ADA).pain[0].guards[0].is_hard
    own = replace(CoachSettings(), pain=PainRules(2, 4))
    dose_settings.change_settings(**IN_YARD, settings=own)
    assert readiness.read_health(**IN_YARD, athlete=ADA).pain[0].guards[0].is_hard


def test_reading_and_reporting_leave_a_trail_without_the_answers(yard):
    readiness.report_readiness(**IN_YARD, report=report(1, 1, 1, 1, 1))
    readiness.read_health(**IN_YARD, athlete=ADA)
    lines = trail.get_trail(gym=YARD)
    assert {"report_readiness", "read_readiness", "read_pain"} <= {line.verb for line in lines}
    assert all("answers" not in str(line.after) for line in lines)


def test_another_scale_and_a_day_to_come_are_refused(yard):
    with pytest.raises(ReadinessError, match="no scale that is asked"):
        readiness.report_readiness(**IN_YARD, report=report(3, scale=PAIN_0_10))
    with pytest.raises(ReadinessError, match="yet to come"):
        readiness.report_readiness(**IN_YARD, report=report(1, 1, 1, 1, 1, back=-1))


def test_a_stranger_reads_nothing(yard, people):
    with pytest.raises(NotFoundError, match="no gym"):
        readiness.read_health(gym=YARD, by=people.stranger, athlete=ADA)
    with pytest.raises(ForbiddenError, match="may not"):
        dose_settings.change_settings(gym=YARD, by=people.assistant, settings=CoachSettings())


def test_the_accommodating_part_and_the_share_come_from_the_plan_of_the_class(yard):
    from heftwright.store.coaching_rows import _added_on

    line = {
        "bar_share_pct": 50.0, "rig": "two bands", "top_kg": 150.0,
        "rope": {"bar_kg": [100.0, 100.0], "total_kg": [110.0, 150.0]},
    }  # fmt: skip
    assert _added_on(line) == (30.0, 50.0, 200.0)
    straight = {"bar_share_pct": 70.0, "rig": "", "top_kg": 140.0, "rope": None}
    assert _added_on(straight) == pytest.approx((0.0, 0.0, 200.0))
