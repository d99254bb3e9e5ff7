"""Colours out of the stock's own entries: checked, and with ink that can be read on them."""

from __future__ import annotations

import re

_HEX = re.compile(r"#(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})")
_NAMED = {
    "black": "#000000",
    "white": "#ffffff",
    "red": "#ff0000",
    "blue": "#0000ff",
    "yellow": "#ffff00",
    "green": "#008000",
    "grey": "#808080",
    "gray": "#808080",
    "silver": "#c0c0c0",
    "orange": "#ffa500",
}
RUBBER = "#3d4145"
_DARK_INK, _LIGHT_INK = "#000000", "#ffffff"


def safe_colour(entry: str) -> str:
    """Six hex digits for a stock's colour; rubber grey for what is no plain colour.

    An entry comes from people and files, so only a plain colour reaches a drawing.
    """
    text = _NAMED.get(entry.strip().lower(), entry.strip())
    if not _HEX.fullmatch(text):
        return RUBBER
    digits = text[1:].lower()
    return "#" + ("".join(2 * digit for digit in digits) if len(digits) == 3 else digits)


def relative_luminance(colour: str) -> float:
    """Relative luminance [0–1] of six hex digits.

    References
    ----------
    W3C, Web Content Accessibility Guidelines 2.2, "relative luminance".
    """
    channels = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast_ratio(one: str, other: str) -> float:
    """Contrast [1–21] of two colours (Web Content Accessibility Guidelines 2.2)."""
    lighter, darker = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def ink_on(colour: str) -> str:
    """Black or white, whichever reads better on ``colour``; never below 4.5:1."""
    return max((_DARK_INK, _LIGHT_INK), key=lambda ink: contrast_ratio(ink, colour))


def greyed(colour: str) -> str:
    """The grey of the same luminance, lifted so that black ink reads on it (for paper)."""
    luminance = 0.35 + 0.65 * relative_luminance(colour)
    channel = 1.055 * luminance ** (1 / 2.4) - 0.055
    return "#" + 3 * f"{round(255 * min(channel, 1.0)):02x}"
