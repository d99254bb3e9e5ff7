"""Making the demo gym: its spreadsheets go in through the import door, its history into the log."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from itertools import groupby, islice
from pathlib import Path
from uuid import NAMESPACE_URL, uuid5

from heftwright.demo.felt import DemoSession, sessions
from heftwright.demo.history import DemoSet, history
from heftwright.demo.spreadsheets import write_spreadsheets
from heftwright.demo.squad import GYM_KEY, GYM_NAME, TIME_ZONE
from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.squad import AthleteId
from heftwright.domain.strain.reports import FIVE_ITEMS, Report
from heftwright.domain.strain.session import SessionEffort
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.gathering import monday_of
from heftwright.usecases.gym import create_gym, get_gyms
from heftwright.usecases.imports import (
    Preview,
    UploadedFile,
    accept_import,
    preview_mark,
    preview_upload,
)
from heftwright.usecases.log import log_sets
from heftwright.usecases.maxes import (
    UnlikelyMaxError,
    accept_proposal,
    get_proposals,
    propose_from_log,
)
from heftwright.usecases.readiness import report_readiness
from heftwright.usecases.squad import get_squad
from heftwright.usecases.strain import rate_sessions

GYM = GymKey(GYM_KEY)
BATCH = 500
LEFT_OPEN_WEEKS = 1
Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class DemoMade:
    """What making the demo came to.

    Parameters
    ----------
    preview : Preview
        What the import door said of the spreadsheets.
    files : tuple of Path
        Where they are.
    logged : int
        Sets of history.
    """

    preview: Preview
    files: tuple[Path, ...]
    logged: int


def is_made() -> bool:
    """Whether the demo gym is already here."""
    return any(card.key == GYM for card in get_gyms(by=Actor.at_terminal()))


def make_demo(folder: Path, tell: Tell) -> DemoMade:
    """Make the demo gym in the open house.

    Parameters
    ----------
    folder : Path
        Where its spreadsheets are written.
    tell : callable
        Takes a sentence of progress.
    """
    by = Actor.house("demo")
    create_gym(gym=GYM, name=GYM_NAME, by=by, time_zone=TIME_ZONE)
    today = clock.today(GYM)
    files = write_spreadsheets(folder, today)
    tell(f"Wrote the coach's {len(files)} spreadsheets to {folder}.")
    uploads = [UploadedFile(path.name, path.read_bytes()) for path in files]
    preview = preview_upload(gym=GYM, by=by, files=uploads)
    accept_import(
        gym=GYM, by=by, files=uploads, was_seen=preview_mark(preview), leave_waiting_out=True
    )
    tell("Logging twenty weeks of make-believe training …")
    logged = _log_history(today, by)
    tell("Rating how hard the sessions felt …")
    _rate_history(today, by)
    _take_over_maxes(today, by)
    return DemoMade(preview, files, logged)


def _log_history(today: date, by: Actor) -> int:
    ids = {athlete.number: athlete.id for athlete in get_squad(gym=GYM)}
    sets = (_logged(item, ids[item.number]) for item in history(today) if item.number in ids)
    count = 0
    for batch in _batches(sets):
        log_sets(gym=GYM, by=by, sets=batch)
        count += len(batch)
    return count


def _rate_history(today: date, by: Actor) -> None:
    """Each class rated as a coach would after it; what athletes said of themselves as reports."""
    ids = {athlete.number: athlete.id for athlete in get_squad(gym=GYM)}
    felt = [item for item in sessions(history(today), today) if item.number in ids]
    for _, rated in groupby(felt, key=_dated):
        efforts = [
            SessionEffort(ids[item.number], item.on, _dated(item), item.rpe, item.minutes)
            for item in rated
        ]
        rate_sessions(gym=GYM, by=by, efforts=efforts)
    for item in felt:
        if item.readiness is not None:
            report = Report(ids[item.number], item.on, FIVE_ITEMS, item.readiness)
            report_readiness(gym=GYM, by=by, report=report)


def _dated(item: DemoSession | DemoSet) -> str:
    return f"{item.on.isoformat()}/{item.class_key}"


def _batches(sets: Iterator[LoggedSet]) -> Iterator[list[LoggedSet]]:
    while batch := list(islice(sets, BATCH)):
        yield batch


def _logged(item: DemoSet, athlete: AthleteId) -> LoggedSet:
    dated = _dated(item)
    at = datetime.combine(item.on, time(18, 35), UTC) + timedelta(minutes=4 * item.set_number)
    return LoggedSet(
        id=uuid5(NAMESPACE_URL, f"demo/{dated}/{item.number}/{item.set_number}"),
        athlete=athlete,
        lift=item.lift,
        class_key=dated,
        set_number=item.set_number,
        load=EnteredMass(int(Decimal(str(item.load_kg)) * 1000), MassUnit.KG),
        reps_done=item.reps,
        outcome=SetOutcome.DONE if item.made else SetOutcome.MISSED,
        reps_in_reserve=item.reps_in_reserve,
        plan_version=0,
        logged_at=at,
        is_max_attempt=item.is_max_attempt,
    )


def _take_over_maxes(today: date, by: Actor) -> None:
    """As a coach would have: accept what the log proposed, but leave the last week's open.

    The history ends with the last whole week, whichever day of this one it is made on.
    """
    propose_from_log(gym=GYM, by=by, since=today - timedelta(weeks=21))
    recent = monday_of(today) - timedelta(weeks=LEFT_OPEN_WEEKS)
    for kept in get_proposals(gym=GYM):
        if any(item.on >= recent for item in kept.proposal.evidence):
            continue
        try:
            accept_proposal(gym=GYM, by=by, proposal=kept.key)
        except UnlikelyMaxError:
            continue  # what stops and asks stays open for the coach
