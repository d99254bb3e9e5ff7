"""The season in a real browser, as a coach would: plan, look, pin, clash, what if, take back."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from floor_cast import PASSWORD
from playwright.sync_api import expect
from test_shots import SHOTS, fits
from tests.usecases import season_cast
from tests.usecases.season_cast import BARN, IN_BARN

from heftwright.domain.catalogue import LiftKey, Slot
from heftwright.store.documents import to_document
from heftwright.store.models import SeasonPlanRow
from heftwright.usecases import accounts, clock, season
from heftwright.usecases.gathering import monday_of
from heftwright.usecases.permissions import Role

URL = f"/gym/{BARN}/season/"


@pytest.fixture
def barn(transactional_db, live_server):
    """The barn with its calendar laid from this week on, and no season yet."""
    season_cast.open_barn(since=monday_of(clock.now().date()))
    secret = accounts.make_first_sign_in_link(**IN_BARN, role=Role.OWNER)
    accounts.redeem_first_sign_in(secret=secret, name="Olga", password=PASSWORD)


@pytest.fixture
def desk(window, barn):
    def open_desk(width=1280, height=900, scheme="light"):
        page = window(width, height, scheme)
        page.goto("/sign-in")
        page.get_by_label("Name or e-mail").fill("Olga")
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url("**/today/")
        page.goto(URL)
        return page

    return open_desk


def pictured(page, name):
    SHOTS.mkdir(exist_ok=True)
    page.evaluate("document.fonts.ready")
    page.screenshot(path=SHOTS / f"season-{name}.png", full_page=True)
    assert fits(page), name


def week_of(page, weeks):
    monday = monday_of(clock.now().date()) + timedelta(weeks=weeks)
    return page.locator(f"#week-{monday}")


def open_menu(page, weeks, name="Max-effort lower"):
    day = week_of(page, weeks).locator("details", has_text=name).first
    day.locator("summary").first.click()
    day.get_by_role("link", name="Other choices and their prices").click()
    expect(day.locator(".choices")).to_be_visible()
    return day


def plan(page):
    page.get_by_role("button", name="Plan the season").click()
    page.get_by_role("button", name="Stop, keep the best").wait_for()
    page.locator("#season-job").wait_for(state="detached", timeout=30_000)
    expect(page.get_by_role("heading", name="Week by week")).to_be_visible()


def until_planned(page):
    """A planning that a tap began has come to its end."""
    page.locator("#season-job").wait_for(timeout=20_000)
    page.locator("#season-job").wait_for(state="detached", timeout=40_000)


def test_plan_choose_take_back(desk):
    page = desk()
    plan(page)
    pictured(page, "planned")
    day = open_menu(page, 2)
    pictured(page, "menu")
    before = day.locator("summary strong").first.inner_text()
    day.locator(".choice-list").first.get_by_role("button").first.click()
    expect(page.locator("#notices")).to_contain_text("Taken and pinned")
    lane = week_of(page, 2).locator("details", has_text="Max-effort lower").first
    expect(lane).to_contain_text("pinned")
    after = lane.locator("summary strong").first.inner_text()
    page.locator("#notices").get_by_role("button", name="Undo").click()
    expect(page.locator("#notices")).to_contain_text("is back")
    lane = week_of(page, 2).locator("details", has_text="Max-effort lower").first
    again = lane.locator("summary strong").first.inner_text()
    assert (after != before, again) == (True, before)


def test_a_tap_on_the_strip_opens_the_day_with_its_prices(desk):
    season.plan_season(**IN_BARN, limit_s=1.0)
    page = desk()
    block = page.locator(".wide-only .pic-block[id*='-l0-b']").nth(1)
    named = block.get_attribute("aria-label")
    block.press("Enter")
    day = page.locator("details[data-block][open]")
    expect(day.locator(".choices")).to_be_visible()
    assert day.locator("summary strong").inner_text().split(" ")[0] in named


def test_a_lift_dragged_to_another_week_is_offered_there_with_its_price(desk):
    season.plan_season(**IN_BARN, limit_s=1.0)
    page = desk(1366)
    blocks = page.locator(".wide-only .pic-block[id*='-l2-b']")  # max-effort lower
    dragged, onto = blocks.nth(1), blocks.nth(4)
    name = dragged.get_attribute("aria-label").split(", week of")[0]
    dragged.drag_to(onto)
    place = onto.get_attribute("id").removeprefix("season-")
    day = page.locator(f"details[data-block={place}]")
    expect(day.locator(".dragged-here")).to_contain_text(name)
    expect(day.locator(".choices > .choice-list").first).to_contain_text(name)
    pictured(page, "dragged")


def test_what_if_side_by_side_then_adopted(desk):
    season.plan_season(**IN_BARN, limit_s=1.0)
    page = desk()
    page.reload()
    page.get_by_role("link", name="What if").click()
    pictured(page, "what-if")
    page.locator("#away-kit").select_option("axle")
    page.locator("#away-units").fill("2")
    page.get_by_role("button", name="Do without it on a copy").click()
    page.get_by_role("heading", name="Side by side").wait_for(timeout=30_000)
    pictured(page, "copy")
    page.get_by_role("button", name="Adopt it").click()
    expect(page.locator("#notices")).to_contain_text("Adopted")
    expect(page.get_by_role("heading", name="Ruled out and missing")).to_be_visible()


def test_a_clash_is_shown_as_choices(desk):
    season.plan_season(**IN_BARN, limit_s=1.0)
    page = desk()
    season_cast.clash_in_background()
    page.reload()
    page.get_by_role("heading", name="These pins cannot hold together").wait_for(timeout=40_000)
    pictured(page, "clash")
    page.get_by_role("button", name="Drop Back squat").last.click()
    page.locator("#season-job").wait_for(state="detached", timeout=30_000)
    expect(page.locator(".clash")).to_have_count(0)


@pytest.mark.parametrize(
    ("width", "scheme"), [(390, "light"), (390, "dark"), (1280, "light"), (1280, "dark")]
)
def test_every_season_page_fits_its_window(desk, width, scheme):
    season.plan_season(**IN_BARN, limit_s=1.0)
    page = desk(width, 844, scheme)
    page.goto(URL)
    open_menu(page, 2)
    pictured(page, f"page-{width}-{scheme}")
    for name, way in (
        ("what-if", "season/what-if/"), ("lifts", "season/lifts/"), ("shut", "season/shut/"),
        ("lift", "season/lifts/axle_deadlift/"), ("own", "squad/a1/season"),
    ):  # fmt: skip
        page.goto(f"/gym/{BARN}/{way}")
        pictured(page, f"{name}-{width}-{scheme}")


@pytest.mark.parametrize(("width", "scheme"), [(1366, "light"), (390, "dark")])
def test_what_follows_a_main_lift_is_pinned_by_hand(desk, width, scheme):
    season.plan_season(**IN_BARN, limit_s=1.0)
    block = season.get_season(gym=BARN).after[0]
    page = desk(width, 844, scheme)
    place = f"#week-{block.monday} details.after[data-after$='-{block.slot.value}']"
    page.locator(f"{place} summary").click()
    page.locator(place).get_by_role("link", name="Other blocks and what they add").click()
    expect(page.locator(f"{place} .choices")).to_be_visible()
    pictured(page, f"after-{width}-{scheme}")
    page.locator(place).get_by_role("button", name="Pin it").click()
    expect(page.locator("#notices")).to_contain_text("The main lifts stay as they are")
    expect(page.locator(f"{place} summary")).to_contain_text("pinned")
    pictured(page, f"after-pinned-{width}-{scheme}")


IN_FULL = """() => {
  const strip = document.querySelector(".strip-frame.wide-only svg");
  const scale = strip.getBoundingClientRect().width / strip.viewBox.baseVal.width;
  const words = [...strip.querySelectorAll("text")];
  const sticksOut = (text) => {
    const group = text.closest(".pic-block");
    if (!group) return false;
    const shape = group.querySelector("rect") ?? group.querySelector("path");
    const [word, box] = [text.getBBox(), shape.getBBox()];
    return word.x < box.x - 1 || word.x + word.width > box.x + box.width + 1;
  };
  return {
    smallest: scale * Math.min(...words.map((text) => Number(text.getAttribute("font-size")))),
    cut: words.filter((text) => text.textContent.includes("…")).map((text) => text.textContent),
    out: words.filter(sticksOut).map((text) => text.textContent),
  };
}"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_strip_says_everything_in_full_on_a_laptop(desk, scheme):
    """1366 × 768: the implement day, the events on the posts, the waves' second lines."""
    season.plan_season(**IN_BARN, limit_s=1.5)
    page = desk(1366, 768, scheme)
    page.evaluate("document.fonts.ready")
    page.locator(".strip-frame.wide-only").screenshot(path=SHOTS / f"strip-1366-{scheme}.png")
    found = page.evaluate(IN_FULL)
    assert found["cut"] == []
    assert found["out"] == []
    assert found["smallest"] >= 12
    assert fits(page)


