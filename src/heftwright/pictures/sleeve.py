"""The loaded sleeve: one end of the bar from the side, to scale, with the change to make."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from heftwright.domain.sheet import LoadedSleeve, PlateOnBar
from heftwright.pictures.colour import greyed, ink_on, safe_colour
from heftwright.pictures.drawing import Svg, el, joined, path, picture, safe_id
from heftwright.pictures.lettering import spread, width_of
from heftwright.pictures.palette import PAPER, SCREEN, Palette
from heftwright.pictures.sleeve_words import plates_words, sleeve_words

View = Literal["full", "half"]
"""``full`` shows whole plates; ``half`` their upper half, for rows of a list."""
Move = Literal["stays", "on", "off"]

# All lengths of the drawing are millimetres of the real thing. Those of bar and collar are common
# practice, no source: they only make the picture look like a bar and carry no information.
_SHAFT_MM, _SHAFT_DIAMETER_MM = 64.0, 28.0
_FLANGE_MM, _FLANGE_DIAMETER_MM = 24.0, 84.0
_SLEEVE_DIAMETER_MM = 50.0
_COLLAR_MM, _COLLAR_DIAMETER_MM = 44.0, 92.0
_FULL_PLATE_MM = 450.0
_EDGE_MM = 8.0
_BEYOND_MM = 44.0
_INNER_MM = _EDGE_MM + _SHAFT_MM + _FLANGE_MM


@dataclass(frozen=True, slots=True)
class _Placed:
    """A plate, its left edge and the middle of its label on the axis, and what happens to it."""

    plate: PlateOnBar
    left: float
    label_at: float
    move: Move

    @property
    def middle(self) -> float:
        return self.left + self.plate.thickness_mm / 2

    @property
    def label(self) -> str:
        return {"stays": "", "on": "+", "off": "−"}[self.move] + self.plate.label


@dataclass(frozen=True, slots=True)
class _Canvas:
    palette: Palette
    prefix: str
    view: View
    letter: float

    @property
    def chip(self) -> float:
        """Height of a label."""
        return self.letter * 1.12

    @property
    def axis(self) -> float:
        """How far the bar's middle is below the upper edge."""
        return self.chip + 0.45 * self.letter + _EDGE_MM + _FULL_PLATE_MM / 2

    @property
    def height(self) -> float:
        below = _FULL_PLATE_MM / 2 if self.view == "full" else _COLLAR_DIAMETER_MM / 2
        return self.axis + below + _EDGE_MM

    @property
    def is_paper(self) -> bool:
        return self.palette == PAPER

    def fill(self, plate: PlateOnBar) -> str:
        colour = safe_colour(plate.colour)
        return greyed(colour) if self.is_paper else colour

    def box(self, left: float, width: float, diameter: float, **look: str | float) -> Svg:
        """A part of the bar seen from the side; half of it in the half view."""
        radius = diameter / 2
        below = radius if self.view == "full" else min(radius, _COLLAR_DIAMETER_MM / 2)
        return el("rect", x=left, y=self.axis - radius, width=width, height=radius + below, **look)


def sleeve_svg(
    sleeve: LoadedSleeve,
    *,
    palette: Palette = SCREEN,
    id_prefix: str,
    with_change: bool = True,
    view: View = "full",
) -> str:
    """Draw one end of the bar, inner plate first, in millimetres of the real thing.

    Set the height, not the width, where several stand together: all are drawn to one scale.

    Parameters
    ----------
    sleeve : LoadedSleeve
        What is on, what comes off, what goes on.
    palette : Palette
        Colours; with ``PAPER`` plates are light grey with black edges.
    id_prefix : str
        Unique on the page.
    with_change : bool
        Whether to show what comes off (dashed, hatched, crossed) and goes on (bold, with a plus).
    view : {"full", "half"}
        Whole plates, or their upper half for a row of a list.
    """
    canvas = _Canvas(palette, safe_id(id_prefix), view, 62.0 if view == "full" else 110.0)
    on_bar = _on_bar(sleeve, with_change=with_change)
    reach = _reach(on_bar)
    end = max(_INNER_MM + sleeve.sleeve_mm, reach + _COLLAR_MM * bool(sleeve.collar))
    gone = _beyond(sleeve.off, end + _BEYOND_MM) if with_change else ()
    placed = _labelled(canvas, (*on_bar, *gone))
    return picture(
        _hatch(canvas),
        _bar(canvas, end),
        _collar(canvas, reach) if sleeve.collar else Svg(),
        joined(_plate(canvas, item) for item in placed),
        joined(_label(canvas, item) for item in placed),
        size=(_width(canvas, placed, end), canvas.height),
        title=f"{sleeve.bar_name}: {plates_words(sleeve.plates) or 'no plates'} a side",
        desc=sleeve_words(sleeve),
        id_prefix=id_prefix,
        kind="sleeve",
    )


