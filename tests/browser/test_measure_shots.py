"""The measuring pages in a real browser: pictured at both widths, and used as a new coach would."""

from __future__ import annotations

import pytest
from floor_cast import ROW
from measure_cast import fit_out
from playwright.sync_api import expect
from test_desk_keys import SMALL_TARGETS
from test_shots import SHOTS, WINDOWS, fits

PAGES = {
    "band": "stock/bands/slate/curve",
    "band-unread": "stock/bands/moss/curve?method=scale&rig=doubled",
    "tape": "squad/a7/tape",
    "chain": "stock/chains/links/mass?known_by=calliper&wire=8&pitch=24&outer=27.2",
    "limit": "stock/bars/bar/",
    "set-up": "set-up/?athlete=a7",
    "set-up-class": "set-up/class",
}


@pytest.fixture
def fitted(house):
    """The house with its gear."""
    fit_out(house.on)
    return house


@pytest.mark.parametrize(("width", "scheme"), WINDOWS)
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


def fill_rows(page, rows):
    for number, (length, up, down) in enumerate(rows, 1):
        page.locator(f"[name=length_{number}]").fill(length)
        page.locator(f"[name=up_{number}]").fill(up)
        page.locator(f"[name=down_{number}]").fill(down)


@pytest.mark.parametrize("width", [390, 1280])
def test_a_new_coach_calibrates_a_band_and_sees_the_curve_grow(coach, fitted, width):
    page = coach(width, 844)
    page.goto(f"/gym/{ROW}/stock/bands/moss/curve")
    expect(page.locator("#live")).to_contain_text("was never read")
    page.get_by_label("Fixed").select_option("doubled")
    expect(page.locator("#calibrate")).to_contain_text("Never past 103 cm")
    fill_rows(page, [("62", "10.9", "10.5"), ("80", "20.2", "19.6")])
    expect(page.locator("#live")).to_contain_text("2 lengths read")
    fill_rows(page, [("62", "10.9", "10.5"), ("80", "20.2", "19.6"), ("98", "18", "")])
    expect(page.locator("#said-3")).to_contain_text("never pulls less when it is longer")
    page.screenshot(
        path=SHOTS / f"measure-calibrating-{width}.png", full_page=True, caret="initial"
    )
    page.locator("[name=up_3]").fill("27")
    expect(page.locator("#said-3")).to_be_empty()
    expect(page.locator("#live")).to_contain_text("3 lengths read")
    assert page.locator("[name=up_3]").input_value() == "27"
    page.screenshot(path=SHOTS / f"measure-calibrated-{width}.png", caret="initial")
    page.get_by_role("button", name="Keep these readings").click()
    expect(page.locator("#notices")).to_contain_text("5 readings kept")
    expect(page.locator("#live")).to_contain_text("± ")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_band_is_read_with_the_bar_standing_on_a_floor_scale(coach, fitted, scheme):
    page = coach(390, 844, scheme)
    page.goto(f"/gym/{ROW}/stock/bands/moss/curve")
    page.get_by_label("Read with").select_option("scale")
    expect(page.locator("#calibrate")).to_contain_text("half of the difference")
    page.get_by_label("Bar and boxes, no bands").fill("32.4")
    fill_rows(page, [("120", "54.2", ""), ("150", "82.6", ""), ("180", "80", "")])
    expect(page.locator("#said-3")).to_contain_text("never pulls less when it is longer")
    page.screenshot(
        path=SHOTS / f"measure-scale-refused-{scheme}.png", full_page=True, caret="initial"
    )
    page.locator("[name=up_3]").fill("108.8")
    expect(page.locator("#said-3")).to_be_empty()
    expect(page.locator("#live")).to_contain_text("3 lengths read")
    expect(page.locator("#live")).to_contain_text("± ")
    assert fits(page)
    page.screenshot(path=SHOTS / f"measure-scale-{scheme}.png", full_page=True, caret="initial")
    page.get_by_role("button", name="Keep these readings").click()
    expect(page.locator("#notices")).to_contain_text("readings kept")


def test_a_length_past_the_safe_one_is_refused_where_it_is_typed(coach, fitted, window):
    page = coach(390, 844)
    page.goto(f"/gym/{ROW}/stock/bands/moss/curve")
    page.get_by_label("Reading 1: length from peg to bar").fill("240")
    page.get_by_label("Reading 1: scale while stretching").fill("60")
    expect(page.locator("#said-1")).to_contain_text("past its longest safe length of 206 cm")
    page.get_by_role("button", name="Keep these readings").click()
    expect(page.get_by_role("alert").first).to_contain_text("Nothing was kept")
    assert page.get_by_label("Reading 1: length from peg to bar").input_value() == "240"
    window.complaints.clear()  # the browser's own line about the status 422


