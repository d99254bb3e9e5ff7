"""The measuring pages in a real browser: pictured at both widths, and used as a new coach would."""

from __future__ import annotations

import pytest
from floor_cast import ROW
from measure_cast import fit_out
from test_shots import SHOTS, fits


PAGES = {
    "band": "stock/bands/slate/curve",
    "band-unread": "stock/bands/moss/curve?method=scale&rig=doubled",
    "tape": "squad/a7/tape",
    "set-up": "set-up/?athlete=a7",
    "set-up-class": "set-up/class",
}


@pytest.fixture
def fitted(house):
    """The house with its gear."""
    fit_out(house.on)
    return house


@pytest.mark.parametrize(
    ("width", "scheme"), [(390, "light"), (390, "dark"), (1280, "light"), (1280, "dark")]
)
def test_every_measuring_page_fits_its_window(coach, fitted, width, scheme):
    SHOTS.mkdir(exist_ok=True)
    page = coach(width, 900, scheme)
    too_wide = []
    for name, address in PAGES.items():
        page.goto(f"/gym/{ROW}/{address}")
        page.wait_for_load_state("networkidle")
        page.screenshot(path=SHOTS / f"measure-{name}-{width}-{scheme}.png", full_page=True)
        if not fits(page):
            too_wide.append(name)
    assert too_wide == []
