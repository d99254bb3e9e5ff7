"""The press: sets a template with data. People's words are data only, never part of a template."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from heftwright.domain.refusal import Refusal

Paper = Literal["a4", "letter"]
_PAPERS = {"a4": "a4", "letter": "us-letter", "a6": "a6"}


class PaperError(Refusal):
    """A sheet that cannot be printed as asked."""


def pressed(template: str, data: Mapping[str, Any], *, paper: str, made_at: datetime) -> bytes:
    """Set ``template`` with ``data`` and return the PDF; the same input gives the same bytes.

    Parameters
    ----------
    template : str
        Name of a ``.typ`` file beside this module.
    data : mapping
        What stands on the page; reaches the template as one JSON text.
    paper : str
        ``"a4"``, ``"letter"`` or ``"a6"``.
    made_at : datetime
        Aware; written into the PDF as its date.

    Raises
    ------
    PaperError
        If the paper's name is none of these.
    """
    import typst  # only who prints pays for the press

    if paper not in _PAPERS:
        raise PaperError(f"“{paper}” is no paper this press knows: choose {', '.join(_PAPERS)}.")
    pdf: bytes = typst.compile(
        _template(template),
        font_paths=_fonts(),
        sys_inputs={"page": json.dumps({**data, "paper": _PAPERS[paper]})},
        timestamp=int(made_at.timestamp()),
    )
    return pdf


def qr_svg(url: str) -> str:
    """A QR code as SVG with its quiet zone of four modules (ISO/IEC 18004), or empty for no url."""
    if not url:
        return ""
    import segno

    out = io.BytesIO()
    code = segno.make(url, error="m", micro=False)
    code.save(out, kind="svg", border=4, xmldecl=False, svgns=True, dark="#000", light="#fff")
    return out.getvalue().decode()


@cache
def _template(name: str) -> bytes:
    """The shared parts and the page's own, as one source: nothing is read at setting time."""
    home = files("heftwright") / "paper"
    return (home / "parts.typ").read_bytes() + b"\n" + (home / name).read_bytes()


@cache
def _fonts() -> Any:
    """Our face, then the press's own for signs ours lacks; never what a machine happens to have."""
    import typst

    home = str(files("heftwright") / "paper" / "fonts")
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[home])
