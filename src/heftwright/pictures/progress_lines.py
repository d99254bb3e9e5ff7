"""Progress lines: a lift a row, what each day's best spoke for, over time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.pictures.day_ends import day_ends
from heftwright.pictures.drawing import Svg, el, joined, path, picture
from heftwright.pictures.lettering import shortened
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.table import ChartTable

_WIDTH = 640.0
_NAMES, _NUMBERS = 190.0, 98.0
_LINES = _NAMES + _NUMBERS
"""The numbers stand before the lines: on a phone they are seen without scrolling."""
_HEAD, _ROW, _FOOT, _EDGE = 26.0, 62.0, 8.0, 8.0


class ProgressLineError(Refusal):
    """A progress line without two days in order."""


@dataclass(frozen=True, slots=True)
class ProgressDot:
    """A day's best: what it speaks for as a max [kg], and whether it was a tested single."""

    on: date
    kg: float
    is_single: bool


@dataclass(frozen=True, slots=True)
class ProgressLine:
    """One lift over time, oldest day first, two days or more.

    ``steady_kg`` is the line through all days, at the first and the last of them [kg].
    """

    lift_name: str
    dots: tuple[ProgressDot, ...]
    steady_kg: tuple[float, float]

    def __post_init__(self) -> None:
        days = [dot.on for dot in self.dots]
        if len(days) < 2 or days != sorted(set(days)):
            raise ProgressLineError(
                f"{self.lift_name}: at least two days, each later than the one before, are needed."
            )
        if not all(0 < kg < 10_000 for kg in (*(dot.kg for dot in self.dots), *self.steady_kg)):
            raise ProgressLineError(f"{self.lift_name}: every load must be above 0 kg.")

    @property
    def change_pct(self) -> float:
        """Along the line through all days [%], signed."""
        return 100 * (self.steady_kg[1] / self.steady_kg[0] - 1)


@dataclass(frozen=True, slots=True)
class _Row:
    line: ProgressLine
    palette: Palette
    unit: MassUnit
    top: float
    first: date
    days: int

    def x(self, on: date) -> float:
        share = (on - self.first).days / self.days
        return _LINES + 8 + share * (_WIDTH - _LINES - 16 - _EDGE)

    def y(self, kg: float) -> float:
        drawn = (*(dot.kg for dot in self.line.dots), *self.line.steady_kg)
        low, high = min(drawn), max(drawn)
        share = (kg - low) / (high - low) if high > low else 0.5
        return self.top + _ROW - 14 - share * (_ROW - 28)


def progress_lines_svg(
    lines: tuple[ProgressLine, ...],
    *,
    palette: Palette = SCREEN,
    id_prefix: str,
    unit: MassUnit = MassUnit.KG,
) -> str:
    """Draw a row a lift: filled dots are singles, hollow ones are worked out of several reps.

    Parameters
    ----------
    lines : tuple of ProgressLine
        The lifts; all rows share the time axis, each has its own loads.
    palette, id_prefix, unit
        As for every picture.
    """
    table = progress_lines_table(lines, unit=unit)
    days = [dot.on for line in lines for dot in line.dots]
    span = max(1, (max(days) - min(days)).days) if days else 1
    rows = [
        _Row(line, palette, unit, _HEAD + at * _ROW, min(days), span)
        for at, line in enumerate(lines)
    ]
    return picture(
        day_ends(days, left=_LINES, right=_WIDTH - _EDGE, palette=palette),
        joined(_row(row) for row in rows),
        size=(_WIDTH, _HEAD + len(lines) * _ROW + _FOOT),
        title=table.caption,
        desc=" ".join(f"{name}: {first} to {last}, {change}." for name, first, last, change, _ in
                      table.rows),
        id_prefix=id_prefix,
        kind="progress",
    )  # fmt: skip


def progress_lines_table(
    lines: tuple[ProgressLine, ...], *, unit: MassUnit = MassUnit.KG
) -> ChartTable:
    """A row a lift: first, last, change, days."""
    rows = tuple(
        (
            line.lift_name,
            f"{_shown(line.dots[0].kg, unit)} on {line.dots[0].on}",
            f"{_shown(line.dots[-1].kg, unit)} on {line.dots[-1].on}",
            _change(line),
            str(len(line.dots)),
        )
        for line in lines
    )
    return ChartTable(
        "Each day's best over time, as a single", ("Lift", "First", "Last", "Change", "Days"), rows
    )


def _row(row: _Row) -> Svg:
    rule = path([(_EDGE, row.top), (_WIDTH - _EDGE, row.top)])
    name = el(
        "text", shortened(row.line.lift_name, 16, _NAMES - 20), x=_EDGE, y=row.top + 36,
        font_size=16, font_weight=600, fill=row.palette.ink,
    )  # fmt: skip
    ends = (row.line.dots[0].on, row.line.dots[-1].on)
    steady = [(row.x(on), row.y(kg)) for on, kg in zip(ends, row.line.steady_kg, strict=True)]
    line = el("path", d=path(steady), fill="none", stroke=row.palette.steel_edge, stroke_width=2)
    rule_part = el("path", d=rule, stroke=row.palette.line)
    return joined((rule_part, name, line, _dots(row), _numbers(row)))


def _dots(row: _Row) -> Svg:
    return joined(
        el("circle", cx=row.x(dot.on), cy=row.y(dot.kg), r=4.5, stroke=row.palette.ink,
           stroke_width=2, fill=row.palette.ink if dot.is_single else row.palette.ground)
        for dot in row.line.dots
    )  # fmt: skip


def _numbers(row: _Row) -> Svg:
    right = _LINES - 14
    return joined(
        (
            el("text", _shown(row.line.dots[-1].kg, row.unit), x=right, y=row.top + 28,
               font_size=18, font_weight=800, text_anchor="end", fill=row.palette.ink),
            el("text", _change(row.line), x=right, y=row.top + 46, font_size=13,
               text_anchor="end", fill=row.palette.soft),
        )
    )  # fmt: skip


def _change(line: ProgressLine) -> str:
    return f"{line.change_pct:+.1f} %".replace("-", "−")


def _shown(kg: float, unit: MassUnit) -> str:
    return Mass.nearest_kg(kg).shown(unit, 0)
