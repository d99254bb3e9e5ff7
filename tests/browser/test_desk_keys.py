"""The desk by keyboard alone, and targets that fingers can hit."""

from __future__ import annotations

from floor_cast import ROW
from playwright.sync_api import expect

SMALL_TARGETS = """() => Array.from(document.querySelectorAll('a.button, button, summary, .ways a'))
  .filter((item) => item.offsetParent)
  .map((item) => [item.textContent.trim(), item.getBoundingClientRect()])
  .filter(([, box]) => box.height < 48)
  .map(([words, box]) => words + ' ' + box.height)"""


def test_the_skip_link_is_first_and_leads_to_the_page(coach):
    page = coach()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the page"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"


def test_why_opens_by_keyboard(coach):
    page = coach()
    page.locator(".lifter summary").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator(".lifter .reasons").first).to_be_visible()


def test_the_focused_thing_can_be_seen(coach):
    page = coach()
    for _ in range(6):
        page.keyboard.press("Tab")
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline == "solid"


def test_one_way_is_marked_as_where_you_are(coach):
    page = coach()
    for way, name in (("squad/", "Squad"), ("stock/", "Stock"), ("contests/", "Contests")):
        page.goto(f"/gym/{ROW}/{way}")
        expect(page.locator(".ways [aria-current=page]")).to_have_text(name)


def test_phone_targets_are_large_enough(coach, house):
    page = coach(390, 844)
    for address in (f"/gym/{ROW}/today/", house.class_url + "floor/", f"/gym/{ROW}/stock/"):
        page.goto(address)
        assert page.evaluate(SMALL_TARGETS) == []


def test_an_unsaved_form_says_so(coach, house):
    page = coach()
    page.goto(f"/gym/{ROW}/squad/{house.card_athlete}/change")
    expect(page.locator("[data-unsaved-state]")).to_have_text("saved")
    page.get_by_label("Name, as called").fill("Tova")
    expect(page.locator("[data-unsaved-state]")).to_have_text("not saved yet")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("h1")).to_contain_text("Tova")


def test_attendance_on_the_floor_is_one_tap_and_a_load_two(coach, house):
    page = coach(390, 844)
    page.goto(house.class_url + "floor/")
    page.get_by_role("button", name="Ilse is here; mark away").click()
    expect(page.get_by_role("button", name="Ilse is away; mark here")).to_be_visible()
    expect(page.locator("#floor")).to_contain_text("Who is here has changed")
    page.locator("#person-a7 summary").click()
    expect(page.get_by_role("button", name="95 kg")).to_be_visible()
    expect(page.get_by_role("button", name="100 kg")).to_be_visible()
    page.get_by_role("button", name="Missed set 1").click()
    expect(page.locator("#person-a7")).to_contain_text("1 missed")