def test_a_taped_height_in_the_wrong_unit_is_asked_about(coach, fitted):
    page = coach(390, 844)
    page.goto(f"/gym/{ROW}/squad/a9/tape")
    expect(page.locator("#said-pull_lockout")).to_contain_text("Until then")
    page.locator("[name=pull_lockout]").fill("31.5")
    expect(page.locator("#said-pull_lockout")).to_contain_text("look at the unit")
    page.locator("[name=pull_lockout]").fill("61.5")
    expect(page.get_by_label("I taped it twice")).to_be_visible()
    page.locator("[name=pull_lockout]").fill("31.5")
    expect(page.get_by_label("I taped it twice")).not_to_be_visible()
    page.locator("[name=pull_lockout_unit]").select_option("in")
    expect(page.locator("#said-pull_lockout")).to_contain_text("Taped: 80 cm")
    page.get_by_role("button", name="Keep the heights").click()
    expect(page.locator("#notices")).to_contain_text("heights kept")


def test_other_pegs_show_on_the_rope_chart_at_once(coach, fitted):
    page = coach(1280)
    page.goto(f"/gym/{ROW}/set-up/?athlete=a7")
    expect(page.locator("#on-bar")).to_contain_text("pegs at 4 cm")
    page.get_by_label("Pegs", exact=True).select_option("20")
    expect(page.locator("#on-bar")).to_contain_text("Against the rig as chosen")
    expect(page.locator("#on-bar")).to_contain_text("pegs at 20 cm")
    page.locator("[name=raised]").fill("10")
    expect(page.locator("#on-bar svg.pic-rope")).to_contain_text("blocks")
    # the browser hides carets by a style of its own, which a swap would carry into the page
    page.screenshot(path=SHOTS / "measure-what-if.png", full_page=True, caret="initial")


def test_on_a_phone_a_change_of_pegs_is_seen_where_it_is_made(coach, fitted):
    page = coach(390, 844)
    page.goto(f"/gym/{ROW}/set-up/?athlete=a7")
    page.get_by_label("Pegs", exact=True).scroll_into_view_if_needed()
    page.locator("#on-bar h3").evaluate("title => title.scrollIntoView()")
    page.get_by_label("Pegs", exact=True).select_option("20")
    expect(page.locator("#on-bar .news")).to_contain_text("Against the rig as chosen")
    expect(page.get_by_label("Pegs", exact=True)).to_be_in_viewport()
    expect(page.locator("#on-bar .news")).to_be_in_viewport(ratio=1)
    expect(page.locator("#on-bar svg.pic-rope")).to_be_in_viewport(ratio=0.5)
    page.screenshot(path=SHOTS / "measure-what-if-phone.png", caret="initial")


def test_another_meaning_of_the_share_changes_the_bar(coach, fitted):
    page = coach(1280)
    page.goto(f"/gym/{ROW}/set-up/?athlete=a7")
    page.get_by_label("The % of bands is a").select_option("total_at_top")
    expect(page.locator("#wanted-title")).to_contain_text("74.9")


def test_targets_are_large_enough_for_chalky_hands(coach, fitted):
    page = coach(390, 844)
    for address in PAGES.values():
        page.goto(f"/gym/{ROW}/{address}")
        assert page.evaluate(SMALL_TARGETS) == [], address


def test_a_rig_is_chosen_and_changed_by_keyboard_alone(coach, fitted):
    page = coach(1280)
    page.goto(f"/gym/{ROW}/set-up/?athlete=a7")
    page.locator("input[name=rig]:checked").focus()
    page.keyboard.press("ArrowDown")
    expect(page.locator("#on-bar")).to_contain_text("Slate band × 2 pairs, doubled, pegs at 4 cm")
    expect(page.locator("input[name=rig]:checked")).to_be_focused()


def test_the_rig_as_chosen_stays_on_the_chart_and_is_one_click_away(coach, fitted):
    page = coach(1280)
    page.goto(f"/gym/{ROW}/set-up/?athlete=a7&peg=20")
    expect(page.locator("#on-bar svg.pic-rope")).to_contain_text("before")
    page.get_by_role("link", name="Back to the rig as chosen").click()
    expect(page.locator("#on-bar svg.pic-rope")).not_to_contain_text("before")
    expect(page.locator("#on-bar")).to_contain_text("pegs at 4 cm")


def test_from_the_class_to_one_athlete_the_wish_is_kept(coach, fitted):
    page = coach(1280)
    page.goto(f"/gym/{ROW}/set-up/class?load=60&share=20&lift=deadlift")
    page.get_by_role("link", name="Tove").click()
    expect(page.get_by_label("Written load, % of max")).to_have_value("60")
    expect(page.locator("#wanted-title")).to_contain_text("Tove")
