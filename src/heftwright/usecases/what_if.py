"""What if: a copy of the season is planned under another calendar, stock or squad, and compared.

Nothing is kept until the coach adopts it; the copy lives in the job that planned it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import Any

from django.db import transaction

from heftwright.domain.catalogue import Catalogue, Slot
from heftwright.domain.contest import Contest, ContestId
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.season import SlotWork
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.sheet import SeasonStrip
from heftwright.domain.sheet.build_strip import detail_of
from heftwright.domain.squad import Athlete, AthleteId, Restriction
from heftwright.store import plan_rows
from heftwright.store.documents import digest, from_document, to_document
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import verb
from heftwright.usecases.contests import add_contest, change_contest, get_contest
from heftwright.usecases.gathering import Gathered, monday_of
from heftwright.usecases.jobs import JobHandle, JobState, get_job, job_kind, start_job
from heftwright.usecases.permissions import Right, check_may
from heftwright.usecases.season import REPLAN_LIMIT_S, get_planned_season
from heftwright.usecases.season_planning import (
    KitAway,
    PlannedSeason,
    keep,
    planned_of,
    problem_of,
    solve,
    text_key,
)
from heftwright.usecases.season_refusals import SeasonError
from heftwright.usecases.squad import add_restriction

WHAT_IF_JOB = "season_what_if"


@dataclass(frozen=True, slots=True)
class MovedContest:
    """A contest on another day."""

    contest: ContestId
    on: date


@dataclass(frozen=True, slots=True)
class Hurt:
    """Somebody who may not do some work for a while."""

    athlete: AthleteId
    restriction: Restriction


@dataclass(frozen=True, slots=True)
class Supposition:
    """What is supposed; at least one of them.

    Parameters
    ----------
    moved, added, away, hurt : tuple
        Contests moved, contests added, kit missing, athletes restricted.
    """

    moved: tuple[MovedContest, ...] = ()
    added: tuple[Contest, ...] = ()
    away: tuple[KitAway, ...] = ()
    hurt: tuple[Hurt, ...] = ()


@dataclass(frozen=True, slots=True)
class ChangedDay:
    """A main day that the copy trains otherwise; an empty side has no main work there."""

    slot: Slot
    monday: date
    before: str
    after: str
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A copy of the season beside the season.

    Parameters
    ----------
    supposition : Supposition
        What was supposed.
    words : tuple of str
        The same in sentences.
    days : tuple of ChangedDay
        What the copy trains otherwise, by week.
    before : SeasonStrip
        The season as it stands.
    after : PlannedSeason
        The copy.
    version : int
        Of the season that it is a copy of.
    """

    supposition: Supposition
    words: tuple[str, ...]
    days: tuple[ChangedDay, ...]
    before: SeasonStrip
    after: PlannedSeason
    version: int


@dataclass(frozen=True)
class _Supposed(Gathered):
    """The gym as supposed."""

    supposition: Supposition = Supposition()

    @cached_property
    def contests(self) -> tuple[Contest, ...]:
        """The calendar with what is moved and added."""
        days = {item.contest: item.on for item in self.supposition.moved}
        there = Gathered(self.gym, self.day).contests
        moved = (replace(c, on=days.get(c.id, c.on)) for c in there)
        return (*moved, *self.supposition.added)

    @cached_property
    def athletes(self) -> Mapping[AthleteId, Athlete]:
        """The squad with who is hurt."""
        found = dict(Gathered(self.gym, self.day).athletes)
        for item in self.supposition.hurt:
            person = found[item.athlete]
            rules = (*person.restrictions, item.restriction)
            found[item.athlete] = replace(person, restrictions=rules)
        return found


def start_what_if(*, gym: GymKey, by: Actor, supposition: Supposition) -> int:
    """Plan a copy in the background; returns the job.

    Raises
    ------
    SeasonError
        If nothing is supposed.
    NotFoundError
        If it names a contest or athlete that is not there, or there is no season.
    """
    check_may(by, gym, Right.PLAN_SEASON)
    get_planned_season(gym=gym)
    if supposition == Supposition():
        raise SeasonError("Suppose something: a contest, a day, an implement or an athlete.")
    _words(gym, supposition)  # refuses unknown names before anything runs
    document = to_document(supposition)
    return start_job(
        gym=gym, by=by, kind=WHAT_IF_JOB, about=digest(supposition)[:20],
        arguments={"supposition": document},
    )  # fmt: skip


@job_kind(WHAT_IF_JOB, Right.PLAN_SEASON)
def _suppose(handle: JobHandle, arguments: dict[str, Any]) -> Any:
    def told(share: float, words: str) -> bool:
        handle.progress(share, words)
        return not handle.is_cancelled

    supposition = from_document(arguments["supposition"], Supposition)
    return to_document(suppose(handle.gym, supposition, on_progress=told))


