"""The class on paper, for the day the power fails."""

from __future__ import annotations

from datetime import date

from django.http import HttpResponse

from heftwright.domain.refusal import Refusal
from heftwright.paper.card import card_pdf
from heftwright.paper.class_sheet import class_sheet_pdf
from heftwright.usecases import classes
from heftwright.web.access.requests import GymRequest


def class_paper(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """One sheet for the class; A4, or Letter on request."""
    sheet = classes.get_class_sheet(gym=request.gym.key, class_key=class_key, on=on)
    wanted = request.GET.get("paper")
    content = class_sheet_pdf(sheet, paper="letter" if wanted == "letter" else "a4")
    return _pdf(content, f"class-{on}-{class_key}.pdf")


def class_cards(request: GymRequest, on: date, class_key: str) -> HttpResponse:
    """A card for each athlete, four to a page."""
    sheet = classes.get_class_sheet(gym=request.gym.key, class_key=class_key, on=on)
    if not any(platform.lifters for platform in sheet.platforms):
        raise Refusal("Nobody has a bar in this plan: there is no card to print.")
    wanted = request.GET.get("paper")
    content = card_pdf(sheet, paper="letter" if wanted == "letter" else "a4")
    return _pdf(content, f"cards-{on}-{class_key}.pdf")


def _pdf(content: bytes, name: str) -> HttpResponse:
    disposition = f'inline; filename="{name}"'
    return HttpResponse(
        content, content_type="application/pdf", headers={"Content-Disposition": disposition}
    )
