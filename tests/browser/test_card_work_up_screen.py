"""The card on a max-effort day in a real browser: one tap a step, one more for what was left."""

from __future__ import annotations

from dataclasses import replace

from floor_cast import ROW, save_plan
from playwright.sync_api import expect
from sheets import make_max_effort_sheet
from test_card_outbox import PHONE, skip_the_undo_time

from heftwright.usecases import log as logs


def test_each_step_is_logged_by_one_tap_and_the_top_set_asks_what_was_left(window, house):
    sheet = replace(make_max_effort_sheet(), on=house.on)
    everybody = tuple(line.athlete for item in sheet.platforms for line in item.lifters)
    save_plan(sheet, everybody)
    page = window(**PHONE)
    page.goto(f"/card/{house.card_secret}/")
    said, done = page.locator("#set-words"), page.get_by_role("button", name="Done")
    expect(said).to_have_text("Set 1 of 7: 70 kg × 5")
    for number in range(1, 7):
        done.click()
        words = "Top set: 175 kg × 6" if number == 6 else f"Set {number + 1} of 7: "
        expect(said).to_contain_text(words)
        expect(page.locator("#left-in-you")).to_be_hidden()
    expect(page.locator(".work-up-steps li[aria-current]")).to_contain_text("175")
    done.click()
    expect(said).to_have_text("All 7 sets logged")
    page.locator("#left-in-you").get_by_role("button", name="2").click()
    expect(page.locator("#left-in-you")).to_be_hidden()
    skip_the_undo_time(page)
    expect(page.locator("#at-gym")).to_have_text("7")
    kept = logs.get_log(gym=ROW)
    assert [item.reps_done for item in kept] == [5, 3, 3, 3, 3, 6, 6]
    assert [item.is_max_attempt for item in kept] == [False] * 6 + [True]
    assert kept[-1].reps_in_reserve == 2
