"""Cautions that stand where the hazard is, once, in plain words (trust.md, hazards and guards)."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum


class Caution(StrEnum):
    """What a line of the sheet warns of."""

    MINOR = "minor"
    NO_GUARDIAN = "no_guardian"
    BACK_FROM_LAY_OFF = "back_from_lay_off"
    STALE_MAX = "stale_max"
    NO_TOP_TARGET = "no_top_target"
    OLD_MAX = "old_max"
    OUTSIDE_MEASURED_STRETCH = "outside_measured_stretch"
    BANDS = "bands"
    MAXIMAL_LIFT = "maximal_lift"
    HEIGHTS_FROM_STATURE = "heights_from_stature"
    WIDE_ESTIMATE = "wide_estimate"


CLASS_WIDE = frozenset({Caution.BANDS, Caution.MAXIMAL_LIFT})
"""Said once for the whole class, not on every line."""

NOTES = frozenset({Caution.MINOR, Caution.BACK_FROM_LAY_OFF, Caution.HEIGHTS_FROM_STATURE})
"""Stand quietly on the line: known before the class, and nothing to decide in it."""
SQUAD_WIDE = frozenset({Caution.STALE_MAX, Caution.OLD_MAX})
"""Said once, on the squad's list of what is open (usecases.squad_asks), not at every class."""

WORDS: Mapping[Caution, str] = {
    Caution.MINOR: "Under 18: no maximal singles; the named supervisor stays with this lifter.",
    Caution.NO_GUARDIAN: "Under 18 with no guardian or supervisor on record: enter both first.",
    Caution.BACK_FROM_LAY_OFF: "Back from a lay-off: stop well short of failure, ask how it feels.",
    Caution.STALE_MAX: "This max is more than 12 weeks old: propose a test.",
    Caution.NO_TOP_TARGET: "Max too old or in doubt: steps stop light; the coach sets the top set.",
    Caution.OLD_MAX: "Max over 26 weeks old or in doubt: its cautious end is used; test again.",
    Caution.OUTSIDE_MEASURED_STRETCH: "The band works outside its measured stretch here.",
    Caution.BANDS: "Bands under tension: check pegs and loops before the set.",
    Caution.MAXIMAL_LIFT: "Heavy lift: spotters or pins set, collars on, stop at the first miss.",
    Caution.HEIGHTS_FROM_STATURE: "Bar heights are estimated from stature: tape them once.",
    Caution.WIDE_ESTIMATE: "The max is a wide guess: start light and correct it tonight.",
}
