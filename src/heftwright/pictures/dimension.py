"""A dimension line: from where to where a tape goes."""

from __future__ import annotations

from heftwright.pictures.drawing import Svg, el, joined, path
from heftwright.pictures.palette import Palette

_HEAD = 7.0


def dimension(palette: Palette, x: float, ends: tuple[float, float], *, to_x: float) -> Svg:
    """An upright double arrow at ``x`` between two heights, with lines to what is measured.

    Parameters
    ----------
    palette : Palette
        Colours.
    x : float
        Where the arrow stands.
    ends : (float, float)
        Both ends, in the picture's units.
    to_x : float
        Where the thing that is measured is; thin lines lead there.
    """
    top, foot = min(ends), max(ends)
    shaft = el(
        "path", d=path([(x, top + _HEAD), (x, foot - _HEAD)]), stroke=palette.alarm, stroke_width=3
    )
    heads = [
        el("path", d=path([(x, tip), (x + 6, tip + way), (x - 6, tip + way)], is_closed=True),
           fill=palette.alarm)
        for tip, way in ((top, 12), (foot, -12))
    ]  # fmt: skip
    thin = [
        el("path", d=path([(x, y), (to_x, y)]), stroke=palette.alarm, stroke_width=1.5,
           stroke_dasharray="4 4")
        for y in ends
    ]  # fmt: skip
    return joined((*thin, shaft, *heads))
