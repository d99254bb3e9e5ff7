"""What the gym owns: bars, plates, bands, chains, blocks, implements, platforms."""

from heftwright.domain.stock.gear import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ChainMassSource,
    ImplementUnit,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
    Stock,
    StockError,
)
from heftwright.domain.stock.override import RatingOverride

__all__ = [
    "Band",
    "BandReading",
    "Bar",
    "Block",
    "Chain",
    "ChainMassSource",
    "ImplementUnit",
    "PlatePair",
    "Platform",
    "RatingOverride",
    "ReadingDirection",
    "RigKind",
    "Side",
    "Stock",
    "StockError",
]