def _on_bar(sleeve: LoadedSleeve, *, with_change: bool) -> tuple[_Placed, ...]:
    left = _INNER_MM
    placed = []
    new = _new_places(sleeve) if with_change else frozenset()
    for place, plate in enumerate(sleeve.plates):
        move: Move = "on" if place in new else "stays"
        placed.append(_Placed(plate, left, left + plate.thickness_mm / 2, move))
        left += plate.thickness_mm
    return tuple(placed)


def _new_places(sleeve: LoadedSleeve) -> frozenset[int]:
    """Which plates went on just now: the outermost of each kind, as a stack can only grow out."""
    wanted = [plate.key for plate in sleeve.on]
    found = set()
    for place in reversed(range(len(sleeve.plates))):
        if sleeve.plates[place].key in wanted:
            wanted.remove(sleeve.plates[place].key)
            found.add(place)
    return frozenset(found)


def _beyond(off: tuple[PlateOnBar, ...], left: float) -> tuple[_Placed, ...]:
    """What comes off, beyond the end of the sleeve; the first to come off goes furthest."""
    placed = []
    for plate in reversed(off):
        placed.append(_Placed(plate, left, left + plate.thickness_mm / 2, "off"))
        left += plate.thickness_mm + 6
    return tuple(placed)


def _reach(on_bar: tuple[_Placed, ...]) -> float:
    return on_bar[-1].left + on_bar[-1].plate.thickness_mm if on_bar else _INNER_MM


def _labelled(canvas: _Canvas, placed: tuple[_Placed, ...]) -> tuple[_Placed, ...]:
    middles = spread(
        [item.middle for item in placed],
        [_chip_width(canvas, item) + 9 for item in placed],
        start=_EDGE_MM,
    )
    return tuple(
        _Placed(item.plate, item.left, middle, item.move)
        for item, middle in zip(placed, middles, strict=True)
    )


def _chip_width(canvas: _Canvas, item: _Placed) -> float:
    return width_of(item.label, canvas.letter) + 0.36 * canvas.letter


def _width(canvas: _Canvas, placed: tuple[_Placed, ...], end: float) -> float:
    edges = [item.left + item.plate.thickness_mm for item in placed]
    labels = [item.label_at + _chip_width(canvas, item) / 2 for item in placed]
    return max([end, *edges, *labels]) + _EDGE_MM


def _hatch(canvas: _Canvas) -> Svg:
    """Slanted lines: comes off, also in black and white."""
    stripe = el("path", d="M0 0V18", stroke=canvas.palette.alarm, stroke_width=5)
    pattern = el(
        "pattern",
        stripe,
        id=f"{canvas.prefix}-off",
        width=18,
        height=18,
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )
    return el("defs", pattern)


def _bar(canvas: _Canvas, end: float) -> Svg:
    look: dict[str, str | float] = {
        "fill": canvas.palette.steel,
        "stroke": canvas.palette.steel_edge,
        "stroke_width": 3,
    }
    flange = _INNER_MM - _FLANGE_MM
    return joined(
        (
            canvas.box(_EDGE_MM, _SHAFT_MM, _SHAFT_DIAMETER_MM, **look),
            canvas.box(_INNER_MM, end - _INNER_MM, _SLEEVE_DIAMETER_MM, rx=3, **look),
            canvas.box(flange, _FLANGE_MM, _FLANGE_DIAMETER_MM, rx=5, **look),
        )
    )


