"""On a phone no figure runs into its neighbour and no note stands one word a line."""

from __future__ import annotations

from dataclasses import replace

import pytest
from floor_cast import PASSWORD, ROW, save_plan
from sheets import make_max_effort_sheet, make_work_up

HEAVY = ((227.5, 3), (262.5, 3), (297.5, 2), (322.5, 2), (345, 3))
NOTE = "Bar heights are estimated from stature: tape them once."


@pytest.fixture
def heavy(house):
    sheet = replace(make_max_effort_sheet(), on=house.on, starts_at=house.sheet.starts_at)
    platforms = tuple(
        replace(
            item,
            lifters=tuple(
                replace(make_work_up(line, *HEAVY), notes=(NOTE,)) for line in item.lifters
            ),
        )
        for item in sheet.platforms
    )  # fmt: skip
    everybody = tuple(line.athlete for item in platforms for line in item.lifters)
    save_plan(replace(sheet, platforms=platforms), everybody)


def overflowing(page):
    return page.evaluate(
        "[...document.querySelectorAll('.work-up-steps li')]"
        ".filter(step => step.scrollWidth > step.clientWidth).length"
    )


@pytest.mark.parametrize("width", [390, 1366])
def test_steps_keep_to_their_cells_and_a_note_takes_the_row(window, house, heavy, width):
    page = window(width)
    page.goto(f"/card/{house.card_secret}/")
    assert page.locator(".work-up-steps li").count() == len(HEAVY)
    assert overflowing(page) == 0
    page.goto("/sign-in")
    page.fill("[name=name]", "Hal")
    page.fill("[name=password]", PASSWORD)
    page.press("[name=password]", "Enter")
    page.wait_for_url("**/gym/**")
    page.goto(f"/gym/{ROW}/today/")
    assert overflowing(page) == 0
    note = page.get_by_text(NOTE).first.bounding_box()
    row = page.locator(".lifter").first.bounding_box()
    assert note["width"] > 0.8 * row["width"]
    page.goto(f"{house.class_url}floor/")
    assert page.locator(".person-top").first.inner_text().startswith("top 345")
    name = page.locator(".person-name strong").first.bounding_box()
    assert name["width"] > name["height"]  # in a row, not a letter a line
