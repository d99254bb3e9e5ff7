"""How a band is measured: rig, scale, and from where to where the tape goes. Not to scale."""

from __future__ import annotations

from typing import Literal

from heftwright.domain.stock import RigKind
from heftwright.pictures.dimension import dimension
from heftwright.pictures.drawing import Svg, el, joined, path, picture, safe_id
from heftwright.pictures.palette import SCREEN, Palette

_SIZE = (340.0, 300.0)
_FLOOR, _BEAM = 282.0, 22.0
_LETTER = 15.0
_STRAND_GAP = 7.0

Method = Literal["hang", "scale"]
_WORDS = {
    RigKind.SINGLE: "the loop over peg and bar, two strands",
    RigKind.CHOKED: "choked round the peg, two strands to the bar",
    RigKind.DOUBLED: "doubled: over the bar and back to the pegs, four strands",
    RigKind.FROM_ABOVE: "from pegs above, pulling the bar up",
}


def band_rig_svg(rig: RigKind, method: Method, *, palette: Palette = SCREEN, id_prefix: str) -> str:
    """Draw how a band is read.

    Parameters
    ----------
    rig : RigKind
        How it is fixed.
    method : str
        ``hang``: a hanging scale between band and racked bar; ``scale``: the banded bar stands
        with boxes on a floor scale.
    """
    drawn = _hang(rig, palette) if method == "hang" else _stand(rig, palette)
    how = (
        "A hanging scale between the band and a racked bar shows the pull; the tape goes from the "
        "peg to the hook."
        if method == "hang"
        else "The bar with a band on both ends stands on boxes on a floor scale; the tape goes "
        "from the peg to the middle of the bar."
    )
    return picture(
        drawn,
        size=_SIZE,
        title=f"Reading a band, {_WORDS[rig]}",
        desc=how,
        id_prefix=safe_id(id_prefix),
        kind="rig",
    )


def _hang(rig: RigKind, palette: Palette) -> Svg:
    """One band, its hook, the scale, and a bar in the rack."""
    is_above = rig == RigKind.FROM_ABOVE
    peg_y, hook_y = (_BEAM + 14, 148.0) if is_above else (_FLOOR - 10, 150.0)
    scale_y, bar_y = (190.0, 236.0) if is_above else (108.0, 62.0)
    return joined(
        (
            _ground(palette, has_beam=is_above),
            _posts(palette, bar_y),
            _bar(palette, bar_y, (60, 300)),
            _band(rig, palette, 180, (peg_y, hook_y)),
            _peg(palette, 180, peg_y),
            _hook_line(palette, (hook_y, bar_y)),
            _dial(palette, (180, scale_y), 24),
            _said(palette, "scale", (212, scale_y + 5)),
            _said(
                palette,
                "bar on the rack’s pins",
                (180, bar_y + (26 if is_above else -14)),
                "middle",
            ),
            _said(palette, "peg", (206, peg_y + 5)),
            dimension(palette, 96, (peg_y, hook_y), to_x=172),
        )
    )


def _stand(rig: RigKind, palette: Palette) -> Svg:
    """A bar banded at both ends on boxes on a scale."""
    is_above = rig == RigKind.FROM_ABOVE
    bar_y, peg_y = 128.0, (_BEAM + 14 if is_above else _FLOOR - 10)
    ends = (84.0, 276.0)
    bands = joined(_band(rig, palette, x, (peg_y, bar_y)) for x in ends)
    pegs = joined(_peg(palette, x, peg_y) for x in ends)
    return joined(
        (
            _ground(palette, has_beam=is_above),
            _boxes(palette, bar_y),
            bands,
            pegs,
            _bar(palette, bar_y, (40, 320)),
            _said(palette, "empty bar", (180, bar_y - 12), "middle"),
            dimension(palette, 30, (peg_y, bar_y), to_x=78),
        )
    )


