"""What the invented gym owns, as its owner wrote it down: header row and rows a sheet.

Two band kinds carry calibration readings of both directions, one has a single reading, and one was
never read: it cannot be prescribed until somebody hangs weights on it.
"""

from __future__ import annotations

Row = tuple[str | float | int, ...]

BARS: tuple[Row, ...] = (
    # key, name, implement, mass kg, one collar kg, sleeve mm, count, rating kg
    ("bar", "Straight bar", "straight bar", 20, 2.5, 415, 6, 450),
    ("light-bar", "Light bar", "straight bar", 15, 2.5, 320, 2, 300),
    ("safety-bar", "Safety bar", "safety bar", 25, 2.5, 380, 2, 350),
    ("cambered-bar", "Cambered bar", "cambered bar", 30, 2.5, 400, 1, 350),
    ("hex-bar", "Hex bar", "hex bar", 25, 2.5, 330, 2, 400),
    ("multi-grip", "Multi-grip bar", "multi grip bar", 20, 2.5, 380, 2, 300),
    ("axle", "Axle", "axle", 15, 2.5, 400, 2, 400),
    ("big-log", "Big log", "log", 55, 2.5, 360, 1, 250),
    ("small-log", "Small log", "log", 30, 2.5, 300, 1, 180),
)
PLATES: tuple[Row, ...] = (
    # key, mass kg of one, pairs, diameter mm, thickness mm, colour
    ("25", 25, 12, 450, 54, "#c8102e"),
    ("20", 20, 14, 450, 46, "#1f4fa3"),
    ("15", 15, 8, 450, 38, "#e8b600"),
    ("10", 10, 12, 450, 30, "#1c8a43"),
    ("5", 5, 12, 230, 27, "#f2f2f0"),
    ("2.5", 2.5, 10, 190, 20, "#c8102e"),
    ("1.25", 1.25, 8, 160, 15, "#8a8f98"),
    ("0.5", 0.5, 4, 135, 12, "#f2f2f0"),
)
BANDS: tuple[Row, ...] = (
    # key, name, pairs, rest length cm, guess of top force kg, longest safe cm, inspected (offset)
    ("slate", "Slate band", 6, 102.5, "", 260, 40),
    ("moss", "Moss band", 6, 104.0, "", 260, 40),
    ("rust", "Rust band", 4, 103.2, "", 260, 40),
    ("coal", "Coal band", 2, 104.1, "", 250, 12),
    ("plum", "Plum band", 1, 103.0, 60, "", ""),
)
# key, length cm, force kg, date offset days before today, side, direction, rig
BAND_READINGS: tuple[Row, ...] = (
    ("slate", 62, 4.6, 40, "left", "up", "doubled"),
    ("slate", 80, 8.6, 40, "left", "up", "doubled"),
    ("slate", 98, 11.4, 40, "left", "up", "doubled"),
    ("slate", 98, 11.0, 40, "left", "down", "doubled"),
    ("moss", 62, 7.3, 40, "left", "up", "doubled"),
    ("moss", 80, 13.6, 40, "left", "up", "doubled"),
    ("moss", 98, 18.1, 40, "left", "up", "doubled"),
    ("moss", 80, 13.0, 40, "left", "down", "doubled"),
    ("rust", 62, 10.9, 40, "left", "up", "doubled"),
    ("rust", 80, 20.2, 40, "left", "up", "doubled"),
    ("rust", 98, 27.0, 40, "left", "up", "doubled"),
    ("coal", 80, 30.5, 12, "both", "up", "doubled"),
)
CHAINS: tuple[Row, ...] = (
    # key, name, pairs, kg per m of one strand, length m, leader kg, weighed on (offset)
    ("heavy-chain", "Heavy chain", 4, 5.1, 1.6, 0.6, 60),
    ("light-chain", "Light chain", 4, 2.2, 1.6, 0.4, 60),
)
BLOCKS: tuple[Row, ...] = (("block-10", 10, 6, 600), ("mat-5", 5, 6, 600))
IMPLEMENTS: tuple[Row, ...] = (
    # key, name, implement, mass kg (empty), count, pick height cm, weighed on (offset), takes plates
    ("yoke", "Yoke", "yoke", 92, 1, 130, 60, "yes"),
    ("farmers", "Farmers handles", "farmers", 14.5, 2, 25, 60, "yes"),
    ("frame", "Carry frame", "frame", 48, 1, 33, 60, "yes"),
    ("stone-60", "Stone 60", "stones", 61.2, 1, "", 60, "no"),
    ("stone-100", "Stone 100", "stones", 101.5, 1, "", 60, "no"),
    ("stone-140", "Stone 140", "stones", 138.8, 1, "", 60, "no"),
    ("sandbag-50", "Sandbag 50", "sandbag", 50.4, 1, "", 60, "no"),
    ("sandbag-80", "Sandbag 80", "sandbag", 79.1, 2, "", 60, "no"),
    ("keg", "Keg", "keg", "", 2, "", "", "no"),
    ("dumbbell", "Thick dumbbell", "thick dumbbell", 24, 1, "", 60, "yes"),
)
PLATFORMS: tuple[Row, ...] = (
    # key, rack, peg heights cm, peg offset cm
    ("1", "yes", "4; 20", 60),
    ("2", "yes", "4; 20", 60),
    ("3", "yes", "4; 20", 60),
    ("4", "yes", "4", 60),
    ("5", "yes", "4", 60),
    ("6", "no", "4", 60),
)
KIT: tuple[Row, ...] = (
    ("box", 5),
    ("bench", 4),
    ("board", 4),
    ("sled", 1),
    ("tyre", 1),
    ("lever", 1),
)
