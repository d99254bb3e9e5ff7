"""The season: plan it, look at it, pin and forbid, and why each choice stands."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from heftwright.domain.catalogue import KitKey, LiftKey, Slot
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.season import SlotWork
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Forbid, ForbidPlace, Pin
from heftwright.domain.sheet import SeasonStrip
from heftwright.store import plan_rows
from heftwright.store.documents import from_document, to_document
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import verb
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.jobs import JobHandle, get_jobs, job_kind, start_job
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.season_planning import (
    KitAway,
    PlannedSeason,
    Progress,
    SeasonEdits,
    keep,
    problem_of,
    save,
    solve,
    work_key,
)
from heftwright.usecases.season_refusals import (
    PinConflict,
    SeasonConflictError,
    SeasonError,
    SeasonOutdatedError,
)

__all__ = [
    "KitAway",
    "PinConflict",
    "PlannedSeason",
    "Progress",
    "SeasonConflictError",
    "SeasonEdits",
    "SeasonError",
    "SeasonOutdatedError",
    "work_key",
]

LIMIT_S = 10.0
REPLAN_LIMIT_S = 8.0
PLAN_JOB = "plan_season"


def find_planned_season(*, gym: GymKey, version: int | None = None) -> PlannedSeason | None:
    """The latest season plan, or the one of a version; None if there is none."""
    found = plan_rows.get_season_plan(gym=gym, kind=PlannedSeason, version=version)
    return found.plan if found else None


def get_planned_season(*, gym: GymKey) -> PlannedSeason:
    """The latest season plan.

    Raises
    ------
    NotFoundError
        If none was made.
    """
    found = find_planned_season(gym=gym)
    if found is None:
        raise NotFoundError(
            "No season is planned yet: plan it from Season, or `heftwright season`."
        )
    return found


@dataclass(frozen=True, slots=True)
class SeasonVersion:
    """One kept season: its version, when (aware) and by whom."""

    version: int
    made_at: datetime
    made_by: str


def get_season_versions(*, gym: GymKey, limit: int = 8) -> tuple[SeasonVersion, ...]:
    """The latest seasons that were kept, latest first."""
    lines = plan_rows.list_season_plans(gym=gym, limit=limit)
    return tuple(SeasonVersion(line.version, line.made_at, line.made_by) for line in lines)


def get_season(*, gym: GymKey) -> SeasonPlan:
    """The latest season's work."""
    return get_planned_season(gym=gym).plan


def get_season_strip(*, gym: GymKey) -> SeasonStrip:
    """The latest season as a picture's values."""
    return get_planned_season(gym=gym).strip


def get_season_reasons(*, gym: GymKey, work: SlotWork) -> tuple[str, ...]:
    """Why the season chose this work."""
    found = get_planned_season(gym=gym).reasons.get(work_key(work))
    return found.reasons if found else ()


@verb
def plan_season(
    *,
    gym: GymKey,
    by: Actor,
    limit_s: float = LIMIT_S,
    edits: SeasonEdits | None = None,
    on_progress: Progress | None = None,
) -> SeasonStrip:
    """Plan the season from this week to the last contest in view.

    Parameters
    ----------
    limit_s : float
        Stop with the best plan so far after this time [s].
    edits : SeasonEdits or None
        Pins, forbids and missing kit; None keeps those of the last plan.
    on_progress : callable or None
        Called with the share of the time used (0–1) and a sentence; answer False to stop and
        keep the best.

    Raises
    ------
    SeasonError
        If no season can be made; the sentence names what cannot hold together.
    SeasonConflictError
        If pins cannot hold together, with the choices there are.
    """
    check_may(by, gym, Right.PLAN_SEASON)
    today = clock.today(gym)
    version = plan_rows.latest_season_version(gym)
    before = find_planned_season(gym=gym)
    wanted = edits or (before.edits if before else SeasonEdits())
    problem = problem_of(Gathered(gym, today), before, wanted)
    draft = replace(solve(problem, limit_s, on_progress), edits=wanted)
    return save(gym, by, draft, today, version, "plan_season")


@job_kind(PLAN_JOB, Right.PLAN_SEASON)
def _plan_in_background(handle: JobHandle, arguments: dict[str, Any]) -> Any:
    """The work of the planning job: progress to its row, stop keeps the best."""

    def told(share: float, words: str) -> bool:
        handle.progress(share, words)
        return not handle.is_cancelled

    edits = arguments.get("edits")
    try:
        strip = plan_season(
            gym=handle.gym,
            by=Actor.house(handle.started_by),
            limit_s=float(arguments.get("limit_s", LIMIT_S)),
            edits=None if edits is None else from_document(edits, SeasonEdits),
            on_progress=told,
        )
    except SeasonConflictError as error:
        handle.progress(1.0, best={"conflict": to_document(error.conflict), "edits": edits})
        raise
    return {"plan_version": strip.plan_version}