def kept_by_older_rules():
    """A good morning with a long set-up in the second week, as an older program kept it."""
    row = SeasonPlanRow.objects.order_by("-version").first()
    old = season.get_season(gym=BARN)
    week = old.start + timedelta(weeks=1)
    day = old.on(Slot.MAX_EFFORT_LOWER, week)[0]
    changed = replace(day, lift=LiftKey("hung_good_morning"))
    work = tuple(changed if item == day else item for item in old.work)
    row.document["plan"] = to_document(replace(old, work=work))
    row.save()


@pytest.mark.parametrize(("width", "scheme"), [(1366, "light"), (390, "dark")])
def test_a_season_of_older_rules_is_planned_again_with_one_tap_from_its_menu(desk, width, scheme):
    season.plan_season(**IN_BARN, limit_s=1.0)
    kept_by_older_rules()
    page = desk(width, 844, scheme)
    day = week_of(page, 2).locator("details", has_text="Max-effort lower").first
    day.locator("summary").first.click()
    day.get_by_role("link", name="Other choices and their prices").click()
    expect(day.locator(".outdated")).to_contain_text("its long set-up is kept for the weeks before")
    pictured(page, f"outdated-{width}-{scheme}")
    day.get_by_role("button", name="Plan again, close to this one").click()
    until_planned(page)
    open_menu(page, 2)


def test_a_second_lift_is_ruled_out_of_its_place_from_its_menu(desk):
    season.plan_season(**IN_BARN, limit_s=1.0)
    block = season.get_season(gym=BARN).after[0]
    page = desk(1366, 844)
    place = page.locator(f"#week-{block.monday} details.after[data-after$='-{block.slot.value}']")
    place.locator("summary").click()
    place.get_by_role("link", name="Other blocks and what they add").click()
    expect(place.locator("select[name=place]")).to_have_value("after")
    pictured(page, "rule-out-after")
    place.get_by_role("button", name="Rule").click()
    until_planned(page)
    expect(page.locator("main")).to_contain_text("only as second lift or event practice")
    pictured(page, "ruled-out-after")
