"""A new plan in the middle of a class: where each platform goes on, and what is on its bar by then.

What is done stays done. A platform whose group stays as it is goes on as it was. Any other first
finishes the round in progress with those who stay; whoever moves or leaves goes at once and is not
waited for, and where bands must be changed nobody lifts on until the round would have ended.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from heftwright.domain.sheet.class_sheet import LastTurn, PlatformSheet
from heftwright.domain.sheet.live import (
    ClassClock,
    PlatformMark,
    TurnSlot,
    position,
    rechanged,
    slots_of,
)
from heftwright.domain.sheet.sleeve import PlateOnBar
from heftwright.domain.squad import AthleteId

Bar = tuple[PlateOnBar, ...] | None


@dataclass(frozen=True, slots=True)
class Begun:
    """How far a platform was when it was planned again in the middle of the class.

    Parameters
    ----------
    done_sets : int
        Rounds that were over.
    round_began_s : float
        When the first round of the new plan begins, after the start of the class [s].
    on_bar : tuple of PlateOnBar or None
        What is on the bar a side by then; None: as the last turn of a round leaves it.
    finishing : tuple of LastTurn
        Who still lifts in the round in progress.
    """

    done_sets: int
    round_began_s: float
    on_bar: Bar = None
    finishing: tuple[LastTurn, ...] = ()


@dataclass(frozen=True, slots=True)
class Changed:
    """A platform whose group is not as it was.

    Parameters
    ----------
    staying : collection of AthleteId
        Who is in the old group and in the new one.
    is_rig_kept : bool
        Whether the bands stay as they are.
    """

    staying: Collection[AthleteId]
    is_rig_kept: bool


def begun_after(
    platforms: Sequence[PlatformSheet],
    changed: Mapping[str, Changed],
    clock: ClassClock,
    now: datetime,
) -> dict[str, Begun]:
    """Where each platform goes on when a new plan is taken in the middle of a class.

    Parameters
    ----------
    platforms : sequence of PlatformSheet
        Of the plan so far.
    changed : Mapping
        Platform key -> what changes there; a platform that is not in it stays as it is.
    clock, now
        Of the class.
    """
    found = {}
    for platform in platforms:
        mark, change = clock.mark_of(platform.key), changed.get(platform.key)
        done = position(platform, clock.started_at, now, mark).done_sets
        if change is None or done >= platform.sets:
            found[platform.key] = _as_it_was(platform, mark, clock, now)
        else:
            found[platform.key] = _after_round(platform, change, mark, clock, now)
    return found


def _as_it_was(
    platform: PlatformSheet, mark: PlatformMark | None, clock: ClassClock, now: datetime
) -> Begun:
    at = position(platform, clock.started_at, now, mark)
    since_s = (at.round_began - clock.started_at).total_seconds()
    if at.done_sets != platform.done_sets:
        return Begun(at.done_sets, since_s)
    left = () if mark is not None else platform.finishing
    return Begun(at.done_sets, since_s, platform.on_bar, left)


def _after_round(
    platform: PlatformSheet,
    change: Changed,
    mark: PlatformMark | None,
    clock: ClassClock,
    now: datetime,
) -> Begun:
    at = position(platform, clock.started_at, now, mark)
    done, began = at.done_sets, at.round_began
    if began < now:
        began += timedelta(seconds=platform.length_s(done + 1))
        done += 1
    slots = slots_of(platform, clock.started_at, mark)
    on_bar = _on_bar(platform, slots, now)
    lifting = [slot for slot in slots if slot.begins < now < slot.ends]
    later = [slot for slot in slots if now <= slot.begins and slot.ends <= began]
    stay = [slot for slot in (*lifting, *later) if slot.line.athlete in change.staying]
    left = _one_after_another(stay, now, on_bar) if change.is_rig_kept else []
    if change.is_rig_kept and began > now:
        began = left[-1].ends if left else now
    if left:
        sleeve = left[-1].line.sleeve
        on_bar = sleeve.plates if sleeve is not None else None

    def since_s(moment: datetime) -> float:
        return (moment - clock.started_at).total_seconds()

    turns = tuple(
        LastTurn(slot.line, slot.set_number, since_s(slot.begins), since_s(slot.ends))
        for slot in left
    )
    return Begun(done, since_s(began), on_bar, turns)


def _on_bar(platform: PlatformSheet, slots: Sequence[TurnSlot], now: datetime) -> Bar:
    """The stack of the latest turn that has begun; before the first, what was on already."""
    begun = [slot for slot in slots if slot.begins < now]
    if not begun:
        return platform.on_bar
    sleeve = begun[-1].line.sleeve
    return sleeve.plates if sleeve is not None else None


def _one_after_another(stay: Sequence[TurnSlot], now: datetime, on_bar: Bar) -> list[TurnSlot]:
    """Turns without those who go; the one in progress keeps the change that was made for it."""
    in_progress = [slot for slot in stay if slot.begins < now]
    later, begins = list[TurnSlot](), max([now, *(slot.ends for slot in in_progress)])
    for slot in stay[len(in_progress) :]:
        later.append(replace(slot, begins=begins))
        begins = slot.ends
    return [*in_progress, *rechanged(later, on_bar)]
