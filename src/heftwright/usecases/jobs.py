"""Long work with progress, best so far and a stop button; it survives a restart.

The row is the truth. Whoever does the work holds an attempt number: when a silent worker is given
up and another takes over, the first can write nothing any more (fencing).
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import connections, transaction
from django.db.models import F, Q

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import LIVE_STATES, Job, JobState
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, verb
from heftwright.usecases.permissions import Right

__all__ = [
    "JobCard",
    "JobHandle",
    "JobState",
    "cancel_job",
    "get_job",
    "get_jobs",
    "job_kind",
    "keep_reaping",
    "reap_stale_jobs",
    "start_job",
]

BEAT_S = 2.0
SILENT_AFTER = timedelta(seconds=60)
MOST_ATTEMPTS = 3
_WRITE_EVERY_S = 0.25
_LOG = logging.getLogger(__name__)


class JobError(Refusal):
    """Work that cannot be started."""


class LostJobError(Refusal):
    """Another worker took this work over: stop."""


@dataclass(frozen=True, slots=True)
class JobCard:
    """Where a piece of long work stands.

    Parameters
    ----------
    key : int
        Of the job.
    kind, about : str
        What is done, to what.
    state : JobState
        Waiting, running, done, failed, cancelled, lost.
    progress_ratio : float
        0–1.
    message : str
        A sentence: what is being done, or why it failed.
    best, result
        Documents: best so far, and the outcome.
    is_cancelling : bool
        Whether somebody pressed stop.
    started_by : str
        Who asked for it.
    created_at : datetime
        Aware.
    ended_at : datetime or None
        Aware; None while it lives.
    """

    key: int
    kind: str
    about: str
    state: JobState
    progress_ratio: float
    message: str
    best: Any
    result: Any
    is_cancelling: bool
    started_by: str
    created_at: datetime
    ended_at: datetime | None

    @property
    def is_live(self) -> bool:
        """Whether it waits or runs."""
        return self.ended_at is None


class JobHandle:
    """What the work holds while it runs."""

    def __init__(self, job: Job) -> None:
        self.key: int = job.pk
        self.gym = GymKey(job.gym.slug)
        self.started_by: str = job.started_by
        self.attempt: int = job.attempt
        self.is_cancelled: bool = job.cancel_asked
        self.is_lost = False
        self._wrote_at = 0.0

    def progress(self, ratio: float, message: str = "", best: Any = None) -> None:
        """Say how far the work is (0–1), in a sentence, with the best document so far.

        Called often, it writes at most four times a second.

        Raises
        ------
        LostJobError
            If another worker took over.
        """
        if self.is_lost:
            raise LostJobError("Another worker took this work over.")
        if best is None and ratio < 1 and time.monotonic() - self._wrote_at < _WRITE_EVERY_S:
            return
        self._wrote_at = time.monotonic()
        columns: dict[str, Any] = {"progress_ratio": min(max(ratio, 0.0), 1.0)}
        if message:
            columns["message"] = message[:300]
        if best is not None:
            columns["best"] = best
        self.beat(**columns)

    def beat(self, **columns: Any) -> None:
        """Show that the work lives, and learn whether somebody pressed stop."""
        if not self.mine().update(heartbeat_at=clock.now(), **columns):
            self.is_lost = True
            raise LostJobError("Another worker took this work over.")
        self.is_cancelled = bool(self.mine().filter(cancel_asked=True).exists())

    def mine(self) -> Any:
        """The job's row as long as this attempt holds it."""
        return Job.objects.filter(pk=self.key, attempt=self.attempt, state=JobState.RUNNING)


Work = Callable[[JobHandle, dict[str, Any]], Any]


@dataclass(frozen=True, slots=True)
class _Kind:
    work: Work
    right: Right


_KINDS: dict[str, _Kind] = {}


def job_kind(name: str, right: Right) -> Callable[[Work], Work]:
    """Enter a function as the work of a kind of job.

    The function takes the handle and the arguments (a document) and returns a document. It looks
    at ``handle.is_cancelled`` and returns what it has when that is set.
    """

    def enter(work: Work) -> Work:
        _KINDS[name] = _Kind(work, right)
        return work

    return enter


@verb
def start_job(
    *,
    gym: GymKey,
    by: Actor,
    kind: str,
    about: str = "",
    arguments: dict[str, Any] | None = None,
) -> int:
    """Start long work, or join the same work if it is under way; returns the job's key.

    Raises
    ------
    JobError
        If there is no such kind of work.
    """
    if kind not in _KINDS:
        raise JobError(f"There is no long work called “{kind}”.")
    with change(gym, by, "start_job", _KINDS[kind].right) as trail:
        live = Job.objects.filter(gym=trail.gym, kind=kind, about=about, state__in=LIVE_STATES)
        if (found := live.first()) is not None:
            return found.pk
        row = Job.objects.create(
            gym=trail.gym,
            kind=kind,
            about=about,
            arguments=arguments or {},
            started_by=by.name[:120],
            created_at=trail.moment,
        )
        trail.note(f"job/{row.pk}", None, {"kind": kind, "about": about})
        transaction.on_commit(lambda: _start_thread(row.pk))
    return row.pk


