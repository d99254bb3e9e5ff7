"""Plates that come off or go on, side by side: the change in a line, for a row of a list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from heftwright.domain.sheet import PlateOnBar
from heftwright.pictures.colour import ink_on, safe_colour
from heftwright.pictures.drawing import Svg, el, joined, path, picture
from heftwright.pictures.lettering import width_of
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.sleeve_words import plates_words

Change = Literal["off", "on"]
LETTER = 100.0
"""The picture is 0.86 letters high: at 0.86 em its labels are as large as the text around."""
HEIGHT = 0.86 * LETTER
_GAP, _EDGE = 8.0, 4.0


def plate_chips_svg(
    plates: Sequence[PlateOnBar], change: Change, *, palette: Palette = SCREEN, id_prefix: str
) -> str:
    """Draw plates in the order of moving them: dashed and struck off, bold-edged on.

    Parameters
    ----------
    plates : sequence of PlateOnBar
        Of one side.
    change : {"off", "on"}
        What happens to them.
    palette, id_prefix
        As for every picture.
    """
    left, parts = _EDGE, []
    for plate in plates:
        width = width_of(plate.label, LETTER) + 0.36 * LETTER
        parts.append(_chip(plate, left, width, change, palette))
        left += width + _GAP
    return picture(
        joined(parts),
        size=(left - _GAP + _EDGE, HEIGHT),
        title=f"{change} {plates_words(tuple(plates))} a side",
        desc="In the order of moving them.",
        id_prefix=id_prefix,
        kind="chips",
    )


def _chip(plate: PlateOnBar, left: float, width: float, change: Change, palette: Palette) -> Svg:
    is_on = change == "on"
    fill = safe_colour(plate.colour) if is_on else palette.ground
    body = el(
        "rect", x=left, y=_EDGE, width=width, height=HEIGHT - 2 * _EDGE, rx=14, fill=fill,
        stroke=palette.chalk if is_on else palette.alarm, stroke_width=7,
        stroke_dasharray=None if is_on else "18 12",
    )  # fmt: skip
    text = el(
        "text", plate.label, x=left + width / 2, y=HEIGHT / 2 + 0.332 * LETTER, font_size=LETTER,
        font_weight=700, text_anchor="middle", fill=ink_on(fill) if is_on else palette.ink,
    )  # fmt: skip
    if is_on:
        return joined((body, text))
    ends = [(left + 8, HEIGHT - 2 * _EDGE - 4), (left + width - 8, 2 * _EDGE + 4)]
    strike = el("path", d=path(ends), stroke=palette.alarm, stroke_width=9)
    return joined((body, strike, text))
