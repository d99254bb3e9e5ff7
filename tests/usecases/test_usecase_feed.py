"""The calendar feed against RFC 5545: its examples, and a reader other than our own eyes."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar
from yard_cast import TERMINAL, monday_class, spring_contest

from heftwright.domain.contest import Entry
from heftwright.domain.squad import AthleteId, Weekday
from heftwright.domain.squad.closed import ClosedSpan
from heftwright.usecases import accounts, clock, closed_days, contests, squad, timetable
from heftwright.usecases.accounts import LinkError
from heftwright.usecases.calendar_feed import get_feed, make_feed_link, moment_of, who_is_feed
from heftwright.usecases.permissions import Right, can

ADA, BO, CY = AthleteId("ada"), AthleteId("bo"), AthleteId("cy")
NOON = datetime(2027, 3, 20, 12, tzinfo=UTC)
NEW_YORK = ZoneInfo("America/New_York")

# RFC 5545 section 3.3.5, the two examples of local times that do not occur or occur twice
RFC_EXAMPLES = [
    (date(2007, 3, 11), time(2, 30), datetime(2007, 3, 11, 7, 30, tzinfo=UTC)),
    (date(2007, 11, 4), time(1, 30), datetime(2007, 11, 4, 5, 30, tzinfo=UTC)),
]


@pytest.fixture
def fed(yard):
    """The yard with a Monday class, a Sunday class at half past two, and a contest in spring."""
    with clock.held_at(NOON):
        for item in (
            monday_class(coach="Iris; the head,\ncoach"),
            monday_class(key="night", weekday=Weekday.SUNDAY, starts_at=time(2, 30), members=(CY,)),
        ):
            timetable.add_class_time(gym=yard, by=TERMINAL, class_time=item)
        contest = spring_contest(entries=(Entry(ADA),))
        contests.add_contest(gym=yard, by=TERMINAL, contest=contest)
        yield yard


def events(gym, athlete=None):
    book = Calendar.from_ical(get_feed(gym=gym, athlete=athlete))
    return {str(item["uid"]): item for item in book.walk("VEVENT")}


@pytest.mark.parametrize(("on", "at", "moment"), RFC_EXAMPLES)
def test_where_the_clock_jumps_the_standard_says_which_moment_is_meant(on, at, moment):
    assert moment_of(on, at, NEW_YORK) == moment


def test_a_class_keeps_its_wall_time_over_the_change_of_the_clock(fed):
    found = events(fed)
    winter = found["2027-03-22-mon-1830@iron-yard.heftwright"]
    summer = found["2027-03-29-mon-1830@iron-yard.heftwright"]
    assert winter.decoded("dtstart") == datetime(2027, 3, 22, 17, 30, tzinfo=UTC)
    assert summer.decoded("dtstart") == datetime(2027, 3, 29, 16, 30, tzinfo=UTC)
    assert summer.decoded("dtend") - summer.decoded("dtstart") == timedelta(minutes=90)


def test_a_class_in_the_hour_that_is_skipped_begins_an_hour_later_on_the_wall(fed):
    skipped = events(fed)["2027-03-28-night@iron-yard.heftwright"].decoded("dtstart")
    assert skipped == datetime(2027, 3, 28, 1, 30, tzinfo=UTC)
    assert skipped.astimezone(ZoneInfo("Europe/Vienna")).time() == time(3, 30)


def test_a_contest_is_a_whole_day_whose_end_is_the_day_after(fed):
    contest = events(fed)["contest-spring@iron-yard.heftwright"]
    assert contest.decoded("dtstart") == date(2027, 4, 3)
    assert contest.decoded("dtend") == date(2027, 4, 4)
    assert "Axle deadlift" in contest["description"]


def test_an_athletes_feed_has_their_classes_and_contests_alone(fed):
    assert not any("night" in uid for uid in events(fed, ADA))
    assert "contest-spring@iron-yard.heftwright" in events(fed, ADA)
    assert {uid[:7] for uid in events(fed, CY)} == {f"2027-0{m}" for m in range(3, 8)}
    assert all("night" in uid for uid in events(fed, CY))


def test_a_class_on_a_shut_day_is_cancelled_and_says_why(fed):
    easter = ClosedSpan(date(2027, 3, 29), date(2027, 3, 29), "Easter Monday")
    closed_days.close_days(gym=fed, by=TERMINAL, span=easter)
    shut = events(fed)["2027-03-29-mon-1830@iron-yard.heftwright"]
    assert shut["status"] == "CANCELLED"
    assert "Easter Monday" in shut["description"]


def test_the_text_keeps_the_standards_form(fed):
    raw = get_feed(gym=fed)
    lines = raw.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert raw.count(b"\n") == raw.count(b"\r\n")  # section 3.1: CRLF
    assert max(map(len, lines)) <= 75  # section 3.1: folded
    assert b"VERSION:2.0" in lines
    assert any(line.startswith(b"PRODID:") for line in lines)
    each = [line for line in lines if line.startswith(b"UID:")]
    assert len(each) == len(set(each)) == lines.count(b"BEGIN:VEVENT")


def test_what_a_coach_types_stays_text(fed):
    described = events(fed)["2027-03-22-mon-1830@iron-yard.heftwright"]["description"]
    assert described == "With Iris; the head,\ncoach."
    assert b"With Iris\\; the head\\,\\ncoach." in get_feed(gym=fed).replace(b"\r\n ", b"")


def test_the_same_class_keeps_its_name_from_one_reading_to_the_next(fed):
    first = set(events(fed))
    with clock.held_at(NOON + timedelta(hours=3)):
        assert set(events(fed)) == first


def test_a_link_opens_the_calendar_until_it_is_revoked(fed):
    secret = make_feed_link(gym=fed, by=TERMINAL, athlete=ADA)
    reader = who_is_feed(secret=secret)
    assert (reader.gym, reader.athlete) == (fed, ADA)
    assert can(reader, fed, Right.SEE_CLASS)
    assert not can(reader, fed, Right.LOG_SETS)
    line = accounts.get_links(gym=fed)[0]
    assert line.label == "Ada's calendar"
    accounts.revoke_link(gym=fed, by=TERMINAL, link=line.key)
    with pytest.raises(LinkError, match="does not work"):
        who_is_feed(secret=secret)


def test_a_calendar_of_somebody_who_left_opens_nothing(fed):
    secret = make_feed_link(gym=fed, by=TERMINAL, athlete=BO)
    squad.remove_athlete(gym=fed, by=TERMINAL, athlete=BO)
    with pytest.raises(LinkError, match="does not work"):
        who_is_feed(secret=secret)


def test_a_board_link_is_no_calendar(fed):
    secret = accounts.make_board_link(gym=fed, by=TERMINAL)
    with pytest.raises(LinkError, match="does not work"):
        who_is_feed(secret=secret)
