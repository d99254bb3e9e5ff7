"""Writing SVG: every word is escaped, no inline style (a strict content policy forbids it)."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

FONT = "'Sofia Sans Semi Condensed', 'Sofia Sans', 'Arial Narrow', sans-serif"
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NOT_ID = re.compile(r"[^A-Za-z0-9_-]")


class Svg(str):
    """Markup that was built here; any other text is escaped on the way in."""

    __slots__ = ()


def number(value: float) -> str:
    """Two decimals at most, no exponent, no minus zero: short and the same on every machine."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def words(text: str) -> Svg:
    """Text for an element or an attribute, escaped, without what XML forbids."""
    return Svg(escape(_NOT_XML.sub("\N{REPLACEMENT CHARACTER}", text), quote=True))


def safe_id(text: str) -> str:
    """Text usable in an id; anything else becomes a dash."""
    return _NOT_ID.sub("-", text) or "pic"


def el(name: str, *children: str, **attributes: str | float | None) -> Svg:
    """One element; ``stroke_width`` is written ``stroke-width``, ``class_`` is ``class``.

    Children that are not :class:`Svg` are words and are escaped; None leaves an attribute out.
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_attribute(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    inner = "".join(child if isinstance(child, Svg) else words(child) for child in children)
    return Svg(f"<{name}{written}>{inner}</{name}>" if inner else f"<{name}{written}/>")


def _attribute(value: str | float) -> str:
    return words(value) if isinstance(value, str) else number(value)


def joined(parts: Iterable[Svg]) -> Svg:
    """Several pieces of markup after one another."""
    return Svg("".join(parts))


def path(points: Iterable[tuple[float, float]], *, is_closed: bool = False) -> str:
    """The ``d`` of a polyline through ``points``."""
    steps = [f"{number(x)} {number(y)}" for x, y in points]
    return "M" + "L".join(steps) + ("Z" if is_closed else "")


def size_of(svg: str) -> tuple[float, float]:
    """Width and height of a picture drawn here, in units of the drawing."""
    found = re.search(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"', svg)
    if found is None:
        raise ValueError("This is no picture drawn here: it has no view box.")
    return float(found[1]), float(found[2])


def picture(
    *children: Svg,
    size: tuple[float, float],
    title: str,
    desc: str,
    id_prefix: str,
    kind: str,
    role: str = "img",
) -> str:
    """The outer element with its title and description, named for assistive technology."""
    prefix = safe_id(id_prefix)
    width, height = size
    return el(
        "svg",
        el("title", title, id=f"{prefix}-title"),
        el("desc", desc, id=f"{prefix}-desc"),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        role=role,
        aria_labelledby=f"{prefix}-title",
        aria_describedby=f"{prefix}-desc",
        class_=f"pic pic-{kind}",
        font_family=FONT,
    )
