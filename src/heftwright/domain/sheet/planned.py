"""A dated class as planned: the sheet that is shown, and what a re-plan starts from."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.floor.plan import FloorPlan
from heftwright.domain.mass import EnteredMass
from heftwright.domain.season import SlotWork
from heftwright.domain.sheet.class_sheet import ClassSheet
from heftwright.domain.squad import AthleteId


@dataclass(frozen=True, slots=True)
class SetLoad:
    """A load that the coach set by hand for one athlete tonight.

    Parameters
    ----------
    athlete : AthleteId
        Whose.
    load : EnteredMass
        Total on the bar.
    who, why : str
        Override takes a name and a reason.
    was : str
        The load before, in words.
    """

    athlete: AthleteId
    load: EnteredMass
    who: str
    why: str
    was: str


@dataclass(frozen=True, slots=True)
class PlannedClass:
    """A plan of one dated class.

    Parameters
    ----------
    sheet : ClassSheet
        What every surface shows.
    floor : FloorPlan or None
        For stable re-planning; None on an implement day.
    work : tuple of SlotWork
        What the season ordered.
    present : tuple of AthleteId
        Who was planned for.
    set_loads : tuple of SetLoad
        Loads the coach set by hand; they stay in every re-plan of this class.
    """

    sheet: ClassSheet
    floor: FloorPlan | None
    work: tuple[SlotWork, ...]
    present: tuple[AthleteId, ...]
    set_loads: tuple[SetLoad, ...] = ()