@verb
def cancel_job(*, gym: GymKey, by: Actor, job: int) -> None:
    """Ask work to stop; it ends with the best so far.

    Raises
    ------
    NotFoundError
        If there is no such job in the gym.
    """
    with change(gym, by, "cancel_job", Right.PLAN_CLASS) as trail:
        row = Job.objects.filter(gym=trail.gym, pk=job).first()
        if row is None:
            raise _no_job()
        if row.ended_at is None:
            Job.objects.filter(pk=job).update(cancel_asked=True)
            _end(Job.objects.filter(pk=job, state=JobState.WAITING), JobState.CANCELLED)
            trail.note(f"job/{job}", {"cancel_asked": row.cancel_asked}, {"cancel_asked": True})


def get_job(*, gym: GymKey, job: int) -> JobCard:
    """Where a job stands.

    Raises
    ------
    NotFoundError
        If there is no such job in the gym.
    """
    row = Job.objects.filter(gym=find_gym(gym), pk=job).first()
    if row is None:
        raise _no_job()
    return _card(row)


def get_jobs(*, gym: GymKey, live_only: bool = False, limit: int = 20) -> tuple[JobCard, ...]:
    """The gym's jobs, latest first."""
    found = Job.objects.filter(gym=find_gym(gym))
    if live_only:
        found = found.filter(state__in=LIVE_STATES)
    return tuple(_card(row) for row in found.order_by("-pk")[:limit])


def reap_stale_jobs() -> int:
    """Take over work whose worker fell silent, or give it up after three attempts.

    Returns
    -------
    int
        How many jobs were taken over or given up.
    """
    old = clock.now() - SILENT_AFTER
    silent = Q(state=JobState.RUNNING, heartbeat_at__lt=old)
    forgotten = Q(state=JobState.WAITING, created_at__lt=old)
    stale = list(Job.objects.filter(silent | forgotten))
    for job in stale:
        _take_over(job, old)
    return len(stale)


def keep_reaping(every_s: float = 15.0) -> threading.Event:
    """Reap now and then in a thread of its own; set the returned event to stop."""
    stop = threading.Event()

    def reap() -> None:
        while True:
            _quietly(reap_stale_jobs)
            if stop.wait(every_s):
                return

    threading.Thread(target=reap, name="job-reaper", daemon=True).start()
    return stop


def run_job(job: int) -> None:
    """Do a waiting job's work in this thread; nothing if another worker was first."""
    claimed = Job.objects.filter(pk=job, state=JobState.WAITING).update(
        state=JobState.RUNNING, attempt=F("attempt") + 1, heartbeat_at=clock.now()
    )
    if not claimed:
        return
    row = Job.objects.select_related("gym").get(pk=job)
    handle = JobHandle(row)
    stop = threading.Event()
    beat = threading.Thread(target=_keep_beating, args=(handle, stop), daemon=True)
    beat.start()
    try:
        _work(handle, row)
    finally:
        stop.set()
        beat.join()


def _work(handle: JobHandle, row: Job) -> None:
    try:
        result = _KINDS[row.kind].work(handle, dict(row.arguments))
    except LostJobError:
        return
    except Refusal as error:
        _end(handle.mine(), JobState.FAILED, message=str(error)[:300])
    except Exception:
        _LOG.exception("job %s (%s) failed", row.pk, row.kind)
        message = "Something went wrong in the program itself; the server's log has the details."
        _end(handle.mine(), JobState.FAILED, message=message)
    else:
        state = JobState.CANCELLED if handle.is_cancelled else JobState.DONE
        ratio = F("progress_ratio") if handle.is_cancelled else 1.0
        _end(handle.mine(), state, result=result, progress_ratio=ratio)


def _end(found: Any, state: JobState, **columns: Any) -> None:
    found.update(state=state, ended_at=clock.now(), **columns)


def _start_thread(job: int) -> None:
    def run() -> None:
        _quietly(lambda: run_job(job))

    threading.Thread(target=run, name=f"job-{job}", daemon=True).start()


def _keep_beating(handle: JobHandle, stop: threading.Event) -> None:
    def beat() -> None:
        while not stop.wait(BEAT_S):
            handle.beat()

    _quietly(beat)


def _quietly(run: Callable[[], object]) -> None:
    try:
        run()
    except LostJobError:
        pass
    except Exception:
        _LOG.exception("a worker thread stopped")
    finally:
        connections.close_all()


def _take_over(job: Job, old: datetime) -> None:
    mine = Job.objects.filter(pk=job.pk, state=job.state, attempt=job.attempt)
    if job.state == JobState.RUNNING:
        mine = mine.filter(heartbeat_at__lt=old)
    if job.cancel_asked:
        _end(mine, JobState.CANCELLED, message="Stopped while its worker was silent.")
    elif job.attempt >= MOST_ATTEMPTS or job.kind not in _KINDS:
        _end(mine, JobState.LOST, message="The server stopped while it worked: start it again.")
    elif mine.update(state=JobState.WAITING, created_at=clock.now()):
        _start_thread(job.pk)


def _no_job() -> NotFoundError:
    return NotFoundError("There is no such work in this gym: look at the list again.")


def _card(row: Job) -> JobCard:
    return JobCard(
        key=row.pk,
        kind=row.kind,
        about=row.about,
        state=row.state,
        progress_ratio=row.progress_ratio,
        message=row.message,
        best=row.best,
        result=row.result,
        is_cancelling=row.cancel_asked and row.ended_at is None,
        started_by=row.started_by,
        created_at=row.created_at,
        ended_at=row.ended_at,
    )
