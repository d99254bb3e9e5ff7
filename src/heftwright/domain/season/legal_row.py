"""One row of the season's hard rules, and the families of rules."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from heftwright.domain.catalogue import Region, Slot
from heftwright.domain.season.problem import Pin


class Rule(StrEnum):
    """Families of hard rules."""

    COVER = "cover"
    STATIONS = "stations"
    ONCE = "once"
    MINUTES = "minutes"
    SCARCE_KIT = "scarce_kit"
    REPEAT = "repeat"
    PATTERN_RUN = "pattern_run"
    SCHEME_RUN = "scheme_run"
    WAVE_CHANGE = "wave_change"
    BANDS = "bands"
    SHORT_WAVES = "short_waves"
    DRIFT = "drift"
    WEEK_LOAD = "week_load"
    TWO_DAYS = "two_days"
    FOUR_WEEKS = "four_weeks"
    PIN = "pin"

    @property
    def sentence(self) -> str:
        """The rule in a coach's words."""
        return _RULES_SHOWN[self]


_RULES_SHOWN = {
    Rule.COVER: "each slot has one main lift a week",
    Rule.STATIONS: "the implement day has no room for another station",
    Rule.ONCE: "a lift is one station of the implement day",
    Rule.MINUTES: "the stations must fit the implement day's minutes",
    Rule.SCARCE_KIT: "scarce kit serves one station a day",
    Rule.REPEAT: "the same lift comes back too soon",
    Rule.PATTERN_RUN: "that would be the same movement too many weeks in a row",
    Rule.SCHEME_RUN: "that would be the same scheme too many weeks in a row",
    Rule.WAVE_CHANGE: "something about the lift must change after a wave",
    Rule.BANDS: "waves with bands must alternate with others",
    Rule.SHORT_WAVES: "there are enough short waves in that run of weeks",
    Rule.DRIFT: "set schemes drift towards the event, one step at a time",
    Rule.WEEK_LOAD: "the week's budget of a body region would be exceeded",
    Rule.TWO_DAYS: "two days in a row would load a body region too much",
    Rule.FOUR_WEEKS: "four weeks would load a body region too much",
    Rule.PIN: "a pin of yours stands there",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One row.

    Parameters
    ----------
    rule : Rule
        Which rule.
    low, high : float
        Bounds; ±inf if open.
    parts : dict
        Column -> coefficient.
    week : int
        First week it is about.
    slot : Slot or None
        Which slot, for rows of one.
    region : Region or None
        Which body region.
    pin : Pin or None
        Which pin.
    """

    rule: Rule
    low: float
    high: float
    parts: dict[int, float]
    week: int
    slot: Slot | None = None
    region: Region | None = None
    pin: Pin | None = None
