"""How long things take in this gym: from the log's own timestamps and the plans they belong to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise

from heftwright.domain.floor.times_log import LearnedTimes, TurnSeen, learn
from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.sheet import ClassSheet, PlatformSheet
from heftwright.domain.sheet.planned import PlannedClass
from heftwright.store import plan_rows
from heftwright.usecases import log as logs
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import verb
from heftwright.usecases.classes import dated_key
from heftwright.usecases.floor_terms import change_floor_terms, get_floor_terms

LATEST_PLANS = 60
"""Plans looked at: some three months of four classes a week."""


def get_learned_times(*, gym: GymKey) -> LearnedTimes:
    """What the latest classes say.

    Raises
    ------
    FewTurnsError
        If too few sets were logged in classes that the floor was planned for.
    """
    return learn(tuple(_turns(gym)), get_floor_terms(gym=gym))


@verb
def take_learned_times(*, gym: GymKey, by: Actor) -> LearnedTimes:
    """Plan with the learned times from now on; they stay editable."""
    learned = get_learned_times(gym=gym)
    change_floor_terms(gym=gym, by=by, terms=learned.on_terms(get_floor_terms(gym=gym)))
    return learned


def _turns(gym: GymKey) -> Iterator[TurnSeen]:
    latest: dict[tuple[str, date], int] = {}
    for line in plan_rows.list_class_plans(gym=gym, limit=LATEST_PLANS):
        if line.on is not None:
            latest.setdefault((line.class_key, line.on), line.version)
    for class_key, on in latest:
        facts = logs.get_log(gym=gym, of=logs.LogFilter(class_key=dated_key(class_key, on)))
        if facts:
            stored = plan_rows.get_class_plan(
                gym=gym, class_key=class_key, on=on, kind=PlannedClass
            )
            assert stored is not None
            yield from turns_of(stored.plan.sheet, facts)


def turns_of(sheet: ClassSheet, facts: Sequence[LoggedSet]) -> Iterator[TurnSeen]:
    """Turns of a class whose lifter before is known to have just logged.

    Only sets logged under the plan as it stood last are used: under an older one the plates that
    moved in between are not known.
    """
    mine = [fact for fact in facts if fact.plan_version == sheet.plan_version]
    for platform in sheet.platforms:
        yield from _of_platform(platform, mine)


def _of_platform(platform: PlatformSheet, facts: Sequence[LoggedSet]) -> Iterator[TurnSeen]:
    order = [line.athlete for line in platform.lifters]
    if len(order) < 2:
        return
    here = sorted((fact for fact in facts if fact.athlete in order), key=_moment)
    for before, fact in pairwise(here):
        at = order.index(fact.athlete)
        line = platform.lifters[at].in_round(fact.set_number)
        is_next = order[at - 1] == before.athlete
        if is_next and line is not None and line.sleeve and fact.outcome is SetOutcome.DONE:
            moved = len(line.sleeve.off) + len(line.sleeve.on)
            seconds = (fact.logged_at - before.logged_at).total_seconds()
            yield TurnSeen(fact.athlete, moved, fact.reps_done, seconds)


def _moment(fact: LoggedSet) -> float:
    return fact.logged_at.timestamp()
