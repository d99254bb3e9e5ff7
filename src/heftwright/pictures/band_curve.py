"""The band curve: what one band pulls at every length, with its ±, its readings and its limits.

Length runs upward as the band is stretched, force to the right, as on the rope chart. The rope is
whole where the band was read and dashed where nobody has read it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance import BandCurve
from heftwright.domain.resistance.bands import FAR_STRAIN_RATIO
from heftwright.pictures.axis import round_steps
from heftwright.pictures.drawing import Svg, el, joined, path, picture, safe_id
from heftwright.pictures.lettering import width_of
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.table import ChartTable

_SIZE = (420.0, 400.0)
_LEFT, _RIGHT, _TOP, _BOTTOM = 62.0, 18.0, 34.0, 46.0
_LETTER = 15.0
_POINTS = 61
_TABLE_ROWS = 7

Way = Literal["up", "down", "unsaid"]
Age = Literal["new", "kept", "older", "wrong"]


class BandChartError(Refusal):
    """A curve that cannot be drawn."""


@dataclass(frozen=True, slots=True)
class ReadingDot:
    """One reading on the chart.

    Parameters
    ----------
    length_m, force_kg : float
        As read: peg to bar [m], scale [kg].
    way : str
        ``up`` while stretching, ``down`` while letting back, ``unsaid``.
    age : str
        ``new``: not kept yet; ``kept``; ``older``: of an earlier calibration; ``wrong``: must not
        be kept.
    """

    length_m: float
    force_kg: float
    way: Way = "unsaid"
    age: Age = "kept"


@dataclass(frozen=True, slots=True)
class BandChart:
    """Figures to draw, all for the band as it is rigged.

    Parameters
    ----------
    lengths_m : tuple of float
        Rising lengths from peg to bar [m], at least two.
    force_kg, sd_kg : tuple of float
        Force of one side and one sd [kg], as many.
    sides : tuple of (str, tuple of float)
        Left and right where both were read, else empty.
    dots : tuple of ReadingDot
        Readings.
    rest_m, safe_m : float
        Where it begins to pull, and what must never be passed [m].
    read_m : (float, float)
        Shortest and longest length read [m]; (0, 0) where none was.
    """

    lengths_m: tuple[float, ...]
    force_kg: tuple[float, ...]
    sd_kg: tuple[float, ...]
    sides: tuple[tuple[str, tuple[float, ...]], ...]
    dots: tuple[ReadingDot, ...]
    rest_m: float
    safe_m: float
    read_m: tuple[float, float]

    def __post_init__(self) -> None:
        curves = [self.force_kg, self.sd_kg, *(forces for _, forces in self.sides)]
        if len(self.lengths_m) < 2 or any(len(c) != len(self.lengths_m) for c in curves):
            raise BandChartError(
                "A band chart needs at least two lengths, and a force for each in every curve."
            )
        if any(b <= a for a, b in pairwise(self.lengths_m)):
            raise BandChartError("A band chart's lengths must rise.")


def band_chart(curve: BandCurve, *, folds: int = 1, dots: Sequence[ReadingDot] = ()) -> BandChart:
    """The chart of a band's curve as it is rigged.

    Parameters
    ----------
    curve : BandCurve
        Of the plain loop.
    folds : int
        2 for a doubled band: half the length, twice the force.
    dots : sequence of ReadingDot
        Readings as rigged.
    """
    loop_m = np.linspace(curve.rest_m, curve.safe_m, _POINTS)
    names = ("left", "right") if len(curve.laws) == 2 else ()
    sides = zip(names, curve.laws, strict=False)
    return BandChart(
        lengths_m=tuple((loop_m / folds).tolist()),
        force_kg=tuple((folds * curve.force_kg(loop_m)).tolist()),
        sd_kg=tuple((folds * curve.sd_kg(loop_m)).tolist()),
        sides=tuple((name, tuple((folds * law.force_kg(loop_m)).tolist())) for name, law in sides),
        dots=tuple(dots),
        rest_m=curve.rest_m / folds,
        safe_m=curve.safe_m / folds,
        read_m=(curve.measured_m[0] / folds, curve.measured_m[1] / folds),
    )


def band_curve_svg(
    chart: BandChart,
    *,
    palette: Palette = SCREEN,
    id_prefix: str,
    unit: MassUnit = MassUnit.KG,
    size: tuple[float, float] = _SIZE,
) -> str:
    """Draw force against length with its ±, readings, measured range and safe length."""
    frame = _Frame(chart, palette, unit, *size)
    return picture(
        _grid(frame),
        _limits(frame),
        _rope(frame),
        joined(_dot(frame, dot) for dot in chart.dots),
        size=size,
        title=_title(frame),
        desc=_desc(frame),
        id_prefix=safe_id(id_prefix),
        kind="band",
    )


def band_curve_table(chart: BandChart, *, unit: MassUnit = MassUnit.KG) -> ChartTable:
    """The same figures at evenly spaced lengths."""
    places = np.linspace(0, len(chart.lengths_m) - 1, _TABLE_ROWS).round().astype(int)
    rows = tuple(
        (
            _cm(chart.lengths_m[at]),
            f"{_kg(chart.force_kg[at], unit)} ± {_kg(chart.sd_kg[at], unit)}",
            _trust(chart, chart.lengths_m[at]),
        )
        for at in places.tolist()
    )
    return ChartTable("Pull of one side", ("Peg to bar", "Pull", "How sure"), rows)


def _trust(chart: BandChart, length_m: float) -> str:
    low, high = chart.read_m
    if high == 0:
        return "a guess"
    if length_m / chart.rest_m - 1 > FAR_STRAIN_RATIO * (high / chart.rest_m - 1):
        return "too far from them: no load is given"
    return "between readings" if low <= length_m <= high else "outside the readings"


@dataclass(frozen=True, slots=True)
class _Frame:
    chart: BandChart
    palette: Palette
    unit: MassUnit
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.width - _RIGHT

    @property
    def foot(self) -> float:
        return self.height - _BOTTOM

    @property
    def most_kg(self) -> float:
        chart = self.chart
        tops = [force + sd for force, sd in zip(chart.force_kg, chart.sd_kg, strict=True)]
        return 1.05 * max([*tops, *(dot.force_kg for dot in chart.dots), 1.0])

    @property
    def span_m(self) -> tuple[float, float]:
        """From a little below the first length to a little above the safe one."""
        low = min([self.chart.rest_m, *(dot.length_m for dot in self.chart.dots)])
        high = max([self.chart.safe_m, *(dot.length_m for dot in self.chart.dots)])
        return low - 0.03 * (high - low), high + 0.06 * (high - low)

    def x(self, force_kg: float) -> float:
        return _LEFT + force_kg / self.most_kg * (self.right - _LEFT)

    def y(self, length_m: float) -> float:
        low, high = self.span_m
        return self.foot - (length_m - low) / (high - low) * (self.foot - _TOP)

    def line(self, forces_kg: Sequence[float]) -> list[tuple[float, float]]:
        pairs = zip(forces_kg, self.chart.lengths_m, strict=True)
        return [(self.x(max(force, 0.0)), self.y(length)) for force, length in pairs]


def _grid(frame: _Frame) -> Svg:
    palette, per_unit = frame.palette, Mass(frame.unit.ticks).in_kg
    parts = []
    for step in round_steps(0.0, frame.most_kg / per_unit, at_most=5):
        x = frame.x(step * per_unit)
        parts.append(el("path", d=path([(x, _TOP), (x, frame.foot)]), stroke=palette.line))
        parts.append(
            _text(frame, f"{step:g} {frame.unit}", (x, frame.foot + 20), text_anchor="middle")
        )
    low, high = frame.span_m
    for step in round_steps(100 * low, 100 * high, at_most=6):
        y = frame.y(step / 100)
        parts.append(el("path", d=path([(_LEFT, y), (frame.right, y)]), stroke=palette.line))
        parts.append(_text(frame, f"{step:g} cm", (_LEFT - 8, y + 5), text_anchor="end"))
    return joined(parts)


def _limits(frame: _Frame) -> Svg:
    """The safe length as a lid on the chart, the measured range as a rail at its left edge."""
    chart, palette = frame.chart, frame.palette
    safe_y = frame.y(chart.safe_m)
    lid = el(
        "rect", x=_LEFT, y=_TOP, width=frame.right - _LEFT, height=max(safe_y - _TOP, 0.0),
        fill=palette.alarm, fill_opacity=0.14,
    )  # fmt: skip
    edge = el(
        "path", d=path([(_LEFT, safe_y), (frame.right, safe_y)]), stroke=palette.alarm,
        stroke_width=3,
    )  # fmt: skip
    said = f"never past {_cm(chart.safe_m)}"
    words = _text(frame, said, (_LEFT + 2, _TOP - 10), fill=palette.alarm, font_weight=700)
    return joined((lid, edge, words, _rail(frame)))


def _rail(frame: _Frame) -> Svg:
    low, high = frame.chart.read_m
    if high == 0:
        return _text(
            frame, "a guess: nothing was read", (frame.right, frame.foot - 10), text_anchor="end"
        )
    ends = (frame.y(low), frame.y(high))
    rail = el(
        "path", d=path([(_LEFT, ends[0] + 2), (_LEFT, ends[1] - 2)]), stroke=frame.palette.ink,
        stroke_width=7,
    )  # fmt: skip
    said = f"read at {_cm(low)}" if low == high else f"read {_bare_cm(low)} to {_cm(high)}"
    at = (frame.right - 2, frame.foot - 10)
    return joined((rail, _text(frame, said, at, text_anchor="end", fill=frame.palette.ink)))


def _rope(frame: _Frame) -> Svg:
    chart, palette = frame.chart, frame.palette
    both = list(zip(chart.force_kg, chart.sd_kg, strict=True))
    less = frame.line([force - sd for force, sd in both])
    more = frame.line([force + sd for force, sd in both])
    spread = el(
        "path", d=path(less + more[::-1], is_closed=True), fill=palette.rope, fill_opacity=0.25
    )
    points = frame.line(chart.force_kg)
    look: dict[str, str | float] = {"fill": "none", "stroke": palette.rope, "stroke_width": 4.0}
    unread = el("path", d=path(points), stroke_dasharray="3 7", **look)
    read = _within(frame, points)
    whole = el("path", d=path(read), **look) if len(read) > 1 else Svg("")
    return joined((spread, unread, whole, *(_side(frame, *side) for side in chart.sides)))


def _within(frame: _Frame, points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    low, high = frame.chart.read_m
    pairs = zip(frame.chart.lengths_m, points, strict=True)
    return [point for length, point in pairs if low - 1e-9 <= length <= high + 1e-9]


def _side(frame: _Frame, name: str, forces_kg: tuple[float, ...]) -> Svg:
    points = frame.line(forces_kg)
    dash = "10 4" if name == "left" else "2 4"
    thin = el(
        "path", d=path(points), fill="none", stroke=frame.palette.soft, stroke_width=2,
        stroke_dasharray=dash,
    )  # fmt: skip
    x, y = points[-1]
    at = (min(x, frame.right - width_of(name, _LETTER) / 2), y - 6)
    return joined((thin, _text(frame, name, at, text_anchor="middle", font_weight=700)))


def _dot(frame: _Frame, dot: ReadingDot) -> Svg:
    """A triangle points the way the band went; hollow is not kept yet, faint is older."""
    x, y = frame.x(dot.force_kg), frame.y(dot.length_m)
    palette = frame.palette
    if dot.age == "wrong":
        strokes = ([(x - 7, y - 7), (x + 7, y + 7)], [(x - 7, y + 7), (x + 7, y - 7)])
        return joined(
            el("path", d=path(ends), stroke=palette.alarm, stroke_width=4) for ends in strokes
        )
    look: dict[str, str | float] = {
        "stroke": palette.soft if dot.age == "older" else palette.ink,
        "stroke_width": 2.0 if dot.age == "older" else 3.0,
        "fill": palette.ink if dot.age == "kept" else palette.ground,
    }
    if dot.age == "older":
        return el("circle", cx=x, cy=y, r=4, **look)
    if dot.way == "unsaid":
        return el("circle", cx=x, cy=y, r=6, **look)
    tip = -8 if dot.way == "up" else 8
    corners = [(x, y + tip), (x + 7, y - 0.6 * tip), (x - 7, y - 0.6 * tip)]
    return el("path", d=path(corners, is_closed=True), stroke_linejoin="round", **look)


def _text(frame: _Frame, what: str, at: tuple[float, float], **look: str | float) -> Svg:
    usual: dict[str, str | float] = {"font_size": _LETTER, "fill": frame.palette.soft}
    return el("text", what, x=at[0], y=at[1], **(usual | look))


def _title(frame: _Frame) -> str:
    chart = frame.chart
    top = f"{_kg(chart.force_kg[-1], frame.unit)} ± {_kg(chart.sd_kg[-1], frame.unit)}"
    return f"Pull of one side against its length: {top} at {_cm(chart.lengths_m[-1])}"


def _desc(frame: _Frame) -> str:
    rows = band_curve_table(frame.chart, unit=frame.unit).rows
    said = "; ".join(f"{length}: {force}, {trust}" for length, force, trust in rows)
    limit = _cm(frame.chart.safe_m)
    return f"{said}. Never past {limit}. The ± is one standard deviation."


def _kg(value_kg: float, unit: MassUnit) -> str:
    return Mass.nearest_kg(value_kg).shown(unit, 1)


def _cm(length_m: float) -> str:
    return Length.nearest_m(length_m).shown()


def _bare_cm(length_m: float) -> str:
    return _cm(length_m).partition(" ")[0]
