"""The floor from above: each platform with its bar, its lifters in turn order, its next change."""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.sheet import LifterLine, PlateOnBar, PlatformSheet
from heftwright.pictures.colour import safe_colour
from heftwright.pictures.drawing import Svg, el, joined, picture
from heftwright.pictures.lettering import shortened, width_of, wrapped
from heftwright.pictures.palette import SCREEN, Palette
from heftwright.pictures.sleeve_words import change_text
from heftwright.pictures.table import ChartTable

_MAT, _GAP, _EDGE = 300.0, 20.0, 8.0
_BAR_ROOM = 110.0
_ROW = 27.0
_SCALE = 100 / 1310
"""A bar's 1.31 m between its collars is 100 units here (IWF technical rules)."""


@dataclass(frozen=True, slots=True)
class _Place:
    """A platform with its upper left corner and which turn comes next."""

    platform: PlatformSheet
    palette: Palette
    left: float
    top: float
    now: int | None


def floor_plan_svg(
    platforms: tuple[PlatformSheet, ...],
    *,
    palette: Palette = SCREEN,
    id_prefix: str,
    now: tuple[int | None, ...] | None = None,
    across: int = 3,
) -> str:
    """Draw the platforms from above.

    Parameters
    ----------
    platforms : tuple of PlatformSheet
        The floor.
    palette, id_prefix
        As for every picture.
    now : tuple of (int or None), optional
        Index of the lifter whose turn it is on each platform; the first by default.
    across : int
        How many platforms stand beside one another, at least 1.
    """
    turns = now or tuple(0 if platform.lifters else None for platform in platforms)
    deep = _BAR_ROOM + _ROW * max((len(p.lifters) for p in platforms), default=0) + 54
    places = [
        _Place(
            platform, palette, _EDGE + (at % across) * (_MAT + _GAP),
            _EDGE + (at // across) * (deep + _GAP), turn,
        )
        for at, (platform, turn) in enumerate(zip(platforms, turns, strict=True))
    ]  # fmt: skip
    rows = -(-len(platforms) // across)
    columns = min(across, max(len(platforms), 1))
    return picture(
        joined(_platform(place, deep) for place in places),
        size=(
            2 * _EDGE + columns * (_MAT + _GAP) - _GAP,
            2 * _EDGE + max(rows * (deep + _GAP) - _GAP, 0),
        ),
        title=f"The floor: {len(platforms)} platforms from above",
        desc=" ".join(f"{row[0]}: {row[2]}." for row in floor_plan_table(platforms).rows),
        id_prefix=id_prefix,
        kind="floor",
    )


def floor_plan_table(platforms: tuple[PlatformSheet, ...]) -> ChartTable:
    """A row a platform: set-up, turn order, when it is done."""
    return ChartTable(
        "The floor",
        ("Platform", "Bar and bands", "Turn order", "Done after"),
        tuple(
            (
                platform.key,
                f"{platform.bar_name}, {platform.rig or 'straight weight'}",
                ", ".join(f"{line.number} {line.name}" for line in platform.lifters) or "nobody",
                f"{platform.finish_min:.0f} min",
            )
            for platform in platforms
        ),
    )


def _platform(place: _Place, deep: float) -> Svg:
    palette, platform = place.palette, place.platform
    mat = el(
        "rect", x=place.left, y=place.top, width=_MAT, height=deep, rx=6, fill=palette.raised,
        stroke=palette.soft, stroke_width=2,
    )  # fmt: skip
    return joined(
        (
            mat,
            el("text", platform.key, x=place.left + 12, y=place.top + 32, font_size=28,
               font_weight=800, fill=palette.ink),
            _rig(place),
            _bar(place),
            joined(_turn(place, at, line) for at, line in enumerate(platform.lifters)),
            _next_change(place, deep),
        )
    )  # fmt: skip


def _rig(place: _Place) -> Svg:
    """Bands and pegs in words, up to three lines; the table has them whole."""
    rows = wrapped(place.platform.rig or "straight weight", 14, _MAT - 110, 3)
    return joined(
        el("text", row, x=place.left + _MAT - 12, y=place.top + 20 + 15 * at, font_size=14,
           text_anchor="end", fill=place.palette.soft)
        for at, row in enumerate(rows)
    )  # fmt: skip


def _bar(place: _Place) -> Svg:
    """The bar across the platform with what is on it for the lifter whose turn it is."""
    palette, y = place.palette, place.top + 72
    middle = place.left + _MAT / 2
    shaft = el(
        "rect", x=middle - 84, y=y - 2.5, width=168, height=5, fill=palette.steel,
        stroke=palette.steel_edge,
    )  # fmt: skip
    plates: tuple[PlateOnBar, ...] = ()
    if place.now is not None and (sleeve := place.platform.lifters[place.now].sleeve):
        plates = sleeve.plates
    parts, out = [shaft], 50.0
    for plate in plates:
        thick, wide = max(plate.thickness_mm * _SCALE, 2), plate.diameter_mm * _SCALE * 1.4
        for x in (middle + out, middle - out - thick):
            parts.append(
                el("rect", x=x, y=y - wide / 2, width=thick, height=wide,
                   fill=safe_colour(plate.colour), stroke=palette.ink, stroke_width=0.8)
            )  # fmt: skip
        out += thick
    return joined(parts)


def _turn(place: _Place, at: int, line: LifterLine) -> Svg:
    """Turn, number and name, load; whose turn it is stands on a filled bar."""
    palette, is_now = place.palette, at == place.now
    left, top = place.left + 10, place.top + _BAR_ROOM + at * _ROW
    load = line.load.shown(line.unit)
    room = _MAT - 84 - width_of(load, 18)
    name = shortened(f"{line.number} {line.name}", 17.5, room)
    look: dict[str, str | float] = {
        "y": top + 18,
        "font_size": 17,
        "fill": palette.ground if is_now else palette.ink,
    }
    behind = el("rect", x=left, y=top, width=_MAT - 20, height=_ROW - 2, rx=3, fill=palette.ink)
    return joined(
        (
            behind if is_now else Svg(),
            el("text", f"{at + 1}.", x=left + 24, text_anchor="end", **look),
            el("text", name, x=left + 34, font_weight=800 if is_now else 600, **look),
            el("text", load, x=left + _MAT - 26, font_weight=800, text_anchor="end", **look),
        )
    )


def _next_change(place: _Place, deep: float) -> Svg:
    rows = wrapped(_next_words(place), 15, _MAT - 24, 2)
    first = place.top + deep - 12 - 17 * (len(rows) - 1)
    return joined(
        el("text", row, x=place.left + 12, y=first + 17 * at, font_size=15,
           fill=place.palette.ink)
        for at, row in enumerate(rows)
    )  # fmt: skip


def _next_words(place: _Place) -> str:
    if place.now is None:
        return "nobody here"
    following = place.platform.lifters[(place.now + 1) % len(place.platform.lifters)]
    change = change_text(following.sleeve) if following.sleeve else ""
    return f"then {change}" if change else "then the bar stays as it is"
