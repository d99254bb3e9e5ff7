"""The signs on the season strip's contest posts: name and day, and the events on lines below."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from heftwright.domain.sheet import ContestPost, SeasonStrip
from heftwright.pictures.drawing import Svg, el, joined
from heftwright.pictures.lettering import width_of, wrapped
from heftwright.pictures.palette import Palette
from heftwright.pictures.season_words import day_words

_WIDEST, _LEAST = 300.0, 170.0
_GAP = 10.0
_EDGE = 8.0
_PAD = 9.0
_TOP = 3.0
_NAME, _NAME_LINE, _NAME_ROWS = 17.0, 18.0, 2
_EVENT, _EVENT_LINE, _EVENT_ROWS = 13.0, 15.0, 5
_BOLD = 1.06
"""The name's heavier letters are so much wider."""


@dataclass(frozen=True, slots=True)
class Sign:
    """Lines of a sign; it hangs to the left of its pole.

    Parameters
    ----------
    pole : float
        Where the pole stands.
    top : float
        Upper edge of the plate.
    name, events : tuple of str
        Lines.
    is_main : bool
        Whether the squad eases for it.
    """

    pole: float
    top: float
    name: tuple[str, ...]
    events: tuple[str, ...]
    is_main: bool

    @property
    def foot(self) -> float:
        """Lower edge of the plate."""
        return self.top + 8 + _NAME_LINE * len(self.name) + _EVENT_LINE * len(self.events)

    @property
    def left(self) -> float:
        """Left edge of the plate."""
        names = (_BOLD * width_of(row, _NAME) for row in self.name)
        wide = max([*names, *(width_of(row, _EVENT) for row in self.events)]) + 2 * _PAD + 2
        return max(_EDGE, self.pole - wide)


def signs_of(strip: SeasonStrip, x_of: Callable[[float], float]) -> tuple[Sign, ...]:
    """The signs of all posts, in the strip's order.

    A sign with too little room beside the post before it hangs on the next tier, under the others.

    Parameters
    ----------
    x_of : callable
        Left edge of a week, which may be a fraction.
    """
    poles = [x_of(post.week + (post.weekday + 0.5) / 7) for post in strip.posts]
    order = sorted(range(len(poles)), key=poles.__getitem__)
    tiers: list[list[int]] = [[]]
    rooms: dict[int, float] = {}
    for at in order:
        tier, rooms[at] = _tier_for(poles, tiers, at)
        if tier == len(tiers):
            tiers.append([])
        tiers[tier].append(at)
    top, found = _TOP, {}
    for members in tiers:
        for at in members:
            found[at] = _sign(strip.posts[at], poles[at], top, rooms[at])
        top = max((found[at].foot for at in members), default=top) + _TOP
    return tuple(found[at] for at in range(len(poles)))


def _tier_for(poles: list[float], tiers: list[list[int]], at: int) -> tuple[int, float]:
    """The first tier with room enough, and the room there; a new one if none has."""
    whole = min(_WIDEST, poles[at] - _EDGE)
    for tier, members in enumerate(tiers):
        room = min(whole, poles[at] - poles[members[-1]] - _GAP) if members else whole
        if room >= min(_LEAST, whole):
            return tier, room
    return len(tiers), whole


def _sign(post: ContestPost, pole: float, top: float, room: float) -> Sign:
    inside = room - 2 * _PAD - 2
    name = wrapped(f"{post.name}, {day_words(post.on)}", _BOLD * _NAME, inside, _NAME_ROWS)
    events = wrapped(" · ".join(post.events), _EVENT, inside, _EVENT_ROWS)
    return Sign(pole, top, name, events, post.is_main)


def signs_height(strip: SeasonStrip, x_of: Callable[[float], float]) -> float:
    """Room over the weeks' heads that the signs take; 0 without contests."""
    return max((sign.foot + 2 for sign in signs_of(strip, x_of)), default=0.0)


def drawn_sign(sign: Sign, palette: Palette) -> Svg:
    """The plate with its lines."""
    plate = el(
        "rect", x=sign.left, y=sign.top, width=sign.pole - sign.left,
        height=sign.foot - sign.top, rx=4, fill=palette.ground, stroke=palette.alarm,
        stroke_width=2.5 if sign.is_main else 1.2,
    )  # fmt: skip
    look: dict[str, str | float] = {"x": sign.pole - _PAD, "text_anchor": "end"}
    below = sign.top + _NAME_LINE * len(sign.name)
    names = (
        el("text", row, y=sign.top + _NAME_LINE * (index + 1), font_size=_NAME, font_weight=800,
           fill=palette.ink, **look)
        for index, row in enumerate(sign.name)
    )  # fmt: skip
    events = (
        el("text", row, y=below + _EVENT_LINE * (index + 1) + 1, font_size=_EVENT,
           fill=palette.soft, **look)
        for index, row in enumerate(sign.events)
    )  # fmt: skip
    return joined((plate, *names, *events))
