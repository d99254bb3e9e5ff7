"""Codes to scan with a phone."""

from __future__ import annotations

import segno


def qr_code(url: str) -> str:
    """A QR code (ISO/IEC 18004) as inline SVG: black on white, for any screen and printer."""
    code = segno.make_qr(url, error="m")
    drawn: str = code.svg_inline(scale=6, border=4, dark="#000000", light="#ffffff", svgclass="qr")
    return drawn
