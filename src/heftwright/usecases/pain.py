"""Pain said by athletes: a health note. Reads are audited; the wall board never sees them."""

from __future__ import annotations

from datetime import date, datetime

from heftwright.domain.log import PainReport
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import Pain
from heftwright.store.squad_rows import athlete_row
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, Door, GymKey
from heftwright.usecases.changes import change, check_text, verb
from heftwright.usecases.permissions import Right, check_may, check_own_card

WORST = 10


class PainReportError(Refusal):
    """A pain report that cannot be read."""


@verb
def report_pain(*, gym: GymKey, by: Actor, report: PainReport) -> None:
    """Keep what an athlete said about pain, 0–10, higher is worse.

    Raises
    ------
    PainReportError
        If the score is outside 0–10, the place is missing or the time has no zone.
    ForbiddenError
        If a card reports for somebody else.
    """
    _check(report)
    with change(gym, by, "report_pain", Right.REPORT_PAIN) as trail:
        check_own_card(by, report.athlete)
        row = Pain.objects.create(
            gym=trail.gym,
            athlete=athlete_row(trail.gym, report.athlete),
            class_key=report.class_key,
            place=report.place.strip(),
            score_0_10=report.score_0_10,
            reported_at=report.reported_at,
            note=report.note,
        )
        trail.note(f"pain/{row.pk}", None, {"athlete": report.athlete})


@verb
def read_pain(
    *, gym: GymKey, by: Actor, athlete: AthleteId, since: date | None = None
) -> tuple[PainReport, ...]:
    """What an athlete said, oldest first. The athlete can see in the trail who read it.

    Raises
    ------
    ForbiddenError
        If somebody may not, or a card reads somebody else's.
    """
    right = Right.REPORT_PAIN if by.door is Door.CARD else Right.READ_HEALTH
    with change(gym, by, "read_pain", right) as trail:
        check_own_card(by, athlete)
        found = Pain.objects.filter(gym=trail.gym, athlete=athlete_row(trail.gym, athlete))
        if since is not None:
            start = datetime.combine(since, datetime.min.time(), tzinfo=clock.zone(gym))
            found = found.filter(reported_at__gte=start)
        trail.note(f"health/{athlete}")
        return tuple(_report(row, athlete) for row in found.order_by("reported_at", "pk"))


def who_said_pain(*, gym: GymKey, by: Actor, class_key: str) -> frozenset[AthleteId]:
    """Who said in a dated class that something hurts: only who, neither where nor how much.

    Whoever runs the class must see at once that somebody spoke up; what was said is read, and the
    reading kept, by :func:`read_pain`.

    Raises
    ------
    ForbiddenError
        If somebody may not read health notes.
    """
    check_may(by, gym, Right.READ_HEALTH)
    said = Pain.objects.filter(gym=find_gym(gym), class_key=class_key, score_0_10__gt=0)
    return frozenset(AthleteId(key) for key in said.values_list("athlete__key", flat=True))


def _check(report: PainReport) -> None:
    if not 0 <= report.score_0_10 <= WORST:
        raise PainReportError(f"A pain score of {report.score_0_10} is outside 0–10.")
    if not report.place.strip():
        raise PainReportError("Say where it hurts: name the place.")
    check_text(report.place + report.note + report.class_key)
    if report.reported_at.tzinfo is None:
        raise PainReportError("The time of a report must say its time zone.")


def _report(row: Pain, athlete: AthleteId) -> PainReport:
    return PainReport(athlete, row.class_key, row.place, row.score_0_10, row.reported_at, row.note)
