"""The running class in a real browser: drag a name, see the cost, take it; long names."""

from __future__ import annotations

import pytest
from floor_cast import CLASS_KEY, ROW, TERMINAL
from playwright.sync_api import expect

from heftwright.domain.floor.by_hand import HandMoveError
from heftwright.domain.sheet.planned import FloorDraft
from heftwright.store import floor_rows
from heftwright.store.gym_rows import find_gym
from heftwright.usecases import floor_drafts
from heftwright.usecases.live_class import DatedClass, start_class

TEXT_CAP_PX = 73
CAP_HEIGHT = """(element) => {
  const style = getComputedStyle(element);
  const pen = document.createElement('canvas').getContext('2d');
  pen.font = style.fontWeight + ' ' + style.fontSize + ' ' + style.fontFamily;
  return pen.measureText('H').actualBoundingBoxAscent;
}"""


@pytest.fixture
def priced(house, monkeypatch):
    """Moves are drafted without a season behind them; what was asked for is kept."""
    of, asked = DatedClass(ROW, CLASS_KEY, house.on), []

    def propose(of_class, *, by, athlete, platform):
        if platform == "C":
            raise HandMoveError("Platform C cannot serve this group: no plates are left.")
        asked.append((athlete, platform))
        planned = of.planned()
        draft = FloorDraft(
            of.key, planned, "Tove to platform B", ("Tove moves from platform A to B.",),
            "A round: 4 plate moves more, 12 s of changing more; done 0.5 min later.", 1,
        )  # fmt: skip
        floor_rows.write(find_gym(ROW), draft)
        return draft

    monkeypatch.setattr(floor_drafts, "propose_move", propose)
    return asked


@pytest.fixture
def floor_page(coach, house):
    page = coach(1280, 900)
    page.goto(f"{house.class_url}floor/")
    return page


def test_a_name_is_dragged_the_cost_is_shown_and_taken_with_one_tap(floor_page, priced):
    page = floor_page
    page.drag_and_drop('[data-athlete="a7"]', '[data-platform="B"] header')
    expect(page.locator(".draft")).to_contain_text("done 0.5 min later")
    assert priced == [("a7", "B")]
    page.get_by_role("button", name="Take it").click()
    expect(page.locator(".draft")).to_have_count(0)
    expect(page.locator(".floor-head")).to_contain_text("Plan 2")


def test_a_move_that_cannot_be_is_refused_where_the_coach_looks(floor_page, priced, window):
    floor_page.drag_and_drop('[data-athlete="a7"]', '[data-platform="C"] header')
    expect(floor_page.get_by_role("alert")).to_contain_text("no plates are left")
    assert len(window.complaints) == 1  # the browser tells its console of the 422
    window.complaints.clear()


def test_the_same_move_by_keyboard_alone(floor_page, priced):
    page = floor_page
    person = page.locator("#person-a7 summary")
    person.focus()
    page.keyboard.press("Enter")
    page.locator("#person-a7").get_by_role("button", name="To platform B").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".draft")).to_contain_text("Tove moves from platform A to B.")
    page.get_by_role("button", name="Leave it").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".draft")).to_have_count(0)


@pytest.mark.parametrize(("platform", "words"), [("B", ".draft"), ("C", ".refusal[role=alert]")])
def test_on_a_phone_the_page_goes_to_what_a_tap_led_to(
    coach, house, priced, window, platform, words
):
    page = coach(390, 844)
    page.goto(f"{house.class_url}floor/")
    page.locator("#person-a7 summary").click()
    page.locator("#person-a7").get_by_role("button", name=f"To platform {platform}").click()
    answer = page.locator(words)
    expect(answer).to_be_in_viewport()
    expect(answer).to_be_focused()
    window.complaints.clear()  # the browser tells its console of the 422


def test_floor_buttons_are_large_enough_for_chalky_hands(coach, house):
    start_class(DatedClass(ROW, CLASS_KEY, house.on), by=TERMINAL)
    page = coach(390, 844)
    page.goto(f"{house.class_url}floor/")
    heights = page.evaluate(
        "Array.from(document.querySelectorAll('.live .floor-button, .floor-head .floor-button'))"
        ".map((item) => item.getBoundingClientRect().height)"
    )
    assert heights
    assert min(heights) >= 60


def test_a_long_name_on_the_board_is_narrower_never_cut_never_lower(window, house):
    page = window(1920, 1080)
    page.goto(f"/board/{house.board_secret}/")
    page.evaluate("document.fonts.ready")
    page.evaluate(
        "document.querySelectorAll('.board-now .board-fit').forEach((place) => {"
        "place.replaceChildren('Maximilian-Rory Q.')})"
    )
    page.evaluate("window.dispatchEvent(new Event('resize'))")
    places = page.locator(".board-now .board-fit")
    for place in places.all():
        inner = place.locator("span")
        room, wide = place.bounding_box()["width"], inner.bounding_box()["width"]
        assert wide <= room + 1
        assert page.evaluate(CAP_HEIGHT, inner.element_handle()) >= TEXT_CAP_PX
    assert "ellipsis" not in page.evaluate(
        "Array.from(document.querySelectorAll('.board *'))"
        ".map((item) => getComputedStyle(item).textOverflow).join()"
    )
