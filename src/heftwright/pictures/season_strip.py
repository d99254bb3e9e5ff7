"""The season strip for a wide page: weeks to the right, a lane a main day, contests as posts."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.sheet import SeasonStrip, StripBlock
from heftwright.pictures.drawing import Svg, el, joined, path, picture, safe_id
from heftwright.pictures.lettering import wrapped
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.season_after import HEIGHT, after_lane
from heftwright.pictures.season_parts import (
    QUIET_KINDS,
    block_look,
    check_strip,
    pin,
    tick,
    week_label,
)
from heftwright.pictures.season_rows import FOOT_ROOM, INDENT, fitted_rows, lane_height
from heftwright.pictures.season_signs import Sign, drawn_sign, signs_height, signs_of
from heftwright.pictures.season_words import block_words, day_words, post_words

_NAMES = 116.0
_EDGE = 8.0
_WEEKS = 44.0
_LANE_GAP = 14.0
_LETTER = 13.5
_DIP = 12.0
_WEEK_ROOM = 66.0
_LEAST_ROOM, _MOST_ROOM = 56.0, 88.0
_COVER = 0.8
_LAPTOP = 1258.0
"""A 1366 px window less the page's edges."""


@dataclass(frozen=True, slots=True)
class _Sheet:
    strip: SeasonStrip
    palette: Palette
    prefix: str
    week: float
    lanes: tuple[float, ...]

    @property
    def width(self) -> float:
        return self.x(len(self.strip.weeks)) + _EDGE

    @property
    def top(self) -> float:
        return signs_height(self.strip, self.x) + _WEEKS

    @property
    def height(self) -> float:
        return self.lanes_foot + (HEIGHT if self.strip.after else 0.0) + _EDGE

    @property
    def lanes_foot(self) -> float:
        """Where the main days' lanes end."""
        return self.top + sum(self.lanes) + len(self.lanes) * _LANE_GAP + _DIP

    def x(self, week: float) -> float:
        return _NAMES + week * self.week

    def foot(self, lane: int) -> float:
        """The ground a lane's blocks stand on."""
        return self.top + sum(self.lanes[: lane + 1]) + (lane + 0.5) * _LANE_GAP

    def dip(self, week: int) -> float:
        """How far the ground falls in an easy or taper week."""
        return _DIP if self.strip.weeks[week].kind in QUIET_KINDS else 0.0


def season_strip_svg(
    strip: SeasonStrip,
    *,
    palette: Palette = SCREEN,
    id_prefix: str,
    week_room: float = _WEEK_ROOM,
) -> str:
    """Draw the season; every block can be focused and carries its reasons and runner-up.

    Parameters
    ----------
    strip : SeasonStrip
        Weeks, lanes and contests.
    palette, id_prefix
        As for every picture.
    week_room : float
        Width of a week in units of the drawing, 40–200; wide strips scroll.

    Raises
    ------
    SeasonStripError
        If a block or contest lies outside the weeks.
    """
    check_strip(strip)
    lanes = tuple(lane_height(lane, week_room) for lane in strip.lanes)
    sheet = _Sheet(strip, palette, safe_id(id_prefix), week_room, lanes)
    return picture(
        _columns(sheet),
        # poles stand behind the blocks and shine through, so that no name is crossed out
        joined(_post(sheet, number, sign) for number, sign in enumerate(signs_of(strip, sheet.x))),
        joined(_lane(sheet, place) for place in range(len(strip.lanes))),
        _after(sheet),
        size=(sheet.width, sheet.height),
        title=f"The season, {len(strip.weeks)} weeks, plan version {strip.plan_version}",
        desc=(
            "Weeks run to the right, a lane for each main day; waves rise in steps, easy weeks "
            "dip, contests are posts across all lanes. "
            + " ".join(post_words(post) for post in strip.posts)
        ),
        id_prefix=id_prefix,
        kind="season",
        role="group",
    )


