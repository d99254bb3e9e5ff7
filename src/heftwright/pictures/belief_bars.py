"""The belief bars: a lift's estimate, its ± band, and the tests it rests on with their age."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.pictures.axis import round_steps
from heftwright.pictures.drawing import Svg, el, joined, path, picture
from heftwright.pictures.lettering import shortened
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.table import ChartTable

_WIDTH = 640.0
_NAMES, _NUMBERS = 190.0, 98.0
_BARS = _NAMES + _NUMBERS
"""The numbers stand before the bars: on a phone they are seen without scrolling."""
_HEAD, _ROW, _FOOT = 10.0, 46.0, 34.0
_EDGE = 8.0
_STALE_DAYS, _OLD_DAYS = 84, 182


class BeliefBarError(Refusal):
    """A belief that is not a number to draw."""


@dataclass(frozen=True, slots=True)
class TestDot:
    """One test: what was lifted [kg] and how many days ago."""

    __test__ = False  # a dot of the trade's tests, not a test of ours

    value_kg: float
    days_ago: int


@dataclass(frozen=True, slots=True)
class BeliefBar:
    """What is believed about one lift's max.

    Parameters
    ----------
    lift_name : str
        Which lift.
    estimate_kg, sd_kg : float
        Estimate, above 0, and one standard deviation, 0 or more [kg].
    tests : tuple of TestDot
        The tests it rests on; none means it is only an estimate from other lifts.
    """

    lift_name: str
    estimate_kg: float
    sd_kg: float
    tests: tuple[TestDot, ...] = ()

    def __post_init__(self) -> None:
        if not (0 < self.estimate_kg < 10_000 and 0 <= self.sd_kg < 10_000):
            raise BeliefBarError(
                f"{self.lift_name}: an estimate must be above 0 kg and its ± 0 kg or more."
            )

    @property
    def newest(self) -> TestDot | None:
        """The latest test."""
        return min(self.tests, key=lambda test: test.days_ago, default=None)


@dataclass(frozen=True, slots=True)
class _Sheet:
    bars: tuple[BeliefBar, ...]
    palette: Palette
    unit: MassUnit
    most_kg: float

    def x(self, load_kg: float) -> float:
        return _BARS + load_kg / self.most_kg * (_WIDTH - _BARS - 2 * _EDGE)

    def y(self, row: int) -> float:
        return _HEAD + row * _ROW

    @property
    def height(self) -> float:
        return _HEAD + len(self.bars) * _ROW + _FOOT


def belief_bars_svg(
    bars: tuple[BeliefBar, ...],
    *,
    palette: Palette = SCREEN,
    id_prefix: str,
    unit: MassUnit = MassUnit.KG,
) -> str:
    """Draw a row a lift: bar to the estimate, ± band, a dot a test (hollow when old)."""
    sheet = _Sheet(bars, palette, unit, _most(bars))
    rows = belief_bars_table(bars, unit=unit).rows
    return picture(
        _grid(sheet),
        joined(_row(sheet, row, bar) for row, bar in enumerate(bars)),
        size=(_WIDTH, sheet.height),
        title="Maxes as they are believed today",
        desc=" ".join(f"{lift}: {believed}, {basis}." for lift, believed, basis in rows),
        id_prefix=id_prefix,
        kind="belief",
    )


def belief_bars_table(bars: tuple[BeliefBar, ...], *, unit: MassUnit = MassUnit.KG) -> ChartTable:
    """The same in words: estimate with its ±, tests with their age."""
    rows = tuple((bar.lift_name, _believed(bar, unit), _basis(bar, unit)) for bar in bars)
    return ChartTable("Maxes as they are believed today", ("Lift", "Max", "Rests on"), rows)


def age_words(days: int) -> str:
    """``today``, ``19 days ago``, ``9 weeks ago``."""
    if days == 0:
        return "today"
    if days < 42:
        return f"{days} day{'s' if days != 1 else ''} ago"
    return f"{days // 7} weeks ago"


def _most(bars: tuple[BeliefBar, ...]) -> float:
    reach = [bar.estimate_kg + 2 * bar.sd_kg for bar in bars]
    tested = [test.value_kg for bar in bars for test in bar.tests]
    return max([*reach, *tested], default=1.0)


def _believed(bar: BeliefBar, unit: MassUnit) -> str:
    kind = "tested" if bar.tests else "estimated"
    return f"{kind} {_shown(bar.estimate_kg, unit)} ± {_shown(bar.sd_kg, unit)}"


def _basis(bar: BeliefBar, unit: MassUnit) -> str:
    if not bar.tests:
        return "untested: from other lifts"
    tests = sorted(bar.tests, key=lambda test: test.days_ago)
    return ", ".join(f"{_shown(t.value_kg, unit)} {age_words(t.days_ago)}" for t in tests)


def _grid(sheet: _Sheet) -> Svg:
    per_unit = Mass(sheet.unit.ticks).in_kg
    foot, parts = sheet.height - _FOOT + 4, []
    for step in round_steps(0, sheet.most_kg / per_unit, at_most=5):
        x = sheet.x(step * per_unit)
        parts.append(el("path", d=path([(x, _HEAD), (x, foot)]), stroke=sheet.palette.line))
        parts.append(
            el("text", f"{step:g} {sheet.unit}", x=x, y=foot + 17, font_size=13,
               text_anchor="middle", fill=sheet.palette.soft)
        )  # fmt: skip
    return joined(parts)


def _row(sheet: _Sheet, row: int, bar: BeliefBar) -> Svg:
    return joined(
        (
            _name(sheet, row, bar),
            _bar(sheet, row, bar),
            _band(sheet, row, bar),
            joined(_dot(sheet, row, test) for test in bar.tests),
            _numbers(sheet, row, bar),
        )
    )


def _name(sheet: _Sheet, row: int, bar: BeliefBar) -> Svg:
    top = sheet.y(row)
    newest = bar.newest
    if newest is None:
        basis = "untested, estimated"
    elif newest.days_ago >= _STALE_DAYS:
        basis = f"untested for {newest.days_ago // 7} weeks"
    else:
        basis = f"tested {age_words(newest.days_ago)}"
    name = shortened(bar.lift_name, 16, _NAMES - 24)
    return joined(
        (
            el("text", name, x=_EDGE, y=top + 20, font_size=16, font_weight=600,
               fill=sheet.palette.ink),
            el("text", basis, x=_EDGE, y=top + 36, font_size=13, fill=sheet.palette.soft),
        )
    )  # fmt: skip


def _bar(sheet: _Sheet, row: int, bar: BeliefBar) -> Svg:
    """Solid where tests carry it, dashed outline where it is only an estimate."""
    look: dict[str, str | float] = {"fill": sheet.palette.steel}
    if not bar.tests:
        look = {"fill": "none", "stroke_dasharray": "5 4"}
    return el(
        "rect", x=_BARS, y=sheet.y(row) + 12, width=sheet.x(bar.estimate_kg) - _BARS, height=20,
        stroke=sheet.palette.steel_edge, stroke_width=1.5, **look,
    )  # fmt: skip


def _band(sheet: _Sheet, row: int, bar: BeliefBar) -> Svg:
    """One standard deviation either way, with end marks."""
    left, right = sheet.x(max(bar.estimate_kg - bar.sd_kg, 0)), sheet.x(bar.estimate_kg + bar.sd_kg)
    top, ink = sheet.y(row) + 8, sheet.palette.rope
    box = el("rect", x=left, y=top, width=right - left, height=28, fill=ink, fill_opacity=0.3)
    ends = path([(left, top), (left, top + 28)]) + path([(right, top), (right, top + 28)])
    return joined((box, el("path", d=ends, stroke=ink, stroke_width=2.5)))


def _dot(sheet: _Sheet, row: int, test: TestDot) -> Svg:
    """Filled while fresh, hollow from 12 weeks, small and hollow from 26 weeks."""
    is_old = test.days_ago >= _STALE_DAYS
    return el(
        "circle", cx=sheet.x(test.value_kg), cy=sheet.y(row) + 22,
        r=4 if test.days_ago >= _OLD_DAYS else 5.5,
        fill=sheet.palette.ground if is_old else sheet.palette.ink, stroke=sheet.palette.ink,
        stroke_width=2,
    )  # fmt: skip


def _numbers(sheet: _Sheet, row: int, bar: BeliefBar) -> Svg:
    right, top = _BARS - 14, sheet.y(row)
    return joined(
        (
            el("text", _shown(bar.estimate_kg, sheet.unit), x=right, y=top + 20, font_size=18,
               font_weight=800, text_anchor="end", fill=sheet.palette.ink),
            el("text", f"± {_shown(bar.sd_kg, sheet.unit)}", x=right, y=top + 36, font_size=13,
               text_anchor="end", fill=sheet.palette.soft),
        )
    )  # fmt: skip


def _shown(load_kg: float, unit: MassUnit) -> str:
    return Mass.nearest_kg(load_kg).shown(unit, 0)
