"""Where to hold the tape: a lifter from the side, the bar, and the height that is asked for.

The figure is a lifter of 1.75 m, to scale; proportions are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.pictures.dimension import dimension
from heftwright.pictures.drawing import Svg, el, joined, path, picture, safe_id
from heftwright.pictures.palette import SCREEN, Palette

_SIZE = (200.0, 258.0)
_MIDDLE, _FLOOR, _PER_M = 118.0, 250.0, 106.0
_LIMB = 11.0
_DISC_M = 0.225  # half of 450 mm, IWF technical rules

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Pose:
    """Joints from the side [m]: forward is positive, heights above the floor."""

    words: str
    leg: tuple[Point, ...]
    trunk: tuple[Point, Point]
    head: Point
    arm: tuple[Point, ...]
    bar: Point
    has_bench: bool = False


_STANDING = ((0.10, 0.03), (-0.02, 0.08), (0.0, 0.50), (0.0, 0.93))
_TRUNK = ((0.0, 0.93), (0.0, 1.43))
_HEAD = (0.03, 1.63)
_LYING = ((0.62, 0.03), (0.52, 0.08), (0.50, 0.50), (0.12, 0.52))
_BACK = ((0.12, 0.52), (-0.36, 0.52))

_POSES: dict[str, _Pose] = {
    "pull_lockout": _Pose(
        "Standing tall, arms hanging, bar in both hands",
        _STANDING, _TRUNK, _HEAD, ((0.0, 1.40), (0.01, 1.08), (0.08, 0.78)), (0.08, 0.76),
    ),
    "front_rack": _Pose(
        "Standing, bar on the front of the shoulders",
        _STANDING, _TRUNK, _HEAD, ((0.0, 1.40), (0.24, 1.30), (0.10, 1.42)), (0.11, 1.44),
    ),
    "overhead": _Pose(
        "Standing, bar locked out overhead",
        _STANDING, _TRUNK, _HEAD, ((0.0, 1.43), (0.02, 1.74), (0.0, 2.03)), (0.0, 2.05),
    ),
    "squat_top": _Pose(
        "Standing, bar on the back",
        _STANDING, _TRUNK, _HEAD, ((0.0, 1.40), (-0.16, 1.18), (-0.10, 1.42)), (-0.10, 1.43),
    ),
    "squat_bottom": _Pose(
        "At depth, bar on the back",
        ((0.16, 0.03), (0.02, 0.08), (0.27, 0.46), (-0.18, 0.42)),
        ((-0.18, 0.42), (0.10, 0.86)), (0.21, 1.04),
        ((0.10, 0.84), (-0.10, 0.72), (0.02, 0.92)), (0.0, 0.92),
    ),
    "bench_top": _Pose(
        "On the bench, arms locked out",
        _LYING, _BACK, (-0.58, 0.58), ((-0.32, 0.54), (-0.30, 0.84), (-0.27, 1.12)),
        (-0.27, 1.14), has_bench=True,
    ),
    "bench_bottom": _Pose(
        "On the bench, bar on the chest",
        _LYING, _BACK, (-0.58, 0.58), ((-0.32, 0.54), (-0.12, 0.42), (-0.16, 0.68)),
        (-0.17, 0.70), has_bench=True,
    ),
}  # fmt: skip


def body_tape_svg(name: str, *, palette: Palette = SCREEN, id_prefix: str) -> str:
    """Draw where one bar height is taped.

    Parameters
    ----------
    name : str
        Of the height in ``BarHeights``, for example ``"pull_lockout"``.
    """
    pose = _POSES[name]
    return picture(
        _floor(palette),
        _bench(palette) if pose.has_bench else Svg(""),
        _disc(palette, pose.bar),
        _body(palette, pose),
        _bar(palette, pose.bar),
        dimension(palette, 16, (_y(pose.bar[1]), _FLOOR), to_x=_x(pose.bar[0])),
        size=_SIZE,
        title=f"Tape from the floor to the middle of the bar: {pose.words.lower()}",
        desc=f"{pose.words}. The tape stands on the floor and ends at the middle of the bar.",
        id_prefix=safe_id(id_prefix),
        kind="tape",
    )


def _x(forward_m: float) -> float:
    return _MIDDLE + forward_m * _PER_M


def _y(height_m: float) -> float:
    return _FLOOR - height_m * _PER_M


def _floor(palette: Palette) -> Svg:
    return el("path", d=path([(4, _FLOOR), (196, _FLOOR)]), stroke=palette.soft, stroke_width=4)


def _bench(palette: Palette) -> Svg:
    pad = el(
        "rect", x=_x(-0.66), y=_y(0.44), width=0.86 * _PER_M, height=9, rx=2, fill=palette.steel
    )
    legs = [
        el("path", d=path([(_x(at), _y(0.38)), (_x(at), _FLOOR)]), stroke=palette.steel,
           stroke_width=6)
        for at in (-0.55, 0.08)
    ]  # fmt: skip
    return joined((pad, *legs))


def _body(palette: Palette, pose: _Pose) -> Svg:
    look: dict[str, str | float] = {
        "fill": "none",
        "stroke_linecap": "round",
        "stroke_linejoin": "round",
    }

    def limb(points: tuple[Point, ...], width: float, colour: str) -> Svg:
        drawn = path((_x(forward), _y(height)) for forward, height in points)
        return el("path", d=drawn, stroke=colour, stroke_width=width, **look)

    head = el("circle", cx=_x(pose.head[0]), cy=_y(pose.head[1]), r=12, fill=palette.soft)
    return joined(
        (
            head,
            limb(pose.leg, _LIMB, palette.soft),
            limb(pose.trunk, 1.7 * _LIMB, palette.soft),
            limb(pose.arm, 0.95 * _LIMB, palette.ground),
            limb(pose.arm, 0.65 * _LIMB, palette.ink),
        )
    )


def _disc(palette: Palette, bar: Point) -> Svg:
    return el(
        "circle", cx=_x(bar[0]), cy=_y(bar[1]), r=_DISC_M * _PER_M, fill=palette.steel,
        fill_opacity=0.35, stroke=palette.steel_edge, stroke_width=1.5,
    )  # fmt: skip


def _bar(palette: Palette, bar: Point) -> Svg:
    return el(
        "circle", cx=_x(bar[0]), cy=_y(bar[1]), r=6, fill=palette.ground, stroke=palette.alarm,
        stroke_width=3,
    )  # fmt: skip
