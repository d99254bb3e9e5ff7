"""Pictures of every page at every width, light and dark, for people to look at; and two facts
that any picture must keep: nothing sticks out sideways, and the unit stands beside its number."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from floor_cast import ROW

SHOTS = Path(__file__).parent / "shots"
# all widths and schemes when somebody wants to look: SHOTS=all
WINDOWS = [(390, "light"), (1280, "dark")]
if os.environ.get("SHOTS") == "all":
    WINDOWS = [(width, scheme) for width in (390, 1280, 1920) for scheme in ("light", "dark")]
PAGES = {
    "today": "/gym/{gym}/today/",
    "floor": "/gym/{gym}/class/{on}/mon-1830/floor/",
    "squad": "/gym/{gym}/squad/",
    "athlete": "/gym/{gym}/squad/a7/",
    "athlete-form": "/gym/{gym}/squad/a7/change",
    "stock": "/gym/{gym}/stock/",
    "contests": "/gym/{gym}/contests/",
    "contest-new": "/gym/{gym}/contests/new",
    "settings": "/gym/{gym}/settings/",
    "floor-terms": "/gym/{gym}/settings/floor/",
    "company": "/gym/{gym}/squad/a7/company",
    "season": "/gym/{gym}/season/",
    "import": "/gym/{gym}/import/",
    "max-new": "/gym/{gym}/squad/a7/max",
    "card": "/card/{card}/",
}


def fits(page):
    wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    return wide <= 0


@pytest.mark.parametrize(("width", "scheme"), WINDOWS)
def test_every_page_fits_its_window(coach, house, width, scheme):
    SHOTS.mkdir(exist_ok=True)
    page = coach(width, 900, scheme)
    too_wide = []
    for name, address in PAGES.items():
        page.goto(address.format(gym=ROW, on=house.on, card=house.card_secret))
        page.evaluate("document.fonts.ready")
        page.screenshot(path=SHOTS / f"{name}-{width}-{scheme}.png", full_page=True)
        if not fits(page):
            too_wide.append(name)
    assert too_wide == []


def test_the_board_is_pictured(window, house):
    SHOTS.mkdir(exist_ok=True)
    for width, height in ((1920, 1080), (1280, 720), (1080, 1920)):
        page = window(width, height)
        page.goto(f"/board/{house.board_secret}/")
        page.wait_for_timeout(400)
        page.screenshot(path=SHOTS / f"board-{width}.png")
        assert fits(page)
