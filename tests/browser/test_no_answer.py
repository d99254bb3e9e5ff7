"""A tap that the server cannot answer is never met with silence."""

from __future__ import annotations

import pytest
from floor_cast import ROW
from playwright.sync_api import expect


def send_a_list(page):
    squad = {"name": "squad.csv", "mimeType": "text/csv", "buffer": b"Name,Sex\nAda Lind,woman\n"}
    page.set_input_files("#f-files", squad)
    page.get_by_role("button", name="Look at them").click()


@pytest.mark.parametrize("fate", ["fault", "silence"])
def test_a_failed_tap_says_so_until_one_succeeds(coach, window, fate):
    page = coach()
    page.goto(f"/gym/{ROW}/import/")
    fail = {
        "fault": lambda route: route.fulfill(status=500, body="<h1>broken</h1>"),
        "silence": lambda route: route.abort("internetdisconnected"),
    }
    page.route("**/import/preview", fail[fate])
    send_a_list(page)
    said = {"fault": "could not do this (error 500)", "silence": "No answer from the server"}
    expect(page.locator("#no-answer")).to_contain_text(said[fate])
    page.unroute("**/import/preview")
    send_a_list(page)
    expect(page.locator("#preview")).to_contain_text("squad.csv")
    expect(page.locator("#no-answer")).to_be_empty()
    expected = [line for line in window.complaints if "500" in line or "Response Status" in line]
    window.complaints[:] = [line for line in window.complaints if line not in expected]
