"""Every kind of page, by screen reader and keyboard: names, roles, order, contrast.

Held against axe-core, which checks what can be checked by machine of WCAG 2.1 A and AA and of its
own good practice; what only people can judge is not here.
"""

from __future__ import annotations

import re
from collections import deque

import pytest
from axe_playwright_python.sync_playwright import Axe
from floor_cast import ROW

AXE = Axe()
LEAST_PAGES = 40
NOT_A_PAGE = re.compile(r"sign-out|/export|\.(csv|zip|pdf|ics|xlsx)$")


def kind_of(url):
    """The page's address without what names one of many: one of a kind is looked at."""
    path = url.partition("?")[0].partition("#")[0]
    path = re.sub(r"/\d{4}-\d\d-\d\d|/\d+", "/N", path)
    return re.sub(r"/(squad|bars|bands|chains|plates|lifts|contests)/(?!new)[^/]+", r"/\1/X", path)


# A name squeezed to its column is taken for as long as it was, and so for lying on the plates.
NO_CONTRAST = {"rules": {"color-contrast": {"enabled": False}}, "resultTypes": ["violations"]}


def complaints_about(page):
    is_board = "/board/" in page.url
    found = AXE.run(page, options=NO_CONTRAST) if is_board else AXE.run(page)
    return [
        f"{page.url} {item['id']}: {node['html'][:160]} {node['failureSummary'][:300]}"
        for item in found.response["violations"]
        for node in item["nodes"]
    ]


def walk(page, start):
    """Follow every link to one page of each kind, and tell what is wrong with it."""
    seen, wrong, waiting = {}, [], deque([start])
    while waiting:
        url = waiting.popleft()
        if kind_of(url) in seen:
            continue
        answer = page.goto(url)
        seen[kind_of(url)] = answer.status
        if "text/html" not in answer.headers.get("content-type", ""):
            continue
        wrong += complaints_about(page)
        links = page.eval_on_selector_all("a[href]", "all => all.map(one => one.href)")
        waiting.extend(url for url in links if f"/gym/{ROW}/" in url and not NOT_A_PAGE.search(url))
    return seen, wrong


@pytest.mark.parametrize(("width", "scheme"), [(1366, "light"), (390, "dark")])
def test_every_page_of_the_desk_can_be_used_without_eyes_or_mouse(coach, width, scheme):
    page = coach(width, 844, scheme, bypass_csp=True)
    seen, wrong = walk(page, page.url)
    assert "\n".join(wrong) == ""
    assert len(seen) >= LEAST_PAGES, sorted(seen)
    assert set(seen.values()) == {200}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_card_board_and_door_can_be_used_without_eyes_or_mouse(window, house, scheme):
    page = window(390, 844, scheme, bypass_csp=True)
    for url in (f"/card/{house.card_secret}/", f"/board/{house.board_secret}/", "/sign-in"):
        page.goto(url)
        assert complaints_about(page) == []


def test_the_check_bites(window, house):
    page = window(390, 844, bypass_csp=True)
    page.goto("/sign-in")
    page.evaluate("document.querySelector('label').remove()")
    assert "label" in complaints_about(page)[0]
