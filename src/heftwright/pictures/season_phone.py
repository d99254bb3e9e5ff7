"""The season strip for a phone: weeks downward, a column a main day, contests as bars across."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.sheet import ContestPost, SeasonStrip, StripBlock
from heftwright.pictures.drawing import Svg, el, joined, path, picture, safe_id
from heftwright.pictures.lettering import shortened, wrapped
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.season_parts import (
    QUIET_KINDS,
    block_look,
    check_strip,
    pin,
    tick,
    week_label,
)
from heftwright.pictures.season_words import block_words, day_words, on_block, post_words

_WIDTH = 358.0
"""A 390 px phone less the page's edges."""
_DATES = 50.0
_HEAD = 56.0
_WEEK = 64.0
_SIGN = 46.0
_LETTER = 13.0
_GAP = 3.0


@dataclass(frozen=True, slots=True)
class _Sheet:
    strip: SeasonStrip
    palette: Palette
    prefix: str

    @property
    def lane(self) -> float:
        return (_WIDTH - _DATES) / max(len(self.strip.lanes), 1)

    def x(self, place: int) -> float:
        return _DATES + place * self.lane

    def signs_before(self, week: int) -> int:
        return sum(post.week < week for post in self.strip.posts)

    def y(self, week: int) -> float:
        """Upper edge of a week; contests take room below their own week."""
        return _HEAD + week * _WEEK + self.signs_before(week) * _SIGN


def season_strip_phone_svg(strip: SeasonStrip, *, palette: Palette = SCREEN, id_prefix: str) -> str:
    """Draw the season downward in 358 units of width; a wave grows wider week by week.

    Raises
    ------
    SeasonStripError
        If a block or contest lies outside the weeks.
    """
    check_strip(strip)
    sheet = _Sheet(strip, palette, safe_id(id_prefix))
    weeks = range(len(strip.weeks))
    return picture(
        joined(_week(sheet, week) for week in weeks),
        joined(_heading(sheet, place) for place in range(len(strip.lanes))),
        *(_block(sheet, p, n, block) for p, lane in enumerate(strip.lanes)
          for n, block in enumerate(lane.blocks)),
        joined(_post(sheet, number, post) for number, post in enumerate(strip.posts)),
        size=(_WIDTH, sheet.y(len(strip.weeks)) + _GAP),
        title=f"The season, {len(strip.weeks)} weeks, plan version {strip.plan_version}",
        desc="Weeks run downward, a column for each main day; contests are bars across.",
        id_prefix=id_prefix,
        kind="season-phone",
        role="group",
    )  # fmt: skip


def _heading(sheet: _Sheet, place: int) -> Svg:
    rows = wrapped(sheet.strip.lanes[place].name, 14, sheet.lane - 6, 3)
    top = _HEAD - 8 - 15 * (len(rows) - 1)
    return joined(
        el("text", row, x=sheet.x(place) + 4, y=top + 15 * index, font_size=14, font_weight=800,
           fill=sheet.palette.ink)
        for index, row in enumerate(rows)
    )  # fmt: skip


def _week(sheet: _Sheet, week: int) -> Svg:
    entry, palette, top = sheet.strip.weeks[week], sheet.palette, sheet.y(week)
    is_now = week == sheet.strip.this_week
    ink = palette.chalk if is_now else palette.soft
    parts = [
        el("path", d=path([(0, top), (_WIDTH, top)]), stroke=palette.line, stroke_width=0.8),
        el("text", day_words(entry.monday), x=2, y=top + 20, font_size=_LETTER,
           font_weight=800 if is_now else 600, fill=ink),
        el("text", "now" if is_now else week_label(entry), x=2, y=top + 36, font_size=12,
           font_weight=800 if is_now else 400, fill=ink),
    ]  # fmt: skip
    if entry.kind in QUIET_KINDS:
        parts.insert(0, _band(top, fill=palette.line, fill_opacity=0.18))
    if is_now:
        parts.append(_band(top, fill="none", stroke=palette.chalk, stroke_width=2.5, rx=6))
    return joined(parts)


