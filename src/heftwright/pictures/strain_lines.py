"""Strain lines: a body region a row, week by week, against the athlete's own habit."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.refusal import Refusal
from heftwright.pictures.drawing import Svg, el, joined, path, picture
from heftwright.pictures.lettering import shortened
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.table import ChartTable

_WIDTH = 640.0
_NAMES, _NUMBERS = 150.0, 128.0
_HEAD, _ROW, _FOOT, _EDGE = 26.0, 54.0, 10.0, 8.0


class StrainLineError(Refusal):
    """A strain line whose weeks do not fit together."""


@dataclass(frozen=True, slots=True)
class StrainLine:
    """One region's weeks.

    Parameters
    ----------
    region : str
        For example ``"Lower back"``.
    values : tuple of float or None
        Exposure of each week, 0 or more; None where nothing was logged.
    habit : tuple of ((float, float) or None)
        The athlete's own usual range for each week; None while too little is known.
    words : str
        What the last week is against the habit, or empty. Never a permission.
    """

    region: str
    values: tuple[float | None, ...]
    habit: tuple[tuple[float, float] | None, ...]
    words: str = ""

    def __post_init__(self) -> None:
        if len(self.values) != len(self.habit):
            raise StrainLineError(
                f"{self.region}: as many weeks of habit as of values are needed "
                f"({len(self.habit)} and {len(self.values)})."
            )
        if any(value is not None and not value >= 0 for value in self.values):
            raise StrainLineError(f"{self.region}: a week's exposure must be 0 or more.")

    @property
    def most(self) -> float:
        """The highest thing to draw."""
        tops = [band[1] for band in self.habit if band] + [v for v in self.values if v is not None]
        return max([*tops, 1e-9])


@dataclass(frozen=True, slots=True)
class _Row:
    line: StrainLine
    palette: Palette
    top: float

    def x(self, week: float) -> float:
        return _NAMES + (week + 0.5) / len(self.line.values) * (_WIDTH - _NAMES - _NUMBERS)

    def y(self, value: float) -> float:
        return self.top + _ROW - 8 - value / self.line.most * (_ROW - 16)


def strain_lines_svg(
    lines: tuple[StrainLine, ...],
    *,
    weeks: tuple[str, ...],
    palette: Palette = SCREEN,
    id_prefix: str,
) -> str:
    """Draw a row a region: the habit as a band, the weeks as a line, what is outside as squares.

    Parameters
    ----------
    lines : tuple of StrainLine
        The regions.
    weeks : tuple of str
        What each week is called, oldest first, for example ``"4 Jan"``.
    palette, id_prefix
        As for every picture.

    Raises
    ------
    StrainLineError
        If a line has other weeks than are named.
    """
    table = strain_lines_table(lines, weeks=weeks)
    rows = [_Row(line, palette, _HEAD + at * _ROW) for at, line in enumerate(lines)]
    return picture(
        _heads(palette, weeks),
        joined(_row(row) for row in rows if row.line.values),
        size=(_WIDTH, _HEAD + len(lines) * _ROW + _FOOT),
        title=table.caption,
        desc=" ".join(f"{row[0]}: last week {row[-2]}, habit {row[-1]}." for row in table.rows),
        id_prefix=id_prefix,
        kind="strain",
    )


def strain_lines_table(lines: tuple[StrainLine, ...], *, weeks: tuple[str, ...]) -> ChartTable:
    """A row a region with each week's exposure and the last week's habit."""
    for line in lines:
        if len(line.values) != len(weeks):
            raise StrainLineError(
                f"{line.region}: {len(line.values)} weeks were given, but {len(weeks)} are named."
            )
    rows = tuple(
        (line.region, *(_value(value) for value in line.values), _habit(line)) for line in lines
    )
    return ChartTable(
        "Strain by body region against the athlete's own habit",
        ("Region", *weeks, "Habit"),
        rows,
    )


def _value(value: float | None) -> str:
    return "not logged" if value is None else f"{value:.1f}"


def _habit(line: StrainLine) -> str:
    band = line.habit[-1] if line.habit else None
    words = f", {line.words}" if line.words else ""
    return (f"{band[0]:.1f}–{band[1]:.1f}" if band else "not known yet") + words


def _heads(palette: Palette, weeks: tuple[str, ...]) -> Svg:
    """First and last week's name; the rest are in the table."""
    ends = [(_NAMES, "start", weeks[0]), (_WIDTH - _NUMBERS, "end", weeks[-1])] if weeks else []
    return joined(
        el("text", name, x=x, y=17, font_size=13, text_anchor=anchor, fill=palette.soft)
        for x, anchor, name in ends
    )


def _row(row: _Row) -> Svg:
    palette = row.palette
    rule = path([(_EDGE, row.top), (_WIDTH - _EDGE, row.top)])
    name = el(
        "text", shortened(row.line.region, 16, _NAMES - 20), x=_EDGE, y=row.top + 32,
        font_size=16, font_weight=600, fill=palette.ink,
    )  # fmt: skip
    return joined(
        (el("path", d=rule, stroke=palette.line), name, _band(row), _line(row), _numbers(row))
    )


def _band(row: _Row) -> Svg:
    """The habit, a step a week."""
    half = 0.5
    return joined(
        el(
            "rect", x=row.x(week - half), y=row.y(band[1]),
            width=row.x(week + half) - row.x(week - half),
            height=max(row.y(band[0]) - row.y(band[1]), 1), fill=row.palette.steel,
            fill_opacity=0.45,
        )
        for week, band in enumerate(row.line.habit)
        if band
    )  # fmt: skip


def _line(row: _Row) -> Svg:
    """Weeks joined where both were logged; a round dot inside the habit, a square outside."""
    points = [(week, value) for week, value in enumerate(row.line.values) if value is not None]
    places = {week: (row.x(week), row.y(value)) for week, value in points}
    joints = [path([places[week], places[week + 1]]) for week in places if week + 1 in places]
    parts = [el("path", d="".join(joints), stroke=row.palette.ink, stroke_width=2)]
    parts = parts if joints else []
    return joined(parts + [_dot(row, week, value) for week, value in points])


def _dot(row: _Row, week: int, value: float) -> Svg:
    x, y, band = row.x(week), row.y(value), row.line.habit[week]
    if band is None or band[0] <= value <= band[1]:
        return el("circle", cx=x, cy=y, r=3.5, fill=row.palette.ink)
    return el("rect", x=x - 5, y=y - 5, width=10, height=10, fill=row.palette.alarm)


def _numbers(row: _Row) -> Svg:
    last = row.line.values[-1]
    x = _WIDTH - _NUMBERS + 14
    room = _NUMBERS - 14 - _EDGE
    return joined(
        (
            el("text", _value(last), x=x, y=row.top + 26, font_size=18, font_weight=800,
               fill=row.palette.ink),
            el("text", shortened(row.line.words, 13, room), x=x, y=row.top + 42, font_size=13,
               fill=row.palette.soft),
        )
    )  # fmt: skip