def start_planning(
    *, gym: GymKey, by: Actor, limit_s: float = LIMIT_S, edits: SeasonEdits | None = None
) -> int:
    """Plan the season in the background; returns the job, the running one if there is one.

    Raises
    ------
    SeasonError
        If edits are asked for while another planning runs: it would not know them.
    """
    running = [job for job in get_jobs(gym=gym, live_only=True) if job.kind == PLAN_JOB]
    if running and edits is not None:
        raise SeasonError("The season is being planned: wait for it or stop it, then change it.")
    document = None if edits is None else to_document(edits)
    arguments = {"limit_s": limit_s, "edits": document}
    return start_job(gym=gym, by=by, kind=PLAN_JOB, arguments=arguments)


def conflict_of(best: Any) -> tuple[PinConflict, SeasonEdits] | None:
    """What a planning job left behind that ended in a conflict, or None."""
    if not isinstance(best, dict) or "conflict" not in best:
        return None
    edits = best["edits"]
    return (
        from_document(best["conflict"], PinConflict),
        SeasonEdits() if edits is None else from_document(edits, SeasonEdits),
    )


def edits_with_pin(edits: SeasonEdits, wish: Pin) -> SeasonEdits:
    """The edits with one more pin; on the same slot and week it takes the older one's place.

    On the implement day several stations may be pinned.
    """
    others = tuple(
        pin
        for pin in edits.pins
        if (pin.slot, pin.monday) != (wish.slot, wish.monday)
        or (wish.slot is Slot.IMPLEMENT and pin.lift != wish.lift)
    )
    return replace(edits, pins=(*others, wish))


def edits_without_pin(edits: SeasonEdits, slot: Slot, monday: date) -> SeasonEdits:
    """The edits without the pins of a slot and week.

    Raises
    ------
    NotFoundError
        If nothing is pinned there.
    """
    others = tuple(pin for pin in edits.pins if (pin.slot, pin.monday) != (slot, monday))
    if len(others) == len(edits.pins):
        raise NotFoundError(f"Nothing is pinned in {slot.shown} in the week of {monday}.")
    return replace(edits, pins=others)


def edits_without_forbid(
    edits: SeasonEdits, lift: LiftKey, place: ForbidPlace = ForbidPlace.EVERYWHERE
) -> SeasonEdits:
    """The edits with a lift allowed again where it was ruled out: everywhere, or after main lifts.

    Raises
    ------
    NotFoundError
        If it is not forbidden.
    """
    others = tuple(item for item in edits.forbids if (item.lift, item.place) != (lift, place))
    if len(others) == len(edits.forbids):
        raise NotFoundError(f"“{lift}” is not ruled out: look at the list again.")
    return replace(edits, forbids=others)


def edits_with_kit_back(edits: SeasonEdits, kit: KitKey) -> SeasonEdits:
    """The edits with kit that is there again."""
    return replace(edits, away=tuple(item for item in edits.away if item.kit != kit))


def pin(*, gym: GymKey, by: Actor, wish: Pin) -> SeasonStrip:
    """Fix a lift in one slot and week, and re-plan close to the last plan."""
    edits = edits_with_pin(get_planned_season(gym=gym).edits, wish)
    return plan_season(gym=gym, by=by, edits=edits, limit_s=REPLAN_LIMIT_S)


def unpin(*, gym: GymKey, by: Actor, slot: Slot, monday: date) -> SeasonStrip:
    """Take a pin back and re-plan.

    Raises
    ------
    NotFoundError
        If nothing is pinned there.
    """
    edits = edits_without_pin(get_planned_season(gym=gym).edits, slot, monday)
    return plan_season(gym=gym, by=by, edits=edits, limit_s=REPLAN_LIMIT_S)


def forbid(*, gym: GymKey, by: Actor, wish: Forbid) -> SeasonStrip:
    """Rule a lift out for some weeks, and re-plan."""
    before = get_planned_season(gym=gym).edits
    edits = replace(before, forbids=(*before.forbids, wish))
    return plan_season(gym=gym, by=by, edits=edits, limit_s=REPLAN_LIMIT_S)


@verb
def go_back(*, gym: GymKey, by: Actor, to: int) -> SeasonStrip:
    """Put an earlier version of the season back, as a new version.

    Raises
    ------
    NotFoundError
        If there is no such version.
    """
    check_may(by, gym, Right.PLAN_SEASON)
    found = find_planned_season(gym=gym, version=to)
    if found is None:
        raise NotFoundError(f"There is no season plan {to}: look at the list again.")
    latest = plan_rows.latest_season_version(gym)
    strip = replace(found.strip, plan_version=latest + 1)
    keep(gym, by, replace(found, strip=strip), latest, "go_back")
    return strip
