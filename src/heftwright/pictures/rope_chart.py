"""The rope chart: load against bar height over the athlete's own range of motion.

Height runs upward as the bar does, load to the right; what bands or chains add is the shaded part
between the bar alone and the total.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.sheet import RopeChart
from heftwright.pictures.axis import round_steps
from heftwright.pictures.drawing import Svg, el, joined, path, picture, safe_id
from heftwright.pictures.lettering import width_of
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.table import ChartTable

_SIZE = (420.0, 330.0)
_LEFT, _RIGHT, _TOP, _BOTTOM = 92.0, 18.0, 58.0, 46.0
_LETTER = 15.0
_EDGE = 6.0


class RopeChartError(Refusal):
    """Curves that cannot be drawn as one chart."""


@dataclass(frozen=True, slots=True)
class _Frame:
    chart: RopeChart
    before: RopeChart | None
    palette: Palette
    prefix: str
    unit: MassUnit
    low_kg: float
    high_kg: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.width - _RIGHT

    @property
    def foot(self) -> float:
        return self.height - _BOTTOM

    def x(self, load_kg: float) -> float:
        share = (load_kg - self.low_kg) / (self.high_kg - self.low_kg)
        return _LEFT + share * (self.right - _LEFT)

    def y(self, height_m: float) -> float:
        low, high = self.chart.heights_m[0], self.chart.heights_m[-1]
        return self.foot - (height_m - low) / (high - low) * (self.foot - _TOP)

    def line(self, loads_kg: tuple[float, ...]) -> list[tuple[float, float]]:
        pairs = zip(loads_kg, self.chart.heights_m, strict=True)
        return [(self.x(load), self.y(height)) for load, height in pairs]

    def shown(self, load_kg: float) -> str:
        return _shown(load_kg, self.unit)


def rope_chart_svg(
    chart: RopeChart,
    *,
    palette: Palette = SCREEN,
    id_prefix: str,
    unit: MassUnit = MassUnit.KG,
    size: tuple[float, float] = _SIZE,
    before: RopeChart | None = None,
) -> str:
    """Draw the load over the lift: bar alone, bar with bands or chains, ± one sd, marks.

    Parameters
    ----------
    chart : RopeChart
        Curves and marks.
    palette, id_prefix
        As for every picture.
    unit : MassUnit
        How this page shows masses.
    size : (float, float)
        Width, at least 260, and height, at least 200, in units of which letters are 15 high.
    before : RopeChart or None
        The total before something was changed, drawn thin beside it where the heights overlap.

    Raises
    ------
    RopeChartError
        If the curves differ in length, have fewer than two points or do not rise in height.
    """
    _check(chart)
    if before is not None:
        _check(before)
    frame = _frame(chart, before, palette, safe_id(id_prefix), unit, size)
    return picture(
        _grid(frame),
        _marks(frame),
        _before(frame),
        _curves(frame),
        _captions(frame),
        size=size,
        title=_title(frame),
        desc=_desc(frame),
        id_prefix=id_prefix,
        kind="rope",
    )


def rope_chart_table(chart: RopeChart, *, unit: MassUnit = MassUnit.KG) -> ChartTable:
    """The same figures at the marks and at both ends, from the bottom up."""
    _check(chart)
    named = {height: name for name, height in chart.marks}
    ends = {chart.heights_m[0]: "bottom", chart.heights_m[-1]: "top"}
    rows = []
    for height, name in sorted({**ends, **named}.items()):
        bar, total, sd = (_at(chart, curve, height) for curve in _curves_of(chart))
        cells = (
            _height(height),
            _shown(bar, unit, 2),
            f"{_shown(total, unit)} ± {_shown(sd, unit)}",
            f"{100 * total / chart.max_kg:.0f} %",
        )
        rows.append((name, *cells))
    return ChartTable(
        "Load over the lift",
        ("Where", "Bar height", "Bar alone", "With bands or chains", "Share of max"),
        tuple(rows),
    )


def _check(chart: RopeChart) -> None:
    points = len(chart.heights_m)
    if points < 2 or {len(curve) for curve in _curves_of(chart)} != {points}:
        raise RopeChartError(
            "A rope chart needs at least two bar heights, and a load for each in every curve."
        )
    if any(b <= a for a, b in pairwise(chart.heights_m)):
        raise RopeChartError("A rope chart's bar heights must rise from the start to the end.")
    if chart.max_kg <= 0:
        raise RopeChartError("A rope chart's max must be above 0 kg: enter or estimate it first.")


def _curves_of(chart: RopeChart) -> tuple[tuple[float, ...], ...]:
    return chart.bar_kg, chart.total_kg, chart.sd_kg


def _frame(
    chart: RopeChart,
    before: RopeChart | None,
    palette: Palette,
    prefix: str,
    unit: MassUnit,
    size: tuple[float, float],
) -> _Frame:
    """Room for the heaviest load with its ±, and a little to the left of the lightest."""
    earlier = before.total_kg if before else ()
    lightest = min((*chart.bar_kg, *earlier))
    totals = [t + sd for t, sd in zip(chart.total_kg, chart.sd_kg, strict=True)]
    heaviest = max((*totals, *earlier))
    room = max(heaviest - lightest, 0.1 * heaviest)
    low, high = max(lightest - 0.5 * room, 0.0), heaviest + 0.1 * room
    return _Frame(chart, before, palette, prefix, unit, low, high, *size)


def _grid(frame: _Frame) -> Svg:
    per_unit = Mass(frame.unit.ticks).in_kg
    foot = frame.foot
    parts = []
    for step in round_steps(
        frame.low_kg / per_unit, frame.high_kg / per_unit, at_most=_steps(frame)
    ):
        x = frame.x(step * per_unit)
        parts.append(el("path", d=path([(x, _TOP), (x, foot)]), stroke=frame.palette.line))
        parts.append(_text(frame, f"{step:g} {frame.unit}", (x, foot + 36), text_anchor="middle"))
    parts.append(
        el("path", d=path([(_LEFT, foot), (frame.right, foot)]), stroke=frame.palette.soft)
    )
    return joined(parts)


def _steps(frame: _Frame) -> int:
    return max(2, int((frame.right - _LEFT) / 62))


def _marks(frame: _Frame) -> Svg:
    """Named heights: a dashed line through the chart, name and height at its left end."""
    parts = []
    low, high = frame.chart.heights_m[0], frame.chart.heights_m[-1]
    for name, height in frame.chart.marks:
        if not low - 1e-9 <= height <= high + 1e-9:
            continue
        y = frame.y(height)
        parts.append(_dashes(frame, y))
        at = (_LEFT - 12, y + 1)
        parts.append(
            _text(frame, name, at, text_anchor="end", font_weight=600, fill=frame.palette.ink)
        )
        parts.append(
            _text(frame, _height(height), (at[0], at[1] + 15), text_anchor="end", font_size=13)
        )
    return joined(parts)


def _dashes(frame: _Frame, y: float) -> Svg:
    across = path([(_LEFT - 6, y), (frame.right, y)])
    return el("path", d=across, stroke=frame.palette.soft, stroke_dasharray="2 5", stroke_width=1.5)


def _before(frame: _Frame) -> Svg:
    """The total before a change: thin, dotted, and named at its top."""
    if frame.before is None:
        return Svg("")
    low, high = frame.chart.heights_m[0], frame.chart.heights_m[-1]
    pairs = zip(frame.before.total_kg, frame.before.heights_m, strict=True)
    points = [(frame.x(kg), frame.y(at)) for kg, at in pairs if low - 1e-9 <= at <= high + 1e-9]
    if len(points) < 2:
        return Svg("")
    line = el(
        "path", d=path(points), fill="none", stroke=frame.palette.soft, stroke_width=2.5,
        stroke_dasharray="2 5", stroke_linecap="round",
    )  # fmt: skip
    return joined((line, _before_words(frame, points[len(points) // 2])))


def _before_words(frame: _Frame, at: tuple[float, float]) -> Svg:
    """On the side away from the rope, unless it would leave the chart there."""
    x, y = at
    middle_kg = frame.chart.total_kg[len(frame.chart.total_kg) // 2]
    room = width_of("before", _LETTER) + 10
    is_right = (x >= frame.x(middle_kg) and x + room <= frame.right) or x - room < _LEFT
    where = (x + 10 if is_right else x - 10, y + 16)
    return _text(frame, "before", where, text_anchor="start" if is_right else "end")


def _curves(frame: _Frame) -> Svg:
    chart, palette = frame.chart, frame.palette
    bar, total = frame.line(chart.bar_kg), frame.line(chart.total_kg)
    less, more = (
        frame.line(tuple(t + sign * s for t, s in zip(chart.total_kg, chart.sd_kg, strict=True)))
        for sign in (-1, 1)
    )
    share = el(
        "path", d=path(bar + total[::-1], is_closed=True), fill=palette.rope, fill_opacity=0.22
    )
    spread = el(
        "path", d=path(less + more[::-1], is_closed=True), fill=palette.rope, fill_opacity=0.3,
        stroke=palette.rope, stroke_width=1, stroke_dasharray="3 3",
    )  # fmt: skip
    look: dict[str, str | float] = {
        "fill": "none",
        "stroke_linejoin": "round",
        "stroke_linecap": "round",
    }
    alone = el("path", d=path(bar), stroke=palette.steel_edge, stroke_width=5, **look)
    together = el("path", d=path(total), stroke=palette.rope, stroke_width=4, **look)
    return joined((share, spread, alone, together, _ends(frame, bar, total)))


def _ends(frame: _Frame, bar: list[tuple[float, float]], total: list[tuple[float, float]]) -> Svg:
    """Dots at bottom and top of the total: where the load is read."""
    dots = [
        el("circle", cx=x, cy=y, r=6, fill=frame.palette.ground, stroke=frame.palette.rope,
           stroke_width=3)
        for x, y in (total[0], total[-1])
    ]  # fmt: skip
    square = el(
        "rect", x=bar[-1][0] - 5, y=bar[-1][1] - 5, width=10, height=10,
        fill=frame.palette.ground, stroke=frame.palette.steel_edge, stroke_width=3,
    )  # fmt: skip
    return joined((*dots, square))


def _captions(frame: _Frame) -> Svg:
    """The three numbers that matter, above the chart, each under the sign of its curve."""
    chart = frame.chart
    top = f"top {frame.shown(chart.total_kg[-1])} ± {frame.shown(chart.sd_kg[-1])}"
    bar_x, top_x = frame.x(chart.bar_kg[-1]), frame.x(chart.total_kg[-1])
    alone = f"bar {_shown(chart.bar_kg[-1], frame.unit, 2)}"
    room = frame.right - 1.06 * (width_of(top, 18) + width_of(alone, 18)) - 16
    bar_at = (max(_EDGE, min(bar_x - 10, room)), 20.0)
    top_at = (frame.right, 20.0)
    share = f"{100 * chart.total_kg[-1] / chart.max_kg:.0f} % of {frame.shown(chart.max_kg)}"
    bar_share = f"{100 * chart.bar_kg[-1] / chart.max_kg:.0f} %"
    look: dict[str, str | float] = {
        "font_size": 18.0,
        "font_weight": 800,
        "fill": frame.palette.ink,
    }
    return joined(
        (
            _text(frame, alone, bar_at, **look),
            _text(frame, bar_share, (bar_at[0], 38)),
            _text(frame, top, top_at, text_anchor="end", **look),
            _text(frame, share, (top_at[0], 38), text_anchor="end"),
            _pointer(frame, (bar_at[0] + 20, 42), bar_x),
            _pointer(frame, (min(top_x, top_at[0] - 10), 42), top_x),
        )
    )


def _pointer(frame: _Frame, start: tuple[float, float], x: float) -> Svg:
    return el("path", d=path([start, (x, _TOP - 8)]), stroke=frame.palette.soft, stroke_width=1.5)


def _text(frame: _Frame, what: str, at: tuple[float, float], **look: str | float) -> Svg:
    usual: dict[str, str | float] = {"font_size": _LETTER, "fill": frame.palette.soft}
    return el("text", what, x=at[0], y=at[1], **(usual | look))


def _title(frame: _Frame) -> str:
    chart = frame.chart
    return (
        f"Load over the lift: {frame.shown(chart.total_kg[0])} at the bottom, "
        f"{frame.shown(chart.total_kg[-1])} at the top"
    )


def _desc(frame: _Frame) -> str:
    rows = rope_chart_table(frame.chart, unit=frame.unit).rows
    places = "; ".join(
        f"{name} ({height}): bar {bar}, together {total}, {share} of the max"
        for name, height, bar, total, share in rows
    )
    return f"{places}. The ± is one standard deviation."


def _shown(load_kg: float, unit: MassUnit, places: int = 0) -> str:
    return Mass.nearest_kg(load_kg).shown(unit, places)


def _height(height_m: float) -> str:
    return f"{round(100 * height_m, 1):g} cm"


def _at(chart: RopeChart, curve: tuple[float, ...], height: float) -> float:
    """Straight between the neighbours; the end value outside."""
    pairs = list(zip(chart.heights_m, curve, strict=True))
    if height <= pairs[0][0]:
        return pairs[0][1]
    for (low, before), (high, after) in pairwise(pairs):
        if height <= high:
            return before + (after - before) * (height - low) / (high - low)
    return pairs[-1][1]