def _ground(palette: Palette, *, has_beam: bool) -> Svg:
    floor = el("path", d=path([(10, _FLOOR), (330, _FLOOR)]), stroke=palette.soft, stroke_width=4)
    beam = el("path", d=path([(10, _BEAM), (330, _BEAM)]), stroke=palette.soft, stroke_width=8)
    return joined((floor, beam)) if has_beam else floor


def _posts(palette: Palette, bar_y: float) -> Svg:
    posts = [
        el("path", d=path([(x, 30), (x, _FLOOR)]), stroke=palette.line, stroke_width=9)
        for x in (76, 284)
    ]
    pins = [
        el("path", d=path([(x - 10, bar_y + 6), (x + 10, bar_y + 6)]), stroke=palette.soft,
           stroke_width=4)
        for x in (76, 284)
    ]  # fmt: skip
    return joined((*posts, *pins))


def _bar(palette: Palette, y: float, ends: tuple[float, float]) -> Svg:
    rod = el(
        "path", d=path([(ends[0], y), (ends[1], y)]), stroke=palette.steel_edge, stroke_width=8,
        stroke_linecap="round",
    )  # fmt: skip
    return joined((rod, el("circle", cx=sum(ends) / 2, cy=y, r=2, fill=palette.ground)))


def _boxes(palette: Palette, bar_y: float) -> Svg:
    box = el(
        "rect", x=138, y=bar_y + 4, width=84, height=_FLOOR - 36 - bar_y, fill=palette.raised,
        stroke=palette.soft, stroke_width=2,
    )  # fmt: skip
    scale = el(
        "rect", x=120, y=_FLOOR - 30, width=120, height=28, rx=4, fill=palette.ground,
        stroke=palette.ink, stroke_width=3,
    )  # fmt: skip
    words = (
        _said(palette, "boxes", (180, (bar_y + _FLOOR) / 2 - 6), "middle"),
        _said(palette, "scale", (180, _FLOOR - 11), "middle"),
    )
    return joined((box, scale, *words))


def _peg(palette: Palette, x: float, y: float) -> Svg:
    return el("rect", x=x - 16, y=y - 5, width=32, height=10, rx=3, fill=palette.steel_edge)


def _band(rig: RigKind, palette: Palette, x: float, ends: tuple[float, float]) -> Svg:
    """Two strands, four when doubled, and a knot where it is choked."""
    count = 4 if rig == RigKind.DOUBLED else 2
    middle = (count - 1) / 2
    strands = [
        el(
            "path",
            d=path(
                [
                    (x + (i - middle) * _STRAND_GAP, ends[0]),
                    (x + (i - middle) * _STRAND_GAP, ends[1]),
                ]
            ),
            stroke=palette.rope,
            stroke_width=4.5,
            stroke_linecap="round",
        )
        for i in range(count)
    ]
    knot = el(
        "rect", x=x - 9, y=ends[0] - 20, width=18, height=9, rx=4, fill=palette.rope,
    )  # fmt: skip
    return joined((*strands, knot)) if rig == RigKind.CHOKED else joined(strands)


def _hook_line(palette: Palette, ends: tuple[float, float]) -> Svg:
    return el(
        "path", d=path([(180, ends[0]), (180, ends[1])]), stroke=palette.steel_edge, stroke_width=4
    )


def _dial(palette: Palette, at: tuple[float, float], radius: float) -> Svg:
    x, y = at
    face = el(
        "circle", cx=x, cy=y, r=radius, fill=palette.ground, stroke=palette.ink, stroke_width=3
    )
    hand = el("path", d=path([(x, y), (x + 11, y - 11)]), stroke=palette.alarm, stroke_width=3)
    return joined((face, hand, el("circle", cx=x, cy=y, r=3, fill=palette.ink)))


def _said(palette: Palette, what: str, at: tuple[float, float], anchor: str = "start") -> Svg:
    return el(
        "text", what, x=at[0], y=at[1], font_size=_LETTER, fill=palette.ink, text_anchor=anchor
    )
