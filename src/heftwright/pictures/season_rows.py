"""What stands on a block of the season strip, in letters small enough to say all of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from heftwright.domain.sheet import StripBlock, StripLane
from heftwright.pictures.lettering import wrapped
from heftwright.pictures.season_words import on_block

FOOT_ROOM = 7.0
"""Under the last line, down to the ground."""
INDENT = 4.0
_HEAD_ROOM = 3.0
_MARK = 16.0
_ASCENT = 0.72
_LANE, _HIGHEST_LANE = 104.0, 160.0
_SIZES = ((13.5, 15.0), (12.75, 14.0), (12.0, 13.0))
"""Letters and lines, the largest that says all is taken; never below 12 px."""
_SMALLEST = 12.0
_MANY = 99
_SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Row:
    """One line on a block: its words, letters, height of line, and whether it is the detail."""

    text: str
    size: float
    line: float
    is_detail: bool


def fitted_rows(block: StripBlock, width: float, height: float) -> tuple[Row, ...]:
    """The lift's name, then a wave's resistance and scheme, as large as all of it fits.

    Parameters
    ----------
    block : StripBlock
        Light work says just that.
    width, height : float
        Of the block at its lowest step.
    """
    rows: tuple[Row, ...] = ()
    for size, line in _SIZES:
        lines = _lines_in(height - _mark_height(block), size, line)
        rows = tuple(_rows(block, width, (size, line), lines))
        if not any(row.text.endswith("…") for row in rows) and _has_all(block, rows):
            return rows
    return rows


def lane_height(lane: StripLane, week_room: float) -> float:
    """How tall a lane must be so that every block has room for its words; within limits."""
    heights = (_needed(block, block.weeks * week_room - 4) for block in lane.blocks)
    return min(_HIGHEST_LANE, max([_LANE, *heights]))


def _needed(block: StripBlock, width: float) -> float:
    size, line = _SIZES[-1]
    rows = len(tuple(_rows(block, width, (size, line), _MANY)))
    height = FOOT_ROOM + _HEAD_ROOM + _ASCENT * size + line * (rows - 1) + _mark_height(block)
    return height / max(min(block.steps), 0.1)


def _mark_height(block: StripBlock) -> float:
    """The tick or pin stands over the words of a single week; a wave has room beside its last."""
    return _MARK if block.weeks == 1 and (block.is_done or block.is_pinned) else 0.0


def _lines_in(height: float, size: float, line: float) -> int:
    left = height - FOOT_ROOM - _HEAD_ROOM - _ASCENT * size
    return 1 + max(0, int(left / line + _SLACK))


def _rows(
    block: StripBlock, width: float, letters: tuple[float, float], lines: int
) -> Iterator[Row]:
    size, line = letters
    room = width - 1.5 * INDENT
    names = wrapped(on_block(block), size, room, lines)
    yield from (Row(text, size, line, is_detail=False) for text in names)
    if not _has_detail(block) or len(names) >= lines:
        return
    small = max(_SMALLEST, size - 1)
    for text in wrapped(block.detail, small, room, lines - len(names)):
        yield Row(text, small, line, is_detail=True)


def _has_detail(block: StripBlock) -> bool:
    return bool(block.detail) and not block.is_light and block.weeks > 1


def _has_all(block: StripBlock, rows: tuple[Row, ...]) -> bool:
    return not _has_detail(block) or any(row.is_detail for row in rows)
