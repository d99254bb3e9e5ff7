"""What follows the main lift of a class: a second lift, or practice of a contest's event."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from heftwright.domain.catalogue import KitKey, Lift, LiftKey, Pattern, Slot

BOX = KitKey("box")


class AfterKind(StrEnum):
    """What kind of work follows the main lift."""

    SECOND_LIFT = "second_lift"
    EVENT_PRACTICE = "event_practice"

    @property
    def shown(self) -> str:
        """The words on screens and paper."""
        return {"second_lift": "second lift", "event_practice": "event practice"}[self.value]


@dataclass(frozen=True, slots=True)
class AfterWork:
    """One block of work after the main lift of one slot in one week.

    Parameters
    ----------
    slot : Slot
        After which main lift.
    monday : date
        First day of the week.
    lift : LiftKey
        What.
    kind : AfterKind
        Second lift or event practice.
    scheme_step : int
        0 heavy and short, 1 lighter: reps or speed.
    is_taper : bool
        The week before a squad contest: volume × 0.545 (Winwood et al. 2018).
    """

    slot: Slot
    monday: date
    lift: LiftKey
    kind: AfterKind
    scheme_step: int = 0
    is_taper: bool = False

    @property
    def scheme_shown(self) -> str:
        """The scheme in a word or three."""
        return "reps or speed" if self.scheme_step else "heavy and short"


@dataclass(frozen=True, slots=True)
class AfterPin:
    """What the coach fixes after the main lift of one slot in one week.

    Parameters
    ----------
    slot, monday
        After which main lift.
    lift : LiftKey or None
        What; None: nothing shall follow there but the rep work.
    """

    slot: Slot
    monday: date
    lift: LiftKey | None


def kind_after(lift: Lift, slot: Slot, *, has_implement_day: bool) -> AfterKind | None:
    """What a lift may be after the main lift of a slot; None if it does not belong there.

    Second lifts train force in other shapes on the lower days: cleans, box squats, and something
    picked up from the floor to the shoulder or over a bar. Events are practised there only where
    the timetable has no implement day; presses on the upper days, all else on the lower days
    (common practice, no source).
    """
    is_press = lift.pattern in (Pattern.OVERHEAD, Pattern.BENCH)
    if slot is Slot.IMPLEMENT or is_press == slot.is_lower:
        return None
    if lift.is_second_lift:
        return AfterKind.SECOND_LIFT if slot.is_lower else None
    is_event = Slot.IMPLEMENT in lift.slots
    if is_event and not has_implement_day:
        return AfterKind.EVENT_PRACTICE
    is_pick_up = is_event and lift.pattern is Pattern.LOAD
    is_box_squat = lift.pattern is Pattern.SQUAT and BOX in lift.kit
    return AfterKind.SECOND_LIFT if slot.is_lower and (is_pick_up or is_box_squat) else None
