"""Contests, the timetable and attendance."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

import pytest
from yard_cast import TERMINAL, monday_class, spring_contest

from heftwright.domain.catalogue import EventFamily
from heftwright.domain.contest import ContestEvent, ContestId, Entry, EventStyle
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId, Weekday
from heftwright.usecases import attendance, contests, squad, timetable
from heftwright.usecases.attendance import AttendanceState
from heftwright.usecases.changes import ChangedMeanwhileError, seen

ADA, BO = AthleteId("ada"), AthleteId("bo")
SPRING = ContestId("spring")
DATED = "2026-11-23/mon-1830"


def test_a_contest_reads_back_as_entered(yard):
    contests.add_contest(gym=yard, by=TERMINAL, contest=spring_contest())
    assert contests.get_contest(gym=yard, contest=SPRING) == spring_contest()
    assert contests.get_contests(gym=yard) == (spring_contest(),)


def test_events_and_entries_change_with_the_contest(yard):
    old = spring_contest()
    contests.add_contest(gym=yard, by=TERMINAL, contest=old)
    stones = ContestEvent("Stones", EventFamily.STONES, EventStyle.RUN)
    new = replace(old, events=(stones, *old.events[::-1]), entries=(Entry(BO),))
    contests.change_contest(gym=yard, by=TERMINAL, contest=new, was_seen=seen(old))
    assert contests.get_contest(gym=yard, contest=SPRING) == new
    with pytest.raises(ChangedMeanwhileError, match="contest “spring” was changed"):
        contests.change_contest(gym=yard, by=TERMINAL, contest=new, was_seen=seen(old))


def test_an_entry_of_somebody_unknown_is_refused_and_nothing_is_kept(yard):
    with pytest.raises(NotFoundError, match="no athlete “nobody”"):
        contests.add_contest(
            gym=yard, by=TERMINAL, contest=spring_contest(entries=(Entry(AthleteId("nobody")),))
        )
    assert contests.get_contests(gym=yard) == ()


def test_who_left_is_entered_no_more_and_is_again_after_coming_back(yard):
    contests.add_contest(gym=yard, by=TERMINAL, contest=spring_contest())
    squad.remove_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    assert contests.get_contest(gym=yard, contest=SPRING).entries == ()
    squad.restore_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    assert contests.get_contest(gym=yard, contest=SPRING).enters(ADA)


def test_a_contest_is_removed_once(yard):
    contests.add_contest(gym=yard, by=TERMINAL, contest=spring_contest())
    contests.remove_contest(gym=yard, by=TERMINAL, contest=SPRING)
    with pytest.raises(NotFoundError, match="no contest “spring”"):
        contests.remove_contest(gym=yard, by=TERMINAL, contest=SPRING)
    with pytest.raises(NotFoundError, match="no contest “spring”"):
        contests.get_contest(gym=yard, contest=SPRING)


def test_classes_stand_in_the_order_of_the_week(yard):
    early = monday_class(key="mon-0700", starts_at=time(7), members=())
    friday = monday_class(key="fri", weekday=Weekday.FRIDAY)
    for item in (friday, monday_class(), early):
        timetable.add_class_time(gym=yard, by=TERMINAL, class_time=item)
    assert timetable.get_timetable(gym=yard).classes == (early, monday_class(), friday)
    assert timetable.get_class_time(gym=yard, key="mon-1830") == monday_class()


def test_members_keep_the_coachs_order_and_come_once(yard):
    timetable.add_class_time(gym=yard, by=TERMINAL, class_time=monday_class())
    changed = monday_class(members=(ADA, BO, ADA))
    timetable.change_class_time(gym=yard, by=TERMINAL, class_time=changed)
    assert timetable.get_class_time(gym=yard, key="mon-1830").members == (ADA, BO)


def test_a_class_with_somebody_unknown_is_refused(yard):
    with pytest.raises(NotFoundError, match="no athlete “nobody”"):
        timetable.add_class_time(
            gym=yard, by=TERMINAL, class_time=monday_class(members=(AthleteId("nobody"),))
        )


def test_a_class_key_is_given_once_and_a_class_is_removed_once(yard):
    timetable.add_class_time(gym=yard, by=TERMINAL, class_time=monday_class())
    with pytest.raises(Refusal, match="There is a class time “mon-1830” already"):
        timetable.add_class_time(gym=yard, by=TERMINAL, class_time=monday_class())
    timetable.remove_class_time(gym=yard, by=TERMINAL, key="mon-1830")
    with pytest.raises(NotFoundError, match="no class time “mon-1830”"):
        timetable.get_class_time(gym=yard, key="mon-1830")


def mark(yard, states, late=0):
    attendance.mark_attendance(
        gym=yard, by=TERMINAL, class_key=DATED, states=states, minutes_late=late
    )


def noted(yard):
    found = attendance.get_attendance(gym=yard, class_key=DATED)
    return {key: (item.state, item.minutes_late) for key, item in found.items()}


def test_the_latest_note_of_attendance_stands(yard):
    mark(yard, {ADA: AttendanceState.HERE, BO: AttendanceState.LATE}, late=15)
    assert noted(yard) == {ADA: (AttendanceState.HERE, 0), BO: (AttendanceState.LATE, 15)}
    mark(yard, {BO: AttendanceState.AWAY})
    assert noted(yard)[BO] == (AttendanceState.AWAY, 0)


def test_nobody_is_noted_in_another_class(yard):
    mark(yard, {ADA: AttendanceState.HERE})
    assert attendance.get_attendance(gym=yard, class_key="2026-11-30/mon-1830") == {}


def test_five_hours_late_is_refused(yard):
    with pytest.raises(attendance.AttendanceError, match="outside 0–240 min"):
        mark(yard, {ADA: AttendanceState.LATE}, late=300)
