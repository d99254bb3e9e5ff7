"""What the season orders for one slot of one week: the work order that a class takes up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Resistance, Slot


@dataclass(frozen=True, slots=True)
class SlotWork:
    """One slot's main work in one week.

    Parameters
    ----------
    slot : Slot
        Which main slot.
    monday : date
        First day of the week.
    lift : LiftKey
        The main lift; several orders with the same slot and week are stations (implement day).
    resistance : Resistance
        Straight weight, bands or chains.
    wave_week, wave_weeks : int
        Which week of a wave of how many (1 of 1 for max-effort and implement work).
    scheme_step : int
        Dynamic effort: 0 many sets of few … 2 fewer sets of more (season.md, drift). Implement
        day: 0 heavy, 1 reps or speed.
    max_effort : MaxEffortScheme or None
        What a max-effort day builds up to.
    is_taper : bool
        The week before a squad contest: volume × 0.545 (Winwood et al. 2018).
    is_easy : bool
        The easy week after one.
    """

    slot: Slot
    monday: date
    lift: LiftKey
    resistance: Resistance = Resistance.STRAIGHT
    wave_week: int = 1
    wave_weeks: int = 1
    scheme_step: int = 0
    max_effort: MaxEffortScheme | None = None
    is_taper: bool = False
    is_easy: bool = False