def _band(top: float, **look: str | float) -> Svg:
    return el("rect", x=1, y=top, width=_WIDTH - 2, height=_WEEK, **look)


def _block(sheet: _Sheet, place: int, number: int, block: StripBlock) -> Svg:
    left, ramp = sheet.x(place) + _GAP, _ramp(sheet, place, block)
    top, foot = ramp[0][1], ramp[-1][1]
    outline = path([(left, top), *ramp, (left, foot)], is_closed=True)
    cap_ink = sheet.palette.soft if block.is_done else sheet.palette.rope
    return el(
        "g",
        el("title", block_words(sheet.strip, block)),
        el("path", d=outline, **block_look(block, sheet.palette)),
        el("path", d=path(ramp), fill="none", stroke=cap_ink, stroke_width=3),
        _name(sheet, block, ramp, left),
        _state(sheet, block, ramp[-1]),
        id=f"{sheet.prefix}-l{place}-b{number}", class_="pic-block", tabindex=0, role="img",
        aria_label=block_words(sheet.strip, block),
    )  # fmt: skip


def _ramp(sheet: _Sheet, place: int, block: StripBlock) -> list[tuple[float, float]]:
    """The right edge, downward; the step of a week is its width."""
    left, room = sheet.x(place) + _GAP, sheet.lane - 2 * _GAP
    points = []
    for week, step in enumerate(block.steps, start=block.week):
        right = left + room * (0.6 + 0.4 * max(0.0, min(step, 1.0)))
        points += [(right, sheet.y(week)), (right, sheet.y(week + 1))]
    points[0] = (points[0][0], points[0][1] + _GAP)
    last = block.week + block.weeks - 1
    signs = sum(post.week == last for post in sheet.strip.posts)
    points[-1] = (points[-1][0], points[-1][1] - _GAP - signs * _SIGN)
    return points


def _name(sheet: _Sheet, block: StripBlock, ramp: list[tuple[float, float]], left: float) -> Svg:
    top, foot = ramp[0][1], ramp[-1][1]
    room = min(x for x, _ in ramp) - left - 8
    lines = max(1, int((foot - top - 8) / 14.5))
    rows = wrapped(on_block(block), _LETTER, room, min(lines, 4))
    return joined(
        el("text", row, x=left + 4, y=top + 15 + 14.5 * index, font_size=_LETTER,
           font_weight=600, fill=sheet.palette.ink)
        for index, row in enumerate(rows)
    )  # fmt: skip


def _state(sheet: _Sheet, block: StripBlock, corner: tuple[float, float]) -> Svg:
    right, foot = corner
    marks = []
    if block.is_done:
        marks.append(tick(right - 16, foot - 14, sheet.palette))
    if block.is_pinned:
        marks.append(pin(right - 13 - 17 * block.is_done, foot - 16, sheet.palette))
    return joined(marks)


def _post(sheet: _Sheet, number: int, post: ContestPost) -> Svg:
    """A bar across under its week; the second of a week stands below the first."""
    earlier = sum(other.week == post.week for other in sheet.strip.posts[:number])
    top = sheet.y(post.week) + _WEEK + earlier * _SIGN
    palette = sheet.palette
    plate = el(
        "rect", x=2, y=top + 2, width=_WIDTH - 4, height=_SIGN - 4, rx=4, fill=palette.ground,
        stroke=palette.alarm, stroke_width=4 if post.is_main else 1.5,
    )  # fmt: skip
    name = shortened(f"{post.name}, {day_words(post.on)}", 16, _WIDTH - 24)
    events = shortened(" · ".join(post.events), 13, _WIDTH - 24)
    return el(
        "g", el("title", post_words(post)), plate,
        el("text", name, x=12, y=top + 20, font_size=16, font_weight=800, fill=palette.ink),
        el("text", events, x=12, y=top + 36, font_size=13, fill=palette.soft),
        id=f"{sheet.prefix}-post{number}", class_="pic-block", tabindex=0, role="img",
        aria_label=post_words(post),
    )  # fmt: skip
