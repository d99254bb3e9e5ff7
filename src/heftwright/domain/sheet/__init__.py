"""What every surface shows: one set of values for board, card, paper, desk and terminal."""

from heftwright.domain.sheet.class_sheet import (
    ClassSheet,
    LadderStep,
    LifterLine,
    LoadedSleeve,
    PlateOnBar,
    PlatformSheet,
    RopeChart,
    SchemeLine,
    Unplaced,
)
from heftwright.domain.sheet.season_strip import (
    ContestPost,
    SeasonStrip,
    StripBlock,
    StripLane,
    StripWeek,
)

__all__ = [
    "ClassSheet",
    "ContestPost",
    "LadderStep",
    "LifterLine",
    "LoadedSleeve",
    "PlateOnBar",
    "PlatformSheet",
    "RopeChart",
    "SchemeLine",
    "SeasonStrip",
    "StripBlock",
    "StripLane",
    "StripWeek",
    "Unplaced",
]
