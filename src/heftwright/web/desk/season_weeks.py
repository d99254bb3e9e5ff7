"""The week sheet: what each main day of each week gets, with its reasons."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import Catalogue, Slot
from heftwright.domain.season.problem import Pin
from heftwright.domain.season.work import SlotWork
from heftwright.domain.sheet import ContestPost, SeasonStrip, StripAfter, StripBlock, StripLane
from heftwright.usecases.season import PlannedSeason

_KIND_WORDS = {
    "normal": "",
    "taper": "easing for a contest",
    "contest": "contest week",
    "easy": "easy week",
}


@dataclass(frozen=True, slots=True)
class Station:
    """One lift of a main day, which can be exchanged by itself."""

    lift_key: str
    lift_name: str
    is_pinned: bool


@dataclass(frozen=True, slots=True)
class SeasonItem:
    """One main day of one week.

    Parameters
    ----------
    slot, slot_name
        Which main day.
    lift_name : str
        What is trained.
    stations : tuple of Station
        The same one by one: several on the implement day.
    detail : str
        Resistance and scheme in words.
    reasons : tuple of str
        What earned it.
    runner_up : str
        The next best choice, or empty.
    is_pinned : bool
        Fixed by the coach.
    is_done, is_light : bool
        Already trained; a light session, which follows the day's last lift.
    after : tuple of StripAfter
        What follows the main lift.
    is_after_pinned : bool
        Whether what follows it, or that nothing does, is the coach's own word.
    has_events_here : bool
        Whether events are practised after main lifts: there is no implement day.
    block : str
        Its block's place in the strip, ``"l0-b2"``, so that a tap there leads here.
    """

    slot: Slot
    slot_name: str
    lift_name: str
    stations: tuple[Station, ...]
    detail: str
    reasons: tuple[str, ...]
    runner_up: str
    is_pinned: bool
    is_done: bool
    is_light: bool
    after: tuple[StripAfter, ...]
    is_after_pinned: bool
    has_events_here: bool
    block: str

    @property
    def may_have_after(self) -> bool:
        """Whether something could follow: a main lift ahead, no light session, no stations.

        Upper days have a block only where the timetable has no implement day.
        """
        is_main = self.slot.is_lower or (self.slot is not Slot.IMPLEMENT and self.has_events_here)
        return is_main and not (self.is_done or self.is_light)


@dataclass(frozen=True, slots=True)
class SeasonWeek:
    """One week; ``kind_words`` is empty for a usual one, ``rep_work`` says what it leans on."""

    monday: date
    kind_words: str
    rep_work: str
    is_now: bool
    items: tuple[SeasonItem, ...]
    posts: tuple[ContestPost, ...]


def weeks_of(season: PlannedSeason, catalogue: Catalogue) -> tuple[SeasonWeek, ...]:
    """The week sheet from this week on; from the first week if today is outside the season."""
    strip = season.strip
    first = strip.this_week or 0
    return tuple(_week(season, catalogue, index) for index in range(first, len(strip.weeks)))


def _week(season: PlannedSeason, catalogue: Catalogue, index: int) -> SeasonWeek:
    strip, week = season.strip, season.strip.weeks[index]
    items = [_item(season, catalogue, lane, index) for lane in strip.lanes]
    return SeasonWeek(
        monday=week.monday,
        kind_words=_KIND_WORDS.get(week.kind, week.kind),
        rep_work=week.rep_work,
        is_now=index == strip.this_week,
        items=tuple(item for item in items if item is not None),
        posts=tuple(post for post in strip.posts if post.week == index),
    )


def _item(
    season: PlannedSeason, catalogue: Catalogue, lane: StripLane, index: int
) -> SeasonItem | None:
    block = _block_at(lane, index)
    if block is None:
        return None
    slot = Slot(lane.slot_key)
    work = season.plan.on(slot, _monday(season.strip, index))
    return SeasonItem(
        slot=slot,
        slot_name=lane.name,
        lift_name=block.label,
        stations=tuple(
            Station(item.lift, catalogue[item.lift].name, _is_pinned(season.pins, item))
            for item in work
            if item.lift in catalogue
        ),
        detail=block.detail,
        reasons=block.reasons,
        runner_up=block.runner_up,
        is_pinned=block.is_pinned,
        is_done=block.is_done,
        is_light=any(item.is_easy for item in work),
        after=season.strip.after_in(index, lane.slot_key),
        is_after_pinned=any(
            (pin.slot, pin.monday) == (slot, _monday(season.strip, index))
            for pin in season.after_pins
        ),
        has_events_here=all(item.slot_key != Slot.IMPLEMENT for item in season.strip.lanes),
        block=f"l{season.strip.lanes.index(lane)}-b{lane.blocks.index(block)}",
    )


def _is_pinned(pins: tuple[Pin, ...], work: SlotWork) -> bool:
    where = (work.slot, work.monday, work.lift)
    return any((pin.slot, pin.monday, pin.lift) == where for pin in pins)


def _block_at(lane: StripLane, index: int) -> StripBlock | None:
    blocks = lane.blocks
    return next((b for b in blocks if b.week <= index < b.week + b.weeks), None)


def _monday(strip: SeasonStrip, index: int) -> date:
    return strip.weeks[index].monday
