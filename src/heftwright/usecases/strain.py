"""What training costs: session ratings, load day by day, what was lifted, against own habits.

Descriptive only: everything compares an athlete with themselves, and nothing says what will happen.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta

from heftwright.domain.catalogue import Catalogue, Region
from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.domain.strain import (
    WorkDone,
    exposures,
    habit,
    lifts_by_tens,
    tonnage_kg,
    week_strain,
)
from heftwright.domain.strain.session import SessionEffort
from heftwright.domain.strain.week import DESCRIPTIVE, against_habit
from heftwright.store import coaching_rows, records
from heftwright.store.gym_rows import find_gym
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.attendance import AttendanceState, get_attendance
from heftwright.usecases.changes import change, check_text, verb
from heftwright.usecases.classes import dated_key
from heftwright.usecases.dose_settings import get_settings
from heftwright.usecases.gathering import monday_of
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.log import LogFilter, get_log
from heftwright.usecases.permissions import Right
from heftwright.usecases.squad import get_athlete, get_squad
from heftwright.usecases.strain_views import (
    AthleteStrain,
    DailyLoads,
    EffortLine,
    EffortSheet,
    RegionWeeks,
    StrainLineView,
    WeekWork,
)
from heftwright.usecases.timetable import get_class_time, get_timetable
from heftwright.usecases.travels import away_at_contests

__all__ = [
    "DESCRIPTIVE",
    "AthleteStrain",
    "EffortLine",
    "EffortSheet",
    "RegionWeeks",
    "SessionEffort",
    "StrainLineView",
    "WeekWork",
    "get_athlete_strain",
    "get_effort_sheet",
    "get_recent_classes",
    "get_squad_strain",
    "rate_sessions",
]

SHOWN_WEEKS = 12
READ_WEEKS = 24
LOOK_BACK_DAYS = 84
LEAST_HABIT_WEEKS = 8
RECENT_CLASSES = 6


class SessionRatingError(Refusal):
    """Ratings that cannot be kept."""


@verb
def rate_sessions(*, gym: GymKey, by: Actor, efforts: Sequence[SessionEffort]) -> None:
    """Keep the ratings of a class: one act, so one undo. A later rating replaces an earlier one.

    Raises
    ------
    SessionRatingError
        If nothing was rated, or a day is yet to come.
    NotFoundError
        If somebody is not in the squad.
    """
    if not efforts:
        raise SessionRatingError("Nobody was rated: write a number from 0 to 10 beside a name.")
    today = clock.today(gym)
    squad = {athlete.id for athlete in get_squad(gym=gym)}
    for item in efforts:
        if item.on > today:
            raise SessionRatingError(f"The class on {item.on} is yet to come: rate it after it.")
        if item.athlete not in squad:
            get_athlete(gym=gym, athlete=item.athlete)  # says who is missing
    with change(gym, by, "rate_sessions", Right.LOG_SETS) as trail:
        said = {item.key: item for item in efforts}
        keys = {item.class_key for item in said.values()}
        standing = {item.key: item for item in coaching_rows.read_efforts_of(trail.gym, keys)}
        new = [item for key, item in said.items() if standing.get(key) != item]
        check_text("".join(sorted(keys)))
        coaching_rows.write_efforts(trail.gym, new)
        for item in new:
            subject = records.subject_of(records.RecordKind.SESSION, item.key)
            before = records.document_of(standing.get(item.key))
            trail.note(subject, before, records.document_of(item))


def get_recent_classes(*, gym: GymKey) -> tuple[tuple[str, date, str], ...]:
    """(Class, day, title) of the last classes up to today, latest first, for rating them."""
    today, timetable = clock.today(gym), get_timetable(gym=gym)
    found = [
        (item.key, today - timedelta(days=back), _title(item.slot.shown, today, back))
        for back in range(15)
        for item in reversed(timetable.on(today - timedelta(days=back)))
    ]
    return tuple(found[:RECENT_CLASSES])


def get_effort_sheet(*, gym: GymKey, class_key: str, on: date) -> EffortSheet:
    """The rating sheet of a dated class: its members, those marked there, and what was rated.

    Raises
    ------
    NotFoundError
        If the class is not in the timetable.
    """
    class_time = get_class_time(gym=gym, key=class_key)
    key = dated_key(class_key, on)
    marked, away = get_attendance(gym=gym, class_key=key), away_at_contests(gym, on)
    rated = {
        item.athlete: item
        for item in coaching_rows.read_efforts(find_gym(gym), since=on)
        if item.class_key == key
    }
    lines = []
    for athlete in get_squad(gym=gym):
        note = marked.get(athlete.id)
        if athlete.id not in {*class_time.members, *marked, *rated}:
            continue
        here = note.state is not AttendanceState.AWAY if note else athlete.id not in away
        given = rated.get(athlete.id)
        late = note.minutes_late if note else 0
        minutes = given.minutes if given else max(0, class_time.minutes - late)
        lines.append(EffortLine(athlete, here, given.rpe if given else None, minutes))
    title = f"{class_time.slot.shown}, {on:%A} {on.day} {on:%B}"
    return EffortSheet(class_key, on, title, tuple(lines))


def get_squad_strain(*, gym: GymKey) -> tuple[StrainLineView, ...]:
    """Everybody's last week beside their own last four."""
    row, today = find_gym(gym), clock.today(gym)
    since = today - timedelta(days=LOOK_BACK_DAYS)
    settings = get_settings(gym=gym)
    efforts: dict[str, list[SessionEffort]] = defaultdict(list)
    for item in coaching_rows.read_efforts(row, since=since):
        efforts[item.athlete].append(item)
    trained: dict[str, set[date]] = defaultdict(set)
    for athlete, class_key in coaching_rows.read_trained_days(row, _midnight(gym, since)):
        day = _day_of(class_key)
        if day is not None:
            trained[athlete].add(day)
    lines = []
    for person in get_squad(gym=gym):
        days = _daily(efforts[person.id], trained[person.id], today)
        month = DailyLoads(today, days.loads[-28:])
        rated = sum(1 for item in efforts[person.id] if (today - item.on).days < 28)
        week = week_strain(_last_week(days), settings.sd)
        lines.append(
            StrainLineView(person, week, habit(days.filled(), settings.seed), month.missing, rated)
        )
    return tuple(lines)


