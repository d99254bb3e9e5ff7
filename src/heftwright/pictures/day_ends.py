"""The first and the last day over the two ends of a picture's time axis."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from heftwright.pictures.drawing import Svg, el, joined
from heftwright.pictures.palette import Palette


def day_ends(
    days: Collection[date], *, left: float, right: float, palette: Palette, before: str = ""
) -> Svg:
    """Head a time axis with the days at its ends; without days there is nothing to head.

    Parameters
    ----------
    days : collection of date
        All that are drawn.
    left, right : float
        Where the axis begins and ends [user units].
    palette : Palette
        Screen or paper.
    before : str
        Words before each day, with their space.
    """
    if not days:
        return joined(())
    ends = ((left, "start", min(days)), (right, "end", max(days)))
    return joined(
        el("text", f"{before}{on.day} {on:%b %Y}", x=x, y=17, font_size=13, text_anchor=anchor,
           fill=palette.soft)
        for x, anchor, on in ends
    )  # fmt: skip