def week_room_of(weeks: int) -> float:
    """Width of a week with which a season just fits a laptop; wider seasons scroll."""
    fitting = (_LAPTOP - _NAMES - _EDGE) / max(weeks, 1)
    return min(fitting, _MOST_ROOM) if fitting >= _LEAST_ROOM else _WEEK_ROOM


def _after(sheet: _Sheet) -> Svg:
    if not sheet.strip.after:
        return joined(())
    place = (sheet.x(0), sheet.lanes_foot, sheet.week)
    return after_lane(sheet.strip, sheet.palette, place, sheet.prefix)


def _columns(sheet: _Sheet) -> Svg:
    """Week heads; quiet weeks and this week stand out by shade, word and frame."""
    return joined(_column(sheet, week) for week in range(len(sheet.strip.weeks)))


def _column(sheet: _Sheet, week: int) -> Svg:
    parts = [_head(sheet, week)]
    if sheet.strip.weeks[week].kind in QUIET_KINDS:
        parts.insert(0, _shade(sheet, week))
    if week == sheet.strip.this_week:
        parts.append(_now_frame(sheet, week))
    return joined(parts)


def _head(sheet: _Sheet, week: int) -> Svg:
    """Monday's date, and over it what kind of week it is; clear of a contest's pole."""
    entry, is_now = sheet.strip.weeks[week], week == sheet.strip.this_week
    has_pole = any(post.week == week for post in sheet.strip.posts)
    ink = sheet.palette.chalk if is_now else sheet.palette.soft
    look: dict[str, str | float] = {
        "x": sheet.x(week) + (3 if has_pole else sheet.week / 2),
        "text_anchor": "start" if has_pole else "middle",
        "font_weight": 800 if is_now else 600,
    }
    top = sheet.top - _WEEKS
    kind = el(
        "text", "this week" if is_now else week_label(entry), y=top + 18, font_size=12,
        fill=ink if is_now else sheet.palette.ink, **look,
    )  # fmt: skip
    date = el("text", day_words(entry.monday), y=top + 34, font_size=_LETTER, fill=ink, **look)
    return joined((kind, date))


def _now_frame(sheet: _Sheet, week: int) -> Svg:
    top = sheet.top - _WEEKS + 2
    return el(
        "rect", x=sheet.x(week), y=top, width=sheet.week, height=sheet.height - top - 4, rx=6,
        fill="none", stroke=sheet.palette.chalk, stroke_width=2.5,
    )  # fmt: skip


def _shade(sheet: _Sheet, week: int) -> Svg:
    top = sheet.top - _WEEKS + 4
    return el(
        "rect", x=sheet.x(week), y=top, width=sheet.week, height=sheet.height - top - _EDGE,
        fill=sheet.palette.line, fill_opacity=0.16,
    )  # fmt: skip


def _lane(sheet: _Sheet, place: int) -> Svg:
    lane = sheet.strip.lanes[place]
    return joined(
        (
            _lane_name(sheet, place, lane.name),
            _ground(sheet, place),
            *(_block(sheet, place, number, block) for number, block in enumerate(lane.blocks)),
        )
    )


def _lane_name(sheet: _Sheet, place: int, name: str) -> Svg:
    rows = wrapped(name, 16, _NAMES - 16, 3)
    top = sheet.foot(place) - 16 * (len(rows) - 1) - 6
    return joined(
        el("text", row, x=_EDGE, y=top + 17 * index, font_size=16, font_weight=800,
           fill=sheet.palette.ink)
        for index, row in enumerate(rows)
    )  # fmt: skip


def _ground(sheet: _Sheet, place: int) -> Svg:
    """The line a lane stands on; it dips in easy and taper weeks."""
    foot, points = sheet.foot(place), []
    for week in range(len(sheet.strip.weeks)):
        y = foot + sheet.dip(week)
        points += [(sheet.x(week), y), (sheet.x(week + 1), y)]
    return el("path", d=path(points), fill="none", stroke=sheet.palette.line, stroke_width=2)


