"""Which class to plan, what the season wants of it, and how far it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from heftwright.domain.floor.terms import FloorTerms, FloorWish
from heftwright.domain.mass import MassUnit
from heftwright.domain.season import SlotWork
from heftwright.domain.season.after_work import AfterWork
from heftwright.domain.sheet import PlatformSheet
from heftwright.domain.sheet.live import ClassClock, position
from heftwright.domain.sheet.planned import SetLoad, Tonight
from heftwright.domain.squad import AthleteId, ClassTime


@dataclass(frozen=True, slots=True)
class Running:
    """A class in the middle: what stays as it was.

    Parameters
    ----------
    clock : ClassClock
        As the coach started it.
    now : datetime
        Aware.
    platforms : tuple of PlatformSheet
        Of the plan so far.
    """

    clock: ClassClock
    now: datetime
    platforms: tuple[PlatformSheet, ...]

    @property
    def done_rounds(self) -> int:
        """Rounds that are over on every platform."""
        done = [
            position(item, self.clock.started_at, self.now, self.clock.mark_of(item.key)).done_sets
            for item in self.platforms
        ]
        return min(done, default=0)


@dataclass(frozen=True, slots=True)
class ClassOrder:
    """Which class to plan, and what the season wants of it.

    Parameters
    ----------
    gym_name : str
        For the head of the sheet.
    class_time : ClassTime
        When and how long.
    on : date
        Which day.
    work : tuple of SlotWork
        The season's order; several are stations of an implement day.
    why : tuple of str
        Why the season chose it.
    present : tuple of AthleteId
        Who is there.
    set_loads : tuple of SetLoad
        What the coach set by hand.
    unit : MassUnit
        Of this gym's pages.
    tonight : Tonight
        What else is by hand.
    terms : FloorTerms
        The gym's times and prices.
    wishes : Mapping
        Athlete -> whom they lift with.
    running : Running or None
        The class as it runs; None before it began.
    after : tuple of AfterWork
        The season's second lift or event practice after the main lift.
    gives_way : frozenset of AthleteId
        Who does the twin of a scarce lift because no platform of the lift itself has room.
    is_settled : bool
        Whether one thing changed in a plan that people know: they stay unless it is well worth it.
    """

    gym_name: str
    class_time: ClassTime
    on: date
    work: tuple[SlotWork, ...]
    why: tuple[str, ...]
    present: tuple[AthleteId, ...]
    set_loads: tuple[SetLoad, ...] = ()
    unit: MassUnit = MassUnit.KG
    tonight: Tonight = Tonight()
    terms: FloorTerms = FloorTerms()
    wishes: Mapping[str, FloorWish] = field(default_factory=dict)
    running: Running | None = None
    after: tuple[AfterWork, ...] = ()
    gives_way: frozenset[AthleteId] = frozenset()
    is_settled: bool = False
