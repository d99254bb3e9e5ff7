"""Classes and contests as an iCalendar feed (RFC 5545), for a gym or for one athlete.

Moments are written in UTC. A class stands at the gym's wall time; where the clock jumps, RFC 5545
section 3.3.5 says which moment is meant: of two the first, and in the gap the offset before it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

from heftwright.domain.catalogue import Slot
from heftwright.domain.contest import Contest
from heftwright.domain.season.own import OwnDay
from heftwright.domain.squad import AthleteId, ClassTime
from heftwright.store.models import Token, TokenKind
from heftwright.store.squad_rows import athlete_row
from heftwright.usecases import clock
from heftwright.usecases.accounts import dead_link, live_token, make_token
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.gathering import Gathered, monday_of
from heftwright.usecases.gym import get_gym
from heftwright.usecases.own_seasons import get_own_season
from heftwright.usecases.permissions import Right
from heftwright.usecases.season import PlannedSeason, find_planned_season

PRODUCT = "-//Heftwright//Classes and contests//EN"
DAYS_BACK = 14
DAYS_AHEAD = 120
REFRESH = timedelta(hours=6)


@verb
def make_feed_link(*, gym: GymKey, by: Actor, athlete: AthleteId | None = None) -> str:
    """A secret for a calendar: the gym's classes and contests, or one athlete's own.

    Raises
    ------
    NotFoundError
        If the gym never had such an athlete.
    """
    with change(gym, by, "make_feed_link", Right.MAKE_LINKS) as trail:
        row = None if athlete is None else athlete_row(trail.gym, athlete)
        label = "calendar" if row is None else f"{row.name}'s calendar"
        return make_token(trail, Token(kind=TokenKind.FEED, label=label[:80], athlete=row))


def who_is_feed(*, secret: str) -> Actor:
    """The calendar that reads with this secret.

    Raises
    ------
    LinkError
        If it opens nothing, or the athlete has left.
    """
    token = live_token(secret, TokenKind.FEED)
    gym = GymKey(token.gym.slug)
    if token.athlete is None:
        return Actor.reader(gym, token.label)
    if token.athlete.removed_at is not None:
        raise dead_link()
    return Actor.reader(gym, token.label, AthleteId(token.athlete.key))


@dataclass(frozen=True, slots=True)
class _Season:
    """What the feed says about a day: the squad's season, or one athlete's."""

    planned: PlannedSeason | None
    own: Mapping[tuple[Slot, date], tuple[OwnDay, ...]]


def get_feed(*, gym: GymKey, athlete: AthleteId | None = None) -> bytes:
    """The feed as iCalendar text.

    Parameters
    ----------
    athlete : AthleteId or None
        Whose classes and contests; None: all of the gym's.
    """
    card = get_gym(gym=gym)
    today = clock.today(gym)
    gathered = Gathered(gym, today)
    book = _book(card.name)
    season = _season(gym, athlete)
    stamp = clock.now().astimezone(UTC).replace(microsecond=0)
    zone = ZoneInfo(card.time_zone)
    for on in (today + timedelta(days=n) for n in range(-DAYS_BACK, DAYS_AHEAD + 1)):
        for class_time in gathered.timetable.on(on):
            if athlete is None or athlete in class_time.members:
                book.add_component(_class(gathered, season, class_time, on, (zone, stamp)))
    for contest in gathered.contests:
        if athlete is None or contest.enters(athlete):
            book.add_component(_contest(gym, contest, stamp))
    return bytes(book.to_ical())


def moment_of(on: date, at: time, zone: ZoneInfo) -> datetime:
    """The moment of a wall time in UTC; see the module's note on jumps of the clock."""
    return datetime.combine(on, at.replace(fold=0), zone).astimezone(UTC)


def _book(name: str) -> Calendar:
    book = Calendar()
    book.add("prodid", PRODUCT)
    book.add("version", "2.0")
    book.add("calscale", "GREGORIAN")
    book.add("name", name)  # RFC 7986
    book.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})  # RFC 7986
    return book


def _season(gym: GymKey, athlete: AthleteId | None) -> _Season:
    planned = find_planned_season(gym=gym)
    if planned is None or athlete is None:
        return _Season(planned, {})
    own: dict[tuple[Slot, date], tuple[OwnDay, ...]] = {}
    for week in get_own_season(gym=gym, athlete=athlete).weeks:
        for day in week.days:
            key = (day.slot, week.monday)
            own[key] = (*own.get(key, ()), day)
    return _Season(planned, own)


def _class(
    gathered: Gathered,
    season: _Season,
    class_time: ClassTime,
    on: date,
    frame: tuple[ZoneInfo, datetime],
) -> Event:
    zone, stamp = frame
    starts = moment_of(on, class_time.starts_at, zone)
    event = _event(f"{on}-{class_time.key}@{gathered.gym}", stamp)
    event.add("dtstart", starts)
    event.add("dtend", starts + timedelta(minutes=class_time.minutes))
    words = ", ".join(_work_words(gathered, season, class_time.slot, on))
    event.add("summary", f"{class_time.slot.shown}{': ' if words else ''}{words}")
    shut = next((span.why for span in gathered.closed if span.holds(on)), None)
    if shut is not None:
        event.add("status", "CANCELLED")
        event.add("description", f"The gym is shut: {shut}.")
        return event
    lines = [f"With {class_time.coach}."] if class_time.coach else []
    lines += [line for day in _own(season, class_time.slot, on) for line in day.why]
    if lines:
        event.add("description", "\n".join(dict.fromkeys(lines)))
    return event


def _own(season: _Season, slot: Slot, on: date) -> tuple[OwnDay, ...]:
    return season.own.get((slot, monday_of(on)), ())


def _work_words(gathered: Gathered, season: _Season, slot: Slot, on: date) -> Iterator[str]:
    own = _own(season, slot, on)
    if own:
        for day in own:
            if day.volume_ratio == 0:
                yield "rest"
            else:
                yield "rep work" if day.lift is None else gathered.catalogue[day.lift].name
                for item in day.after:
                    yield f"{gathered.catalogue[item.lift].name} ({item.kind.shown})"
        return
    if season.planned is not None:
        for work in season.planned.plan.on(slot, monday_of(on)):
            name = gathered.catalogue[work.lift].name
            yield f"{name} (light)" if work.is_easy else name
        for item in season.planned.plan.after_on(slot, monday_of(on)):
            yield f"{gathered.catalogue[item.lift].name} ({item.kind.shown})"


def _contest(gym: GymKey, contest: Contest, stamp: datetime) -> Event:
    event = _event(f"contest-{contest.id}@{gym}", stamp)
    event.add("dtstart", contest.on)
    event.add("dtend", contest.on + timedelta(days=1))  # the end is the first day after it
    event.add("summary", contest.name)
    event.add("description", "\n".join(item.name for item in contest.events))
    return event


def _event(uid: str, stamp: datetime) -> Event:
    event = Event()
    event.add("uid", f"{uid}.heftwright")
    event.add("dtstamp", stamp)
    return event