def get_athlete_strain(*, gym: GymKey, athlete: AthleteId) -> AthleteStrain:
    """One athlete's loads, tonnage, exposures and habits.

    Raises
    ------
    NotFoundError
        If the squad has no such athlete.
    """
    person, today, row = get_athlete(gym=gym, athlete=athlete), clock.today(gym), find_gym(gym)
    settings = get_settings(gym=gym)
    since = monday_of(today) - timedelta(weeks=READ_WEEKS - 1)
    efforts = coaching_rows.read_efforts(row, since=since, athlete=athlete)
    sets = get_log(gym=gym, of=LogFilter(athlete=athlete, since=since), limit=20_000)
    added = coaching_rows.read_added_loads(row, athlete, since)
    trained = {day for item in sets if (day := _day_of(item.class_key)) is not None}
    days = _daily(efforts, trained, today)
    work = _by_week(sets, added, since, catalogue_of(gym))
    lately = [item for monday in sorted(work)[-4:] for item in work[monday]]
    session_loads = [item.load for item in efforts]
    words = against_habit(session_loads[-1], session_loads[:-1]) if session_loads else None
    return AthleteStrain(
        person, today, days, week_strain(_last_week(days), settings.sd),
        habit(days.filled(), settings.seed), settings.sd, settings.seed,
        _weeks(work, days, today), _regions(work, today), lifts_by_tens(lately), words or "",
    )  # fmt: skip


def _title(slot: str, today: date, back: int) -> str:
    day = today - timedelta(days=back)
    when = "today" if back == 0 else f"{day:%a} {day.day} {day:%b}"
    return f"{slot}, {when}"


def _midnight(gym: GymKey, day: date) -> datetime:
    return datetime.combine(day, datetime.min.time(), tzinfo=clock.zone(gym))


