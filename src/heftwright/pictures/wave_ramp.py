"""A wave as rising steps: what is on the bar below, what bands or chains add at the top above."""

from __future__ import annotations

from heftwright.domain.dose.waves import WaveTemplate
from heftwright.pictures.drawing import Svg, el, joined, picture
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.table import ChartTable

_WIDTH, _HEIGHT, _FOOT = 300.0, 120.0, 8.0
_GAP = 6.0


def wave_ramp_svg(wave: WaveTemplate, *, palette: Palette = SCREEN, id_prefix: str) -> str:
    """Draw a block a week, as tall as the load at lockout is of the max."""
    table = wave_ramp_table(wave)
    each = _WIDTH / len(wave.steps)
    return picture(
        joined(_week(wave, at, at * each, each, palette) for at in range(len(wave.steps))),
        size=(_WIDTH, _HEIGHT),
        title=table.caption,
        desc=" ".join(f"{week}: {bar} on the bar, {top} at the top." for week, bar, top in
                      table.rows),
        id_prefix=id_prefix,
        kind="wave",
    )  # fmt: skip


def wave_ramp_table(wave: WaveTemplate) -> ChartTable:
    """A row a week: share on the bar, share at lockout."""
    rows = tuple(
        (f"Week {week}", _pct(step.bar_ratio), _pct(step.lockout_ratio))
        for week, step in enumerate(wave.steps, 1)
    )
    return ChartTable(wave.name, ("Week", "On the bar", "At the top"), rows)


def _week(wave: WaveTemplate, at: int, left: float, each: float, palette: Palette) -> Svg:
    step = wave.steps[at]
    foot, room = _HEIGHT - _FOOT, _HEIGHT - _FOOT - 22
    bar, top = room * step.bar_ratio, room * step.top_ratio
    width = each - _GAP
    return joined(
        (
            el("rect", x=left, y=foot - bar, width=width, height=bar, fill=palette.steel,
               stroke=palette.steel_edge, stroke_width=1.5),
            el("rect", x=left, y=foot - bar - top, width=width, height=top, fill=palette.rope,
               fill_opacity=0.35, stroke=palette.rope, stroke_width=1.5),
            el("text", _pct(step.lockout_ratio), x=left + width / 2, y=foot - bar - top - 6,
               font_size=15, font_weight=700, text_anchor="middle", fill=palette.ink),
        )
    )  # fmt: skip


def _pct(ratio: float) -> str:
    return f"{100 * ratio:.3g} %"
