"""Chalk, rubber and steel: the few colours every picture is drawn with."""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours by what they are for; none of them carries meaning alone.

    Parameters
    ----------
    ink, soft : str
        Words and outlines; second words.
    ground, raised : str
        Behind the picture; filled shapes that carry words.
    line : str
        Grids and quiet edges.
    steel, steel_edge : str
        Bars, sleeves and collars.
    rope : str
        What bands or chains add.
    chalk : str
        The one accent: what is now, what goes on.
    alarm : str
        What comes off, what needs a look.
    """

    ink: str
    soft: str
    ground: str
    raised: str
    line: str
    steel: str
    steel_edge: str
    rope: str
    chalk: str
    alarm: str


LIGHT = Palette(
    ink="#16181a",
    soft="#3d4145",
    ground="#faf9f5",
    raised="#e3e1d9",
    line="#a9aaa4",
    steel="#b9bec3",
    steel_edge="#565e66",
    rope="#7a5a0c",
    chalk="#16181a",
    alarm="#84200f",
)
DARK = Palette(
    ink="#f2f0e9",
    soft="#c3c6c7",
    ground="#1c1e20",
    raised="#31363a",
    line="#5a6066",
    steel="#888f96",
    steel_edge="#cdd2d6",
    rope="#e6c36a",
    chalk="#f2f0e9",
    alarm="#ffab97",
)
PAPER = Palette(
    ink="#000000",
    soft="#333333",
    ground="#ffffff",
    raised="#eeeeee",
    line="#999999",
    steel="#d5d5d5",
    steel_edge="#444444",
    rope="#555555",
    chalk="#000000",
    alarm="#000000",
)


def _screen() -> Palette:
    """Custom properties of pictures.css, with the light colour where that sheet is missing."""
    named = {
        field.name: f"var(--pic-{field.name.replace('_', '-')}, {getattr(LIGHT, field.name)})"
        for field in fields(Palette)
    }
    return Palette(**named)


SCREEN = _screen()