def _day_of(class_key: str) -> date | None:
    try:
        return date.fromisoformat(class_key.partition("/")[0])
    except ValueError:
        return None


def _daily(efforts: Iterable[SessionEffort], trained: Iterable[date], today: date) -> DailyLoads:
    """Loads from the first rated day to today; empty before anything was rated."""
    rated: dict[date, float] = defaultdict(float)
    for item in efforts:
        if item.on <= today:
            rated[item.on] += item.load
    if not rated:
        return DailyLoads(today, ())
    first, trained = min(rated), set(trained)
    count = (today - first).days + 1
    days = [first + timedelta(days=back) for back in range(count)]
    loads = tuple(rated.get(day, None if day in trained else 0.0) for day in days)
    return DailyLoads(first, loads)


def _last_week(days: DailyLoads) -> tuple[float | None, ...]:
    """Seven days to today; days before the first rating are not known."""
    known = days.loads[-7:]
    return (*([None] * (7 - len(known))), *known)


def _by_week(
    sets: Iterable[LoggedSet],
    added: Mapping[str, tuple[float, float, float]],
    since: date,
    catalogue: Catalogue,
) -> dict[date, list[WorkDone]]:
    found: dict[date, list[WorkDone]] = defaultdict(list)
    for item in sets:
        day = _day_of(item.class_key) or item.logged_at.date()
        is_work = item.outcome is not SetOutcome.SKIPPED and item.reps_done > 0
        if is_work and item.lift in catalogue and day >= since:
            mean, top, max_kg = added.get(item.class_key, (0.0, 0.0, 0.0))
            work = WorkDone(
                catalogue[item.lift], 1, item.reps_done, item.load.mass.in_kg, mean,
                max_kg or None, top,
            )  # fmt: skip
            found[monday_of(day)].append(work)
    return found


def _mondays(today: date, count: int) -> list[date]:
    return [monday_of(today) - timedelta(weeks=back) for back in range(count)][::-1]


def _weeks(
    work: Mapping[date, Sequence[WorkDone]], days: DailyLoads, today: date
) -> tuple[WeekWork, ...]:
    return tuple(
        _week(monday, work.get(monday, ()), days) for monday in _mondays(today, SHOWN_WEEKS)
    )


def _week(monday: date, work: Sequence[WorkDone], days: DailyLoads) -> WeekWork:
    at = (monday - days.first).days
    loads = days.loads[max(0, at) : max(0, at + 7)]
    return WeekWork(
        monday,
        sum(item.lifts for item in work),
        tonnage_kg(work),
        sum(item.lifts * item.mean_added_kg for item in work),
        sum(load for load in loads if load is not None) if loads else None,
        sum(load is None for load in loads),
    )


def _regions(work: Mapping[date, Sequence[WorkDone]], today: date) -> tuple[RegionWeeks, ...]:
    mondays = _mondays(today, READ_WEEKS)
    by_week = [exposures(work[monday]) if work.get(monday) else None for monday in mondays]
    found = []
    for region in Region:
        values = [None if week is None else week[region] for week in by_week]
        bands = [_usual([v for v in values[:at] if v is not None]) for at in range(len(values))]
        # this week is not over yet: whole weeks only
        shown, usual = tuple(values[-SHOWN_WEEKS:-1]), tuple(bands[-SHOWN_WEEKS:-1])
        found.append(RegionWeeks(region, shown, usual, _place(shown[-1], usual[-1])))
    return tuple(found)


def _usual(before: Sequence[float]) -> tuple[float, float] | None:
    """The 10–90 % range of the weeks before; None below eight of them."""
    if len(before) < LEAST_HABIT_WEEKS:
        return None
    ordered = sorted(before)
    tenth = len(ordered) // 10
    return ordered[tenth], ordered[-1 - tenth]


def _place(value: float | None, usual: tuple[float, float] | None) -> str:
    """A week against the usual range before it."""
    if value is None or usual is None:
        return ""
    low, high = usual
    return "above habit" if value > high else "below habit" if value < low else "as usual"
