"""The closed sets of words of the catalogue, with the name a coach reads for each."""

from __future__ import annotations

from enum import StrEnum
from typing import NewType

KitKey = NewType("KitKey", str)


class Slot(StrEnum):
    """A main slot of the training week."""

    DYNAMIC_LOWER = "dynamic_lower"
    MAX_EFFORT_UPPER = "max_effort_upper"
    MAX_EFFORT_LOWER = "max_effort_lower"
    DYNAMIC_UPPER = "dynamic_upper"
    IMPLEMENT = "implement"

    @property
    def is_dynamic(self) -> bool:
        """Whether work in this slot runs in waves at submaximal loads."""
        return self in (Slot.DYNAMIC_LOWER, Slot.DYNAMIC_UPPER)

    @property
    def is_max_effort(self) -> bool:
        """Whether work in this slot builds up to a heavy top set."""
        return self in (Slot.MAX_EFFORT_LOWER, Slot.MAX_EFFORT_UPPER)

    @property
    def is_lower(self) -> bool:
        """Whether the slot trains the lower body first."""
        return self in (Slot.DYNAMIC_LOWER, Slot.MAX_EFFORT_LOWER)

    @property
    def shown(self) -> str:
        """The words on screens and paper."""
        return _SLOTS_SHOWN[self]


_SLOTS_SHOWN = {
    Slot.DYNAMIC_LOWER: "Dynamic-effort lower",
    Slot.MAX_EFFORT_UPPER: "Max-effort upper",
    Slot.MAX_EFFORT_LOWER: "Max-effort lower",
    Slot.DYNAMIC_UPPER: "Dynamic-effort upper",
    Slot.IMPLEMENT: "Implement day",
}


class Pattern(StrEnum):
    """What the body does."""

    SQUAT = "squat"
    HINGE = "hinge"
    DEADLIFT = "deadlift"
    OVERHEAD = "overhead"
    BENCH = "bench"
    CARRY = "carry"
    LOAD = "load"
    HOLD = "hold"


class Implement(StrEnum):
    """What is lifted."""

    STRAIGHT_BAR = "straight_bar"
    SAFETY_BAR = "safety_bar"
    CAMBERED_BAR = "cambered_bar"
    HEX_BAR = "hex_bar"
    MULTI_GRIP_BAR = "multi_grip_bar"
    YOKE_BAR = "yoke_bar"
    AXLE = "axle"
    LOG = "log"
    THICK_DUMBBELL = "thick_dumbbell"
    LEVER = "lever"
    FRAME = "frame"
    FARMERS = "farmers"
    YOKE = "yoke"
    STONES = "stones"
    SANDBAG = "sandbag"
    KEG = "keg"
    WHEEL = "wheel"
    SLED = "sled"
    TYRE = "tyre"

    @property
    def shown(self) -> str:
        """The words on screens and paper."""
        return self.value.replace("_", " ")

    @property
    def one(self) -> str:
        """A single one of it in words: stones and handles are kept as a set, one is lifted."""
        single = {Implement.STONES: "stone", Implement.FARMERS: "farmers handle"}
        return single.get(self, self.shown)


class Region(StrEnum):
    """Body regions whose exposure is counted."""

    SPINE = "spine"
    SHOULDER = "shoulder"
    ELBOW = "elbow"
    GRIP = "grip"
    KNEE = "knee"


class EventFamily(StrEnum):
    """Families of contest events; each transfers from training lifts in its own way."""

    DEADLIFT_MAX = "deadlift_max"
    DEADLIFT_REPS = "deadlift_reps"
    PRESS_MAX = "press_max"
    PRESS_REPS = "press_reps"
    YOKE = "yoke"
    FARMERS = "farmers"
    STONES = "stones"
    SANDBAG = "sandbag"
    SQUAT = "squat"
    HOLD = "hold"
    MEDLEY = "medley"


class WeakPoint(StrEnum):
    """Where an athlete's lifts fail first."""

    OFF_THE_FLOOR = "off_the_floor"
    LOCKOUT = "lockout"
    UPPER_BACK = "upper_back"
    GRIP = "grip"
    TRICEPS = "triceps"
    LEG_DRIVE = "leg_drive"
    QUADS = "quads"
    BRACING = "bracing"
    CONDITIONING = "conditioning"

    @property
    def shown(self) -> str:
        """The words on screens and paper."""
        return self.value.replace("_", " ")


class Resistance(StrEnum):
    """What adds load as the bar rises."""

    STRAIGHT = "straight"
    BANDS = "bands"
    CHAINS = "chains"

    @property
    def shown(self) -> str:
        """The words on screens and paper."""
        return {"straight": "straight weight", "bands": "bands", "chains": "chains"}[self.value]


class MaxEffortScheme(StrEnum):
    """What a max-effort day builds up to."""

    SINGLE = "single"
    TRIPLE = "triple"
    REP_MAX = "rep_max"

    @property
    def top_reps(self) -> int:
        """Repetitions of the day's top set (rep max: as a set of 6 is planned, common practice)."""
        return {"single": 1, "triple": 3, "rep_max": 6}[self.value]
