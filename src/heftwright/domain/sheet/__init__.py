"""What every surface shows: one set of values for board, card, paper, desk and terminal."""

from heftwright.domain.sheet.class_sheet import (
    ClassSheet,
    LadderStep,
    LastTurn,
    LifterLine,
    PlatformSheet,
    RopeChart,
    SchemeLine,
    Unplaced,
)
from heftwright.domain.sheet.season_strip import (
    ContestPost,
    SeasonStrip,
    StripAfter,
    StripBlock,
    StripLane,
    StripWeek,
)
from heftwright.domain.sheet.sleeve import LoadedSleeve, PlateOnBar

__all__ = [
    "ClassSheet",
    "ContestPost",
    "LadderStep",
    "LastTurn",
    "LifterLine",
    "LoadedSleeve",
    "PlateOnBar",
    "PlatformSheet",
    "RopeChart",
    "SchemeLine",
    "SeasonStrip",
    "StripAfter",
    "StripBlock",
    "StripLane",
    "StripWeek",
    "Unplaced",
]
