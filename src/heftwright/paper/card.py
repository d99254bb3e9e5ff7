"""The athlete's card on paper: tonight's bar, why, and room to write, for one athlete."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal

from heftwright.domain.sheet import ClassSheet, LifterLine, PlatformSheet
from heftwright.domain.sheet.class_sheet import BAND_CAUTION
from heftwright.domain.sheet.rig_cautions import is_banded
from heftwright.domain.squad import AthleteId
from heftwright.paper.lines import CardUrls, head_data, line_data
from heftwright.paper.press import PaperError, pressed
from heftwright.pictures.palette import PAPER
from heftwright.pictures.rope_chart import rope_chart_svg

# Drawn small, so that its letters are large for its room on the card.
_ROPE_SIZE = (300.0, 260.0)
CardPaper = Literal["a4", "letter", "a6"]


def card_pdf(
    sheet: ClassSheet,
    athletes: Iterable[AthleteId] | None = None,
    *,
    paper: CardPaper = "a4",
    card_urls: CardUrls | None = None,
) -> bytes:
    """Print a card for each athlete: four to a page of A4 or Letter, or one to an A6 card.

    Parameters
    ----------
    sheet : ClassSheet
        Tonight's class.
    athletes : iterable of AthleteId, optional
        Whose cards, in this order; everybody with a bar by default.
    paper : {"a4", "letter", "a6"}
        What lies in the printer.
    card_urls : mapping of AthleteId to str, optional
        Address of each athlete's card on the phone, printed as a QR code.

    Raises
    ------
    PaperError
        If somebody has no bar in this class, or nobody has one.
    """
    places = _places(sheet, athletes)
    data = {
        **head_data(sheet),
        "cards": [_card(sheet, platform, line, card_urls) for platform, line in places],
        "rep_work": list(sheet.rep_work),
    }
    return pressed("card.typ", data, paper=paper, made_at=sheet.planned_at)


def _places(
    sheet: ClassSheet, athletes: Iterable[AthleteId] | None
) -> list[tuple[PlatformSheet, LifterLine]]:
    if athletes is None:
        everybody = [(item, line) for item in sheet.platforms for line in item.lifters]
        if not everybody:
            raise PaperError("Nobody has a bar in this class yet: plan the floor, then print.")
        return everybody
    return [_place(sheet, athlete) for athlete in athletes]


def _place(sheet: ClassSheet, athlete: AthleteId) -> tuple[PlatformSheet, LifterLine]:
    place = sheet.line_of(athlete)
    if place is None:
        raise PaperError(
            f"Athlete {athlete} has no bar in {sheet.class_key}: mark them present and plan the "
            "floor again, then print the card."
        )
    return place


def _card(
    sheet: ClassSheet, platform: PlatformSheet, line: LifterLine, card_urls: CardUrls | None
) -> dict[str, Any]:
    turn = platform.lifters.index(line) + 1
    return {
        **line_data(sheet, platform, line, view="full", card_urls=card_urls),
        "place": f"{platform.key}, turn {turn} of {len(platform.lifters)}",
        "bar": platform.bar_name,
        "rope": _rope(line),
        "band_caution": BAND_CAUTION
        if is_banded(line.rig) and BAND_CAUTION not in sheet.caution
        else "",
    }


def _rope(line: LifterLine) -> str:
    if line.rope is None:
        return ""
    return rope_chart_svg(
        line.rope, palette=PAPER, id_prefix="rope", unit=line.unit, size=_ROPE_SIZE
    )