def _block(sheet: _Sheet, place: int, number: int, block: StripBlock) -> Svg:
    name = f"{sheet.prefix}-l{place}-b{number}"
    left, right = sheet.x(block.week) + 2, sheet.x(block.week + block.weeks) - 2
    ramp = _ramp(sheet, place, block)
    outline = path(ramp + _sole(sheet, place, block), is_closed=True)
    shape = el("path", d=outline, fill_opacity=_COVER, **block_look(block, sheet.palette))
    cap = el("path", d=path(ramp), fill="none", stroke=_cap_ink(sheet, block),
             stroke_width=4, stroke_linejoin="round")  # fmt: skip
    return el(
        "g", el("title", block_words(sheet.strip, block)), shape, cap,
        _name(sheet, place, block, (left, right)), _state(sheet, place, block, right),
        id=name, class_="pic-block", tabindex=0, role="img",
        aria_label=block_words(sheet.strip, block),
    )  # fmt: skip


def _cap_ink(sheet: _Sheet, block: StripBlock) -> str:
    return sheet.palette.soft if block.is_done else sheet.palette.rope


def _ramp(sheet: _Sheet, place: int, block: StripBlock) -> list[tuple[float, float]]:
    """The steps from left to right."""
    points = []
    foot = sheet.foot(place)
    for week, step in enumerate(block.steps, start=block.week):
        top = foot + sheet.dip(week) - max(0.0, min(step, 1.0)) * sheet.lanes[place]
        points += [(sheet.x(week), top), (sheet.x(week + 1), top)]
    return _inset(points)


def _sole(sheet: _Sheet, place: int, block: StripBlock) -> list[tuple[float, float]]:
    """The ground under the steps, from right to left."""
    points = []
    for week in range(block.week, block.week + block.weeks):
        ground = sheet.foot(place) + sheet.dip(week)
        points += [(sheet.x(week), ground), (sheet.x(week + 1), ground)]
    return _inset(points)[::-1]


def _inset(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    (left, first), (right, last) = points[0], points[-1]
    return [(left + 2, first), *points[1:-1], (right - 2, last)]


def _name(sheet: _Sheet, place: int, block: StripBlock, span: tuple[float, float]) -> Svg:
    """The lift's name (and a wave's detail), standing on the ground."""
    ground = sheet.foot(place) + sheet.dip(block.week)
    lowest_step = max(y for _, y in _ramp(sheet, place, block))
    rows = fitted_rows(block, span[1] - span[0], ground - lowest_step)
    foot, last = ground - FOOT_ROOM, len(rows) - 1
    return joined(
        el("text", row.text, x=span[0] + INDENT, y=foot - row.line * (last - index),
           font_size=row.size, font_weight=400 if row.is_detail else 600,
           fill=sheet.palette.soft if row.is_detail else sheet.palette.ink)
        for index, row in enumerate(rows)
    )  # fmt: skip


def _state(sheet: _Sheet, place: int, block: StripBlock, right: float) -> Svg:
    top = _ramp(sheet, place, block)[-1][1] + 7
    marks = []
    if block.is_done:
        marks.append(tick(right - 18, top, sheet.palette))
    if block.is_pinned:
        marks.append(pin(right - 14 - 18 * block.is_done, top - 1, sheet.palette))
    return joined(marks)


def _post(sheet: _Sheet, number: int, sign: Sign) -> Svg:
    """A pole through all lanes on the contest's day with a sign: name, day and events."""
    post, palette = sheet.strip.posts[number], sheet.palette
    pole = el(
        "path", d=path([(sign.pole, sign.top + 1), (sign.pole, sheet.height - _EDGE)]),
        stroke=palette.alarm, stroke_width=6.0 if post.is_main else 3.0,
        stroke_dasharray=None if post.is_main else "10 5",
    )  # fmt: skip
    return el(
        "g", el("title", post_words(post)), pole, drawn_sign(sign, palette),
        id=f"{sheet.prefix}-post{number}", class_="pic-block", tabindex=0, role="img",
        aria_label=post_words(post),
    )  # fmt: skip
