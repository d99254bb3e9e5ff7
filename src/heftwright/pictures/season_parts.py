"""What both season strips share: the check, the look of a block, posts and marks."""

from __future__ import annotations

from heftwright.domain.refusal import Refusal
from heftwright.domain.sheet import SeasonStrip, StripBlock, StripWeek
from heftwright.pictures.drawing import Svg, el, path
from heftwright.pictures.palette import Palette

QUIET_KINDS = ("easy", "taper")


class SeasonStripError(Refusal):
    """A block or contest that does not lie inside the strip's weeks."""


def check_strip(strip: SeasonStrip) -> None:
    """Every block and post inside the weeks, every block with one step a week.

    Raises
    ------
    SeasonStripError
        With the first that is not.
    """
    weeks = len(strip.weeks)
    for lane in strip.lanes:
        for block in lane.blocks:
            inside = 0 <= block.week < block.week + block.weeks <= weeks
            if not inside or len(block.steps) != block.weeks:
                raise SeasonStripError(
                    f"{lane.name}: “{block.label}” must lie inside the strip's {weeks} weeks and "
                    "have one step for each of its weeks."
                )
    for post in strip.posts:
        if not (0 <= post.week < weeks and 0 <= post.weekday <= 6):
            raise SeasonStripError(f"“{post.name}” lies outside the strip's {weeks} weeks.")


def week_label(week: StripWeek) -> str:
    """What stands over a week that is not a normal one."""
    return "" if week.kind == "normal" else week.kind


def block_look(block: StripBlock, palette: Palette) -> dict[str, str | float]:
    """Fill and edge: done is hollow, pinned has the strong edge, the rest is filled."""
    return {
        "fill": palette.ground if block.is_done else palette.raised,
        "stroke": palette.ink if block.is_pinned else palette.soft,
        "stroke_width": 3 if block.is_pinned else 1.2,
        "stroke_linejoin": "round",
    }


def tick(x: float, y: float, palette: Palette) -> Svg:
    """A drawn tick, 12 by 10, its left end at ``x``: done."""
    return el(
        "path", d=path([(x, y + 5), (x + 4, y + 9), (x + 11, y)]), fill="none",
        stroke=palette.soft, stroke_width=2.5, stroke_linecap="round",
    )  # fmt: skip


def pin(x: float, y: float, palette: Palette) -> Svg:
    """A drawn pin, 8 by 13: fixed by the coach."""
    head = f"M{x + 1} {y}h6l-1 5l2 3h-8l2 -3z"
    return el(
        "path", d=f"{head}M{x + 4} {y + 8}v5", fill=palette.ink, stroke=palette.ink,
        stroke_width=1.5, stroke_linejoin="round",
    )  # fmt: skip
