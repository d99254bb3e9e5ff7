"""A drawn picture as PNG or PDF to keep or send; needs concrete colours, so not the screen's."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from heftwright.domain.refusal import Refusal


class PictureColourError(Refusal):
    """A picture drawn with the screen's custom properties cannot leave the screen."""


@cache
def _register_fonts() -> None:
    import vl_convert

    vl_convert.register_font_directory(str(files("heftwright") / "paper" / "fonts"))


def _checked(svg: str) -> str:
    if "var(--" in svg:
        raise PictureColourError(
            "This picture is drawn with the screen's colours: draw it with palette LIGHT, DARK "
            "or PAPER to save it as a file."
        )
    _register_fonts()
    return svg


def picture_png(svg: str, *, scale: float = 2.0) -> bytes:
    """The picture as PNG.

    Parameters
    ----------
    svg : str
        Drawn with a palette of concrete colours.
    scale : float
        Pixels for each unit of the drawing.

    Raises
    ------
    PictureColourError
        If it was drawn with the screen's palette.
    """
    import vl_convert

    return bytes(vl_convert.svg_to_png(_checked(svg), scale=scale))


def picture_pdf(svg: str) -> bytes:
    """The picture as a PDF page of its own size; raises as :func:`picture_png`."""
    import vl_convert

    return bytes(vl_convert.svg_to_pdf(_checked(svg)))
