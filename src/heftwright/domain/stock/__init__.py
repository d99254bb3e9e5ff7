"""What the gym owns: bars, plates, bands, chains, blocks, implements, platforms."""

from heftwright.domain.stock.gear import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ImplementUnit,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
    Stock,
    StockError,
)

__all__ = [
    "Band",
    "BandReading",
    "Bar",
    "Block",
    "Chain",
    "ImplementUnit",
    "PlatePair",
    "Platform",
    "ReadingDirection",
    "RigKind",
    "Side",
    "Stock",
    "StockError",
]
