"""Worth bars: what one percent more of each contest event would bring in points."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.refusal import Refusal
from heftwright.pictures.axis import round_steps
from heftwright.pictures.drawing import Svg, el, joined, path, picture
from heftwright.pictures.lettering import shortened
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.table import ChartTable

_WIDTH = 560.0
_NAMES, _NUMBERS = 180.0, 112.0
_HEAD, _ROW, _FOOT, _EDGE = 8.0, 34.0, 32.0, 8.0


class WorthBarError(Refusal):
    """A worth that cannot be drawn."""


@dataclass(frozen=True, slots=True)
class WorthBar:
    """One event: points gained for one percent more, and the likely range.

    Parameters
    ----------
    event_name : str
        Which event.
    points : float
        Points for one percent more [points/%], 0 or more.
    low, high : float
        The range it lies in, ``low`` ≤ ``points`` ≤ ``high`` [points/%].
    """

    event_name: str
    points: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.points <= self.high < 1000:
            raise WorthBarError(
                f"{self.event_name}: points for a percent must be 0 or more and inside their range."
            )


def worth_bars_svg(bars: tuple[WorthBar, ...], *, palette: Palette = SCREEN, id_prefix: str) -> str:
    """Draw the events with the most to win on top, each with its range."""
    ordered = _ordered(bars)
    most = max([bar.high for bar in ordered], default=0.0) or 1.0
    table = worth_bars_table(bars)
    return picture(
        _grid(palette, len(ordered), most),
        joined(_row(palette, at, bar, most) for at, bar in enumerate(ordered)),
        size=(_WIDTH, _HEAD + len(ordered) * _ROW + _FOOT),
        title=table.caption,
        desc=" ".join(f"{name}: {points}, {spread}." for name, points, spread in table.rows),
        id_prefix=id_prefix,
        kind="worth",
    )


def worth_bars_table(bars: tuple[WorthBar, ...]) -> ChartTable:
    """The same in words, the most to win first."""
    return ChartTable(
        "What one percent more would bring",
        ("Event", "Points for a percent", "Range"),
        tuple(
            (bar.event_name, f"{bar.points:.2f} points", f"{bar.low:.2f} to {bar.high:.2f} points")
            for bar in _ordered(bars)
        ),
    )


def _ordered(bars: tuple[WorthBar, ...]) -> list[WorthBar]:
    return sorted(bars, key=lambda bar: (-bar.points, bar.event_name))


def _x(points: float, most: float) -> float:
    return _NAMES + points / most * (_WIDTH - _NAMES - _NUMBERS)


def _grid(palette: Palette, rows: int, most: float) -> Svg:
    foot = _HEAD + rows * _ROW + 4
    parts = []
    for step in round_steps(0, most, at_most=4):
        x = _x(step, most)
        parts.append(el("path", d=path([(x, _HEAD), (x, foot)]), stroke=palette.line))
        parts.append(
            el("text", f"{step:g} points", x=x, y=foot + 17, font_size=13, text_anchor="middle",
               fill=palette.soft)
        )  # fmt: skip
    return joined(parts)


def _row(palette: Palette, at: int, bar: WorthBar, most: float) -> Svg:
    top = _HEAD + at * _ROW
    low, high = _x(bar.low, most), _x(bar.high, most)
    ends = path([(low, top + 6), (low, top + 28)]) + path([(high, top + 6), (high, top + 28)])
    across = path([(low, top + 17), (high, top + 17)])
    name = shortened(bar.event_name, 16, _NAMES - 22)
    return joined(
        (
            el("text", name, x=_EDGE, y=top + 22, font_size=16, font_weight=600, fill=palette.ink),
            el("rect", x=_NAMES, y=top + 9, width=_x(bar.points, most) - _NAMES, height=16,
               fill=palette.steel, stroke=palette.steel_edge, stroke_width=1.5),
            el("path", d=ends + across, stroke=palette.rope, stroke_width=2.5),
            el("text", f"{bar.points:.2f} points", x=_WIDTH - _EDGE, y=top + 23, font_size=18,
               font_weight=800, text_anchor="end", fill=palette.ink),
        )
    )  # fmt: skip
