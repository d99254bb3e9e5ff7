"""The strip's last lane: second lifts and event practice, week by week."""

from __future__ import annotations

from heftwright.domain.sheet import SeasonStrip, StripAfter
from heftwright.pictures.drawing import Svg, el, joined
from heftwright.pictures.lettering import wrapped
from heftwright.pictures.palette import Palette
from heftwright.pictures.season_words import after_words

HEIGHT = 112.0
MOST_SHOWN = 2
_LETTER = 12.0
_LINE = 12.5
_ROWS = 4


def after_lane(
    strip: SeasonStrip, palette: Palette, place: tuple[float, float, float], prefix: str
) -> Svg:
    """Plates of small print under the lanes, two a week at most.

    Parameters
    ----------
    strip, palette
        As for the strip.
    place : (left, top, week)
        Left edge of the first week, upper edge of the lane, width of a week.
    prefix : str
        For the ids.
    """
    left, top, week = place
    parts = [_heading(top, palette)]
    for index in range(len(strip.weeks)):
        for row, item in enumerate(strip.after_in(index)[:MOST_SHOWN]):
            at = (left + index * week, top + row * HEIGHT / MOST_SHOWN)
            name = f"{prefix}-after{index}-{row}"
            parts.append(_plate(strip, item, palette, (at, week, name)))
    return joined(parts)


def _heading(top: float, palette: Palette) -> Svg:
    return joined(
        el("text", row, x=8, y=top + 18 + 17 * index, font_size=16, font_weight=800,
           fill=palette.ink)
        for index, row in enumerate(("After the", "main lift"))
    )  # fmt: skip


def _plate(
    strip: SeasonStrip, item: StripAfter, palette: Palette,
    where: tuple[tuple[float, float], float, str],
) -> Svg:  # fmt: skip
    (x, y), week, name = where
    rows = wrapped(item.label, _LETTER, week - 9, _ROWS)
    plate = el(
        "rect", x=x + 2, y=y + 1, width=week - 4, height=HEIGHT / MOST_SHOWN - 3, rx=4,
        fill=palette.ground, fill_opacity=0.8, stroke=palette.line, stroke_width=1.5,
    )  # fmt: skip
    words = after_words(strip, item)
    return el(
        "g", el("title", words), plate,
        joined(
            el("text", row, x=x + 5, y=y + 12.5 + _LINE * index, font_size=_LETTER,
               font_weight=600, fill=palette.ink)
            for index, row in enumerate(rows)
        ),
        id=name, class_="pic-block", tabindex=0, role="img", aria_label=words,
        data_week=item.week, data_slot=item.slot_key,
    )  # fmt: skip
