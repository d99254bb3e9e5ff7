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
    ink="#15181c",
    soft="#4a525b",
    ground="#f7f6f2",
    raised="#e4e3dc",
    line="#a9acab",
    steel="#b4bac0",
    steel_edge="#59626b",
    rope="#8a5a00",
    chalk="#0b5c8f",
    alarm="#a1170f",
)
DARK = Palette(
    ink="#f4f3ee",
    soft="#bcc2c7",
    ground="#14171a",
    raised="#2a3036",
    line="#5c656d",
    steel="#8d959d",
    steel_edge="#cdd3d8",
    rope="#f0b64a",
    chalk="#7cc4f2",
    alarm="#ff8d80",
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
