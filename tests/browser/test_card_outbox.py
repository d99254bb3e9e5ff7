"""The card in a real browser: one tap logs, nothing is lost without signal, undo is clean."""

from __future__ import annotations

import re

import pytest
from floor_cast import ROW, TERMINAL
from playwright.sync_api import expect

from heftwright.usecases import log as logs
from heftwright.usecases import pain

PHONE = {"width": 390, "height": 844, "has_touch": True, "is_mobile": True}


@pytest.fixture
def card(window, house):
    page = window(**PHONE)
    page.goto(f"/card/{house.card_secret}/")
    expect(page.locator("#set-words")).to_have_text("Set 1 of 12: 97.5 kg × 2")
    return page


def skip_the_undo_time(page):
    """Let the held entries go at once, as if their twelve seconds were over."""
    page.evaluate(
        """async () => {
          const store = await import('/static/heftwright/outbox-store.js');
          const place = document.getElementById('card-log').dataset;
          const card = place.logUrl + ' ' + place.class;
          for (const entry of await store.everything(card)) {
            if (entry.state === 'phone') await store.keep({...entry, holdUntil: 0});
          }
          window.dispatchEvent(new Event('online'));
        }"""
    )


def counts(page):
    return tuple(page.locator(f"#{name}").inner_text() for name in ("on-phone", "on-way", "at-gym"))


def test_one_tap_logs_the_set_and_it_waits_on_the_phone_for_an_undo(card):
    card.get_by_role("button", name="Done").tap()
    expect(card.locator("#set-words")).to_have_text("Set 2 of 12: 97.5 kg × 2")
    expect(card.locator("#on-phone")).to_have_text("1")
    expect(card.locator("#log-undo")).to_have_text(re.compile(r"Undo 1[0-2] s"))
    assert logs.get_log(gym=ROW) == ()


def test_an_undone_tap_leaves_no_trace(card):
    card.get_by_role("button", name="Missed").tap()
    expect(card.locator("#set-words")).to_have_text("Set 2 of 12: 97.5 kg × 2")
    card.locator("#log-undo").tap()
    expect(card.locator("#set-words")).to_have_text("Set 1 of 12: 97.5 kg × 2")
    assert counts(card) == ("0", "0", "0")
    skip_the_undo_time(card)
    assert logs.get_log(gym=ROW) == ()


def test_after_the_undo_time_the_gym_has_it(card):
    card.get_by_role("button", name="Done").tap()
    expect(card.locator("#on-phone")).to_have_text("1")
    skip_the_undo_time(card)
    expect(card.locator("#at-gym")).to_have_text("1")
    (kept,) = logs.get_log(gym=ROW)
    assert (kept.set_number, kept.reps_done, str(kept.load)) == (1, 2, "97.5 kg")


def test_sets_logged_without_signal_survive_a_reload_and_arrive_once(card, window):
    # localhost is a secure context: the worker keeps the page for reloading
    card.evaluate("navigator.serviceWorker.ready.then(() => true)")
    card.reload()
    expect(card.locator("#set-words")).to_have_text("Set 1 of 12: 97.5 kg × 2")
    card.wait_for_timeout(300)
    card.context.set_offline(True)
    for number in (2, 3, 4):
        card.get_by_role("button", name="Done").tap()
        expect(card.locator("#set-words")).to_have_text(f"Set {number} of 12: 97.5 kg × 2")
    skip_the_undo_time(card)
    card.reload()
    expect(card.locator("#set-words")).to_have_text("Set 4 of 12: 97.5 kg × 2")
    expect(card.locator("#at-gym")).to_have_text("0")
    card.context.set_offline(False)
    skip_the_undo_time(card)
    expect(card.locator("#at-gym")).to_have_text("3")
    assert [item.set_number for item in logs.get_log(gym=ROW)] == [1, 2, 3]


def test_changed_takes_three_taps_at_most(card):
    card.get_by_role("button", name="Changed").tap()
    sheet = card.locator("#changed-sheet")
    sheet.locator("label", has_text=re.compile("^1$")).first.tap()
    sheet.get_by_role("button", name="Log this set").tap()
    expect(card.locator("#set-dots i.changed")).to_have_count(1)
    skip_the_undo_time(card)
    expect(card.locator("#at-gym")).to_have_text("1")
    (kept,) = logs.get_log(gym=ROW)
    assert (kept.outcome, kept.reps_done) == ("changed", 1)


def test_pain_without_signal_is_neither_sent_nor_kept(card):
    card.context.set_offline(True)
    card.get_by_role("button", name="Pain?").tap()
    sheet = card.locator("#pain-sheet")
    sheet.locator("label", has_text="knee").tap()
    sheet.locator("label", has_text=re.compile("^6$")).tap()
    sheet.get_by_role("button", name="Tell the coach").tap()
    expect(card.locator("#pain-answer")).to_contain_text("NOT sent")
    kept = card.evaluate(
        """async () => {
          const names = (await indexedDB.databases()).map((one) => one.name);
          return [names, Object.keys(localStorage), Object.keys(sessionStorage)];
        }"""
    )
    assert kept == [["heftwright-outbox"], [], []]
    card.context.set_offline(False)


def test_pain_told_with_two_taps_is_one_report(card, house):
    card.get_by_role("button", name="Pain?").tap()
    sheet = card.locator("#pain-sheet")
    sheet.get_by_text("knee", exact=True).tap()
    sheet.get_by_text("6", exact=True).tap()
    sheet.get_by_role("button", name="Tell the coach").dblclick()
    expect(card.locator("#pain-answer")).to_contain_text("Your coach can see it")
    assert len(pain.read_pain(gym=ROW, by=TERMINAL, athlete=house.card_athlete)) == 1


def test_pain_with_signal_reaches_the_coach(card):
    card.get_by_role("button", name="Pain?").tap()
    sheet = card.locator("#pain-sheet")
    sheet.locator("label", has_text="knee").tap()
    sheet.locator("label", has_text=re.compile("^6$")).tap()
    sheet.get_by_role("button", name="Tell the coach").tap()
    expect(card.locator("#pain-answer")).to_contain_text("Your coach can see it")


def test_the_thumb_reaches_large_buttons_in_the_lower_part(card):
    """trust.md: floor targets >= 60 px, DONE and MISSED >= 120 px, gap >= 8 px, lower 60 %."""
    boxes = {
        name: card.locator(f"#log-{name}").bounding_box()
        for name in ("done", "missed", "changed", "undo")
    }
    for box in boxes.values():
        assert box["height"] >= 60
        assert box["width"] >= 60
        assert box["y"] >= 0.4 * 844
        assert box["y"] + box["height"] <= 844
    assert boxes["done"]["height"] >= 120
    assert boxes["missed"]["height"] >= 120
    assert boxes["missed"]["x"] - (boxes["done"]["x"] + boxes["done"]["width"]) >= 8
    assert boxes["changed"]["y"] - (boxes["done"]["y"] + boxes["done"]["height"]) >= 8


def test_why_opens_with_one_tap_and_shows_the_rope_chart(card):
    card.locator("summary", has_text="Why").tap()
    expect(card.locator(".rope svg")).to_be_visible()
    expect(card.locator(".reasons li").first).to_be_visible()
