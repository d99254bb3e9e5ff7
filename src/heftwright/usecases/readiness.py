"""Sleep, soreness and the like, as said by athletes: a health note. Reads are audited."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from heftwright.domain.dose.guards import Guard
from heftwright.domain.dose.health_guards import guards_on_pain
from heftwright.domain.log import PainReport
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.strain.reports import FIVE_ITEMS, FOUR_ITEMS, Report, usual_goodness
from heftwright.store import coaching_rows
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, Door, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.dose_settings import get_settings
from heftwright.usecases.pain import read_pain
from heftwright.usecases.permissions import Right, check_own_card
from heftwright.usecases.squad import get_athlete

SCALES = {scale.id: scale for scale in (FIVE_ITEMS, FOUR_ITEMS)}
LOOK_BACK_DAYS = 84


class ReadinessError(Refusal):
    """A report that cannot be kept."""


@dataclass(frozen=True, slots=True)
class PainLine:
    """A pain report and what the gym's own thresholds say about it."""

    report: PainReport
    guards: tuple[Guard, ...]


@dataclass(frozen=True, slots=True)
class ScaleView:
    """Reports on one scale, latest first, with the latest against the athlete's own middle."""

    reports: tuple[Report, ...]
    words: str

    @property
    def own_words(self) -> str:
        """What the athlete is told: what was said and when, never what to do about it."""
        latest = self.reports[0]
        own = self.words.replace("this athlete's own", "your own").replace("this athlete", "you")
        return f"You said on {latest.on.day} {latest.on:%b}: {latest.words}; {own}."


@dataclass(frozen=True, slots=True)
class HealthNotes:
    """What an athlete said in the last twelve weeks."""

    athlete: Athlete
    pain: tuple[PainLine, ...]
    scales: tuple[ScaleView, ...]


@verb
def report_readiness(*, gym: GymKey, by: Actor, report: Report) -> None:
    """Keep what an athlete said; a second report of the day on the same scale replaces the first.

    Raises
    ------
    ReadinessError
        If the scale is not one that is asked, or the day is yet to come.
    ForbiddenError
        If a card reports for somebody else.
    """
    if SCALES.get(report.scale.id) != report.scale:
        raise ReadinessError(f"“{report.scale.id}” is no scale that is asked here.")
    if report.on > clock.today(gym):
        raise ReadinessError(f"{report.on} is yet to come: write the day it was said.")
    with change(gym, by, "report_readiness", Right.REPORT_PAIN) as trail:
        check_own_card(by, report.athlete)
        row = coaching_rows.write_report(trail.gym, report, trail.moment)
        trail.note(f"readiness/{row}", None, {"athlete": report.athlete})


@verb
def read_health(*, gym: GymKey, by: Actor, athlete: AthleteId) -> HealthNotes:
    """Pain, soreness and readiness of an athlete; the reading itself is kept in the trail.

    Raises
    ------
    ForbiddenError
        If somebody may not, or a card reads somebody else's.
    """
    person = get_athlete(gym=gym, athlete=athlete)
    since = clock.today(gym) - timedelta(days=LOOK_BACK_DAYS)
    pain = read_pain(gym=gym, by=by, athlete=athlete, since=since)
    reports = _read_reports(gym, by, athlete, since)
    rules = get_settings(gym=gym).pain
    lines = tuple(
        PainLine(item, guards_on_pain(item.score_0_10, item.note, rules)) for item in reversed(pain)
    )
    scales = [[item for item in reports if item.scale.id == key] for key in SCALES]
    return HealthNotes(person, lines, tuple(_scale(items) for items in scales if items))


@verb
def read_readiness(*, gym: GymKey, by: Actor, athlete: AthleteId) -> tuple[ScaleView, ...]:
    """Sleep, soreness and the like alone; the reading itself is kept in the trail.

    Raises
    ------
    ForbiddenError
        If somebody may not, or a card reads somebody else's.
    """
    since = clock.today(gym) - timedelta(days=LOOK_BACK_DAYS)
    reports = _read_reports(gym, by, athlete, since)
    scales = [[item for item in reports if item.scale.id == key] for key in SCALES]
    return tuple(_scale(items) for items in scales if items)


def _read_reports(gym: GymKey, by: Actor, athlete: AthleteId, since: date) -> tuple[Report, ...]:
    right = Right.REPORT_PAIN if by.door is Door.CARD else Right.READ_HEALTH
    with change(gym, by, "read_readiness", right) as trail:
        check_own_card(by, athlete)
        trail.note(f"health/{athlete}")
        return coaching_rows.read_reports(trail.gym, athlete, since)


def _scale(reports: list[Report]) -> ScaleView:
    usual = usual_goodness(reports[:-1])
    latest = reports[-1].goodness_ratio
    if usual is None or latest is None:
        words = "too few complete reports for an own middle"
    elif abs(latest - usual) < 0.05:
        words = "as usual for this athlete"
    else:
        words = f"{'better' if latest > usual else 'worse'} than this athlete's own middle"
    return ScaleView(tuple(reversed(reports)), words)