def suppose(
    gym: GymKey,
    supposition: Supposition,
    limit_s: float = REPLAN_LIMIT_S,
    on_progress: Any = None,
) -> WhatIf:
    """Plan a copy under the supposition and compare it with the season."""
    today = clock.today(gym)
    version = plan_rows.latest_season_version(gym)
    before = get_planned_season(gym=gym)
    gathered = _Supposed(gym, today, supposition)
    edits = replace(before.edits, away=(*before.edits.away, *supposition.away))
    problem = problem_of(gathered, before, edits)
    draft = replace(solve(problem, limit_s, on_progress), edits=edits)
    after = planned_of(draft, today, version + 1)
    days = tuple(_changed(before, after, gathered.catalogue, today))
    return WhatIf(supposition, _words(gym, supposition), days, before.strip, after, version)


def get_what_if(*, gym: GymKey, job: int) -> WhatIf | None:
    """The copy that a job made; None while it is being made or if it failed.

    Raises
    ------
    NotFoundError
        If there is no such job.
    """
    card = get_job(gym=gym, job=job)
    if card.kind != WHAT_IF_JOB:
        raise NotFoundError("There is no such what-if in this gym: suppose it again.")
    if card.state not in (JobState.DONE, JobState.CANCELLED) or card.result is None:
        return None
    return from_document(card.result, WhatIf)


@verb
def adopt_what_if(*, gym: GymKey, by: Actor, job: int) -> SeasonStrip:
    """Make a supposition true: change the calendar or squad, and keep the copy as the season.

    Raises
    ------
    NotFoundError
        If there is no such copy.
    SeasonChangedError
        If the season changed since it was copied.
    """
    check_may(by, gym, Right.PLAN_SEASON)
    found = get_what_if(gym=gym, job=job)
    if found is None:
        raise NotFoundError("This what-if is not planned yet: wait until it is.")
    with transaction.atomic():
        keep(gym, by, found.after, found.version, "adopt_what_if")
        _make_true(gym, by, found.supposition)
    return found.after.strip


def _make_true(gym: GymKey, by: Actor, supposition: Supposition) -> None:
    for moved in supposition.moved:
        contest = get_contest(gym=gym, contest=moved.contest)
        change_contest(gym=gym, by=by, contest=replace(contest, on=moved.on))
    for added in supposition.added:
        add_contest(gym=gym, by=by, contest=added)
    for hurt in supposition.hurt:
        add_restriction(gym=gym, by=by, athlete=hurt.athlete, restriction=hurt.restriction)


def _words(gym: GymKey, supposition: Supposition) -> tuple[str, ...]:
    return tuple(_sentences(gym, supposition))


def _sentences(gym: GymKey, supposition: Supposition) -> Iterator[str]:
    for moved in supposition.moved:
        contest = get_contest(gym=gym, contest=moved.contest)
        yield f"{contest.name} is on {moved.on} instead of {contest.on}."
    for added in supposition.added:
        yield f"{added.name} is added on {added.on}."
    for away in supposition.away:
        yield f"Without {away.units} × {away.kit.replace('_', ' ')}."
    people = Gathered(gym, clock.today(gym)).athletes if supposition.hurt else {}
    for hurt in supposition.hurt:
        if hurt.athlete not in people:
            raise NotFoundError(f"There is no athlete “{hurt.athlete}” in this gym.")
        rule = hurt.restriction
        until = "until further notice" if rule.until is None else f"until about {rule.until}"
        name = people[hurt.athlete].name
        yield f"{name} does nothing {rule.tag.replace('_', ' ')} {until}."


def _changed(
    before: PlannedSeason, after: PlannedSeason, catalogue: Catalogue, today: date
) -> Iterator[ChangedDay]:
    cells = (*after.plan.changed_from(before.plan), *after.plan.gained_or_lost(before.plan))
    order = list(Slot)
    for slot, monday in sorted(set(cells), key=lambda cell: (cell[1], order.index(cell[0]))):
        if monday < monday_of(today):
            continue
        new = after.plan.on(slot, monday)
        told = (after.reasons.get(text_key((slot, monday, work.lift))) for work in new)
        why = tuple(dict.fromkeys(line for item in told if item for line in item.reasons[:2]))
        old = _said(before.plan, slot, monday, catalogue)
        yield ChangedDay(slot, monday, old, _said(after.plan, slot, monday, catalogue), why)


def _said(plan: SeasonPlan, slot: Slot, monday: date, catalogue: Catalogue) -> str:
    return " · ".join(_work_said(work, catalogue) for work in plan.on(slot, monday))


def _work_said(work: SlotWork, catalogue: Catalogue) -> str:
    week = f", week {work.wave_week} of {work.wave_weeks}" if work.wave_weeks > 1 else ""
    return f"{catalogue[work.lift].name} ({detail_of(work)}{week})"
