"""Whoever travels to a contest or competes is not expected in class, unless the coach says so."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from yard_cast import TERMINAL, YARD, monday_class, spring_contest

from heftwright.domain.contest import Travel
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId
from heftwright.usecases import attendance, classes, clock, contests, strain, timetable, travels
from heftwright.usecases.absences import get_absences
from heftwright.usecases.attendance import AttendanceState

ADA, BO, CY = AthleteId("ada"), AthleteId("bo"), AthleteId("cy")
MONDAY = date(2026, 11, 30)
BY = {"gym": YARD, "by": TERMINAL}


@pytest.fixture
def class_time(yard):
    """Ada and Bo come on Mondays; Ada and Cy enter a contest on the Saturday before."""
    found = monday_class(members=(BO, ADA))
    timetable.add_class_time(**BY, class_time=found)
    entries = (spring_contest().entries[0], type(spring_contest().entries[0])(CY))
    contest = spring_contest(on=date(2026, 11, 28), entries=entries)
    contests.add_contest(**BY, contest=contest)
    with clock.held_at(datetime(2026, 11, 30, 12, tzinfo=UTC)):
        yield found


def travel_home(days):
    travels.set_travel(**BY, travel=Travel(spring_contest().id, 0, days))


def mark(who, state):
    key = classes.dated_key("mon-1830", MONDAY)
    attendance.mark_attendance(**BY, class_key=key, states={who: state})


def who(class_time, on=MONDAY):
    return classes.who_comes(YARD, class_time, on)


def absences(on=MONDAY):
    return get_absences(gym=YARD, class_key="mon-1830", on=on)


def test_without_travel_everybody_is_back_on_the_monday_after_the_contest(class_time):
    assert who(class_time) == (BO, ADA)
    assert absences() == ()


def test_whoever_is_on_the_way_home_is_not_expected_and_the_reason_is_said(class_time):
    travel_home(2)
    assert who(class_time) == (BO,)
    (one,) = absences()
    assert (one.contest, one.why) == (
        "Spring in the Yard", "on the way home from Spring in the Yard",
    )  # fmt: skip
    assert one.names == ("Ada",)  # Cy travels too, and is no member of the class


def test_a_day_of_travel_less_and_they_train(class_time):
    travel_home(1)
    assert who(class_time) == (BO, ADA)


def test_whoever_competes_on_the_day_of_a_class_is_not_expected(class_time):
    contest = contests.get_contest(gym=YARD, contest=spring_contest().id)
    contests.change_contest(**BY, contest=spring_contest(on=MONDAY, entries=contest.entries))
    assert who(class_time) == (BO,)
    assert [one.why for one in absences()] == ["at Spring in the Yard"]


@pytest.mark.parametrize("state", [AttendanceState.HERE, AttendanceState.LATE])
def test_a_mark_of_the_coach_wins_over_the_contest_calendar(class_time, state):
    travel_home(2)
    mark(ADA, state)
    assert who(class_time) == (BO, ADA)
    assert absences() == ()


def test_a_guest_on_the_way_home_is_there_once_marked(class_time):
    travel_home(2)
    mark(CY, AttendanceState.HERE)
    assert who(class_time) == (BO, CY)


def test_whoever_is_marked_away_stays_away(class_time):
    travel_home(2)
    mark(ADA, AttendanceState.AWAY)
    assert who(class_time) == (BO,)
    mark(BO, AttendanceState.AWAY)
    assert who(class_time) == ()


def test_whoever_was_at_a_contest_is_not_there_to_be_rated_either(class_time):
    travel_home(2)
    sheet = strain.get_effort_sheet(gym=YARD, class_key="mon-1830", on=MONDAY)
    assert {line.athlete.id: line.was_here for line in sheet.lines} == {ADA: False, BO: True}
    mark(ADA, AttendanceState.HERE)
    sheet = strain.get_effort_sheet(gym=YARD, class_key="mon-1830", on=MONDAY)
    assert all(line.was_here for line in sheet.lines)


def test_a_class_that_is_not_in_the_timetable_has_no_absences(class_time):
    with pytest.raises(NotFoundError, match="nope"):
        get_absences(gym=YARD, class_key="nope", on=MONDAY)
