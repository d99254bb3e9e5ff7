"""A dated class as planned: the sheet that is shown, and what a re-plan starts from."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.dose import Scheme
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
class SetPlace:
    """A platform that the coach put one athlete on tonight.

    Parameters
    ----------
    athlete : AthleteId
        Whom.
    platform : str
        Key of the platform.
    who : str
        Who moved them.
    """

    athlete: AthleteId
    platform: str
    who: str


@dataclass(frozen=True, slots=True)
class SetLift:
    """Another lift that the coach gave one athlete tonight, such as one half of the class.

    Parameters
    ----------
    athlete : AthleteId
        Whose.
    lift : LiftKey
        In the place of the class's.
    who : str
        Who gave it.
    """

    athlete: AthleteId
    lift: LiftKey
    who: str


@dataclass(frozen=True, slots=True)
class Tonight:
    """What is otherwise tonight than the season, the stock and the planner say.

    Parameters
    ----------
    broken_bands : tuple of str
        Band keys, one pair each, out of use for this class.
    places : tuple of SetPlace
        Put there by hand; they stay in every re-plan.
    lifts : tuple of SetLift
        Given by hand.
    scheme : Scheme or None
        Chosen by the coach against the clock; None: the season's.
    """

    broken_bands: tuple[str, ...] = ()
    places: tuple[SetPlace, ...] = ()
    lifts: tuple[SetLift, ...] = ()
    scheme: Scheme | None = None

    def lift_of(self, athlete: AthleteId) -> LiftKey | None:
        """The lift given by hand, or None."""
        return next((item.lift for item in self.lifts if item.athlete == athlete), None)


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
    tonight : Tonight
        What else is by hand; it stays as well.
    """

    sheet: ClassSheet
    floor: FloorPlan | None
    work: tuple[SlotWork, ...]
    present: tuple[AthleteId, ...]
    set_loads: tuple[SetLoad, ...] = ()
    tonight: Tonight = Tonight()


@dataclass(frozen=True, slots=True)
class FloorDraft:
    """A plan that is shown to the coach before it is taken.

    Parameters
    ----------
    key : str
        Of the dated class.
    planned : PlannedClass
        The whole plan; taking it is one step.
    title : str
        What it is about: "Kit comes late", "One moss pair is broken".
    changes : tuple of str
        What changes for whom, in sentences; empty when nothing does.
    cost_words : str
        Moves, change time and finish against the plan that stands.
    from_version : int
        The plan it was worked out from; it can only be taken while that one stands.
    """

    key: str
    planned: PlannedClass
    title: str
    changes: tuple[str, ...]
    cost_words: str
    from_version: int