def _collar(canvas: _Canvas, reach: float) -> Svg:
    look: dict[str, str | float] = {"stroke": canvas.palette.ink, "stroke_width": 4, "rx": 6}
    body = canvas.box(
        reach + 2, _COLLAR_MM - 6, _COLLAR_DIAMETER_MM, fill=canvas.palette.steel_edge, **look
    )
    knob_y = canvas.axis - _COLLAR_DIAMETER_MM / 2 - 14
    knob = el(
        "circle", cx=reach + _COLLAR_MM / 2 - 1, cy=knob_y, r=10, fill=canvas.palette.steel_edge,
        stroke=canvas.palette.ink, stroke_width=4,
    )  # fmt: skip
    return joined((knob, body))


def _plate(canvas: _Canvas, item: _Placed) -> Svg:
    left, plate = item.left, item.plate
    if item.move == "off":
        return _struck_plate(canvas, item)
    inset = 1.5 if item.move == "stays" else 4.0
    stroke = canvas.palette.ink if item.move == "stays" else canvas.palette.chalk
    body = canvas.box(
        left + inset / 2,
        max(plate.thickness_mm - inset, 2),
        plate.diameter_mm - inset,
        rx=min(7.0, plate.thickness_mm / 3),
        fill=canvas.fill(plate),
        stroke=stroke,
        stroke_width=3 if item.move == "stays" else min(9.0, 3 + plate.thickness_mm / 6),
    )
    shade = canvas.box(
        left + plate.thickness_mm * 0.68,
        plate.thickness_mm * 0.24,
        plate.diameter_mm - 16,
        fill="#000000",
        fill_opacity=0.16,
    )
    return joined((body, shade))


def _struck_plate(canvas: _Canvas, item: _Placed) -> Svg:
    alarm = canvas.palette.alarm
    left, right = item.left, item.left + item.plate.thickness_mm
    top = canvas.axis - item.plate.diameter_mm / 2
    bottom = canvas.axis + min(item.plate.diameter_mm / 2, canvas.height - _EDGE_MM - canvas.axis)
    body = canvas.box(
        left, right - left, item.plate.diameter_mm,
        rx=5, fill=f"url(#{canvas.prefix}-off)", stroke=alarm, stroke_width=5,
        stroke_dasharray="16 10",
    )  # fmt: skip
    cross = el(
        "path",
        d=path([(left - 7, top + 10), (right + 7, bottom - 10)])
        + path([(right + 7, top + 10), (left - 7, bottom - 10)]),
        stroke=alarm,
        stroke_width=8,
        stroke_linecap="round",
    )
    return joined((body, cross))


def _label(canvas: _Canvas, item: _Placed) -> Svg:
    width, height = _chip_width(canvas, item), canvas.chip
    left, top = item.label_at - width / 2, _EDGE_MM
    fill = canvas.fill(item.plate) if item.move != "off" else canvas.palette.ground
    ink = ink_on(fill) if item.move != "off" else canvas.palette.ink
    edge = {"stays": canvas.palette.ink, "on": canvas.palette.chalk, "off": canvas.palette.alarm}
    leader = el(
        "path",
        d=path([(item.label_at, top + height), (item.middle, _top(canvas, item) + 2)]),
        stroke=edge[item.move],
        stroke_width=4 if item.move == "stays" else 7,
        fill="none",
    )
    chip = el(
        "rect", x=left, y=top, width=width, height=height, rx=10, fill=fill,
        stroke=edge[item.move], stroke_width=3 if item.move == "stays" else 8,
        stroke_dasharray="16 10" if item.move == "off" else None,
    )  # fmt: skip
    text = el(
        "text", item.label, x=item.label_at, y=top + height / 2 + canvas.letter * 0.33,
        font_size=canvas.letter, font_weight=800, text_anchor="middle", fill=ink,
    )  # fmt: skip
    return joined((leader, chip, _strike(canvas, item, left, width), text))


def _strike(canvas: _Canvas, item: _Placed, left: float, width: float) -> Svg:
    if item.move != "off":
        return Svg()
    middle, rise = _EDGE_MM + canvas.chip / 2, canvas.chip / 2 - 6
    line = path([(left + 6, middle + rise), (left + width - 6, middle - rise)])
    return el("path", d=line, stroke=canvas.palette.alarm, stroke_width=7)


def _top(canvas: _Canvas, item: _Placed) -> float:
    return canvas.axis - item.plate.diameter_mm / 2
