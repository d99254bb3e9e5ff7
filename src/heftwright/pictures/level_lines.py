"""Level lines: a person a row, all lifts together, four weeks by four weeks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.refusal import Refusal
from heftwright.pictures.day_ends import day_ends
from heftwright.pictures.drawing import Svg, el, joined, path, picture
from heftwright.pictures.lettering import shortened
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.table import ChartTable

_WIDTH = 580.0
_NAMES, _NUMBERS = 190.0, 78.0
_LINES = _NAMES + _NUMBERS
_HEAD, _ROW, _FOOT, _EDGE, _MARGIN = 26.0, 44.0, 8.0, 8.0, 9.0
_LEAST_SPREAD = 0.04
"""The rows' common scale shows at least 4 %, so that a quiet half year looks quiet."""


class LevelLineError(Refusal):
    """Level lines that do not fit together."""


@dataclass(frozen=True, slots=True)
class LevelLine:
    """One row: a name and its level against the first span, as ratios, oldest first."""

    name: str
    ratios: tuple[float, ...]
    is_squad: bool = False

    def __post_init__(self) -> None:
        if len(self.ratios) < 2 or not all(0 < ratio < 10 for ratio in self.ratios):
            raise LevelLineError(f"{self.name}: two spans or more are needed, each above 0.")


@dataclass(frozen=True, slots=True)
class _Row:
    line: LevelLine
    palette: Palette
    top: float
    low: float
    high: float

    def x(self, span: int) -> float:
        room = _WIDTH - _LINES - 16 - _EDGE
        return _LINES + 8 + span / (len(self.line.ratios) - 1) * room

    def y(self, ratio: float) -> float:
        share = (ratio - self.low) / (self.high - self.low)
        return self.top + _ROW - _MARGIN - share * (_ROW - 2 * _MARGIN)


def level_lines_svg(
    lines: tuple[LevelLine, ...],
    *,
    spans: tuple[date, ...],
    palette: Palette = SCREEN,
    id_prefix: str,
) -> str:
    """Draw a row a person on one common scale; a thin rule stands for the first span's level.

    Parameters
    ----------
    lines : tuple of LevelLine
        The rows.
    spans : tuple of date
        The last day of each span, oldest first.
    palette, id_prefix
        As for every picture.

    Raises
    ------
    LevelLineError
        If a row has other spans than are named.
    """
    table = level_lines_table(lines, spans=spans)
    ratios = [ratio for line in lines for ratio in line.ratios] or [1.0]
    middle = (max(ratios) + min(ratios)) / 2
    half = max(_LEAST_SPREAD, max(ratios) - min(ratios)) / 2
    rows = [
        _Row(line, palette, _HEAD + at * _ROW, middle - half, middle + half)
        for at, line in enumerate(lines)
    ]
    return picture(
        day_ends(spans, left=_LINES, right=_WIDTH - _EDGE, palette=palette, before="to "),
        joined(_row(row) for row in rows),
        size=(_WIDTH, _HEAD + len(lines) * _ROW + _FOOT),
        title=table.caption,
        desc=" ".join(f"{row[0]}: {row[-1]}." for row in table.rows),
        id_prefix=id_prefix,
        kind="levels",
    )


def level_lines_table(lines: tuple[LevelLine, ...], *, spans: tuple[date, ...]) -> ChartTable:
    """A row a person with each span's level against the first."""
    for line in lines:
        if len(line.ratios) != len(spans):
            raise LevelLineError(
                f"{line.name}: {len(line.ratios)} spans were given, but {len(spans)} are named."
            )
    rows = tuple((line.name, *(_change(ratio) for ratio in line.ratios)) for line in lines)
    heads = ("Who", *(f"to {on.day} {on:%b}" for on in spans))
    return ChartTable("All lifts together, against the first four weeks", heads, rows)


def _row(row: _Row) -> Svg:
    palette, line, last = row.palette, row.line, len(row.line.ratios) - 1
    weight = 800 if line.is_squad else 600
    first = row.y(line.ratios[0])
    steps = path([(row.x(at), row.y(ratio)) for at, ratio in enumerate(line.ratios)])
    return joined(
        (
            el("path", d=path([(_EDGE, row.top), (_WIDTH - _EDGE, row.top)]), stroke=palette.line),
            el("text", shortened(line.name, 16, _NAMES - 20), x=_EDGE, y=row.top + 28,
               font_size=16, font_weight=weight, fill=palette.ink),
            el("text", _change(line.ratios[-1]), x=_LINES - 14, y=row.top + 28, font_size=16,
               font_weight=weight, text_anchor="end", fill=palette.ink),
            el("path", d=path([(row.x(0), first), (row.x(last), first)]), stroke=palette.line),
            el("path", d=steps, fill="none", stroke=palette.steel_edge,
               stroke_width=3.5 if line.is_squad else 2),
            el("circle", cx=row.x(last), cy=row.y(line.ratios[-1]), r=3.5, fill=palette.ink),
        )
    )  # fmt: skip


def _change(ratio: float) -> str:
    return f"{100 * (ratio - 1):+.1f} %".replace("-", "−").replace("+0.0", "±0.0")
