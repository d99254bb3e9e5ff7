"""Every address has its row, and every row is kept: who may, by which method (trust.md S1)."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from floor_cast import CLASS_KEY, FAR, ROW

from heftwright.usecases.permissions import RIGHTS_OF_ROLE, Role
from heftwright.web.access.policies import POLICIES, Who


def names(patterns) -> set[str]:
    found = set()
    for item in patterns:
        if isinstance(item, URLResolver):
            found |= names(item.url_patterns)
        elif isinstance(item, URLPattern):
            found.add(item.name)
    return found


ALL = sorted(names(get_resolver("heftwright.web.urls").url_patterns))
COACH_ROWS = [name for name in ALL if POLICIES.get(name) and POLICIES[name].who is Who.COACH]
ROLE_OF = {"owner": Role.OWNER, "head": Role.HEAD_COACH, "assistant": Role.ASSISTANT}


def test_every_address_has_a_row():
    assert [name for name in ALL if name not in POLICIES] == []


def test_every_row_has_an_address():
    assert [name for name in POLICIES if name not in ALL] == []


def test_every_row_of_a_gym_names_a_right():
    rows = {
        name: row for name, row in POLICIES.items() if row.who in (Who.COACH, Who.CARD, Who.BOARD)
    }
    assert [name for name, row in rows.items() if row.right is None] == []


def url_of(name: str, gym: str, house) -> str:
    values = {
        "gym": gym, "athlete": house.card_athlete, "on": house.on, "class_key": CLASS_KEY,
        "index": 0, "proposal": 0,
        "act": "00000000-0000-4000-8000-000000000000", "kind": "bars", "key": "none",
        "day": "2026-11-23",
        "contest": "none", "link": 0, "account": 0, "job": 0, "batch": 0,
        "version": 0, "first": house.on,
    }  # fmt: skip
    wanted = _parameters(name)
    return reverse(name, kwargs={key: values[key] for key in wanted})


def _parameters(name: str) -> tuple[str, ...]:
    ((_, parameters),) = get_resolver("heftwright.web.urls").reverse_dict.getlist(name)[0][0]
    return tuple(parameters)


def method_of(name: str) -> str:
    return "get" if "GET" in POLICIES[name].methods else "post"


# One house a test: each goes through all addresses and names every one that answers wrongly.


def test_without_signing_in_every_door_stays_shut(anyone, house):
    wrong = {}
    for name in COACH_ROWS:
        answer = getattr(anyone, method_of(name))(url_of(name, ROW, house))
        if answer.headers.get("Location", "")[:8] != "/sign-in":
            wrong[name] = answer.status_code
    assert wrong == {}


def test_another_gyms_owner_finds_nothing_and_a_missing_gym_sounds_the_same(stranger, house):
    wrong = {}
    for name in COACH_ROWS:
        theirs = getattr(stranger, method_of(name))(url_of(name, ROW, house))
        missing = getattr(stranger, method_of(name))(url_of(name, "no-such-gym", house))
        if (theirs.status_code, missing.status_code, theirs.content) != (404, 404, missing.content):
            wrong[name] = (theirs.status_code, missing.status_code)
    assert wrong == {}


@pytest.mark.parametrize("role", ROLE_OF)
def test_a_role_opens_what_its_rights_allow_and_nothing_else(role, house, request):
    client: Client = request.getfixturevalue(role)
    wrong = {}
    for name in COACH_ROWS:
        status = getattr(client, method_of(name))(url_of(name, ROW, house)).status_code
        may = POLICIES[name].right in RIGHTS_OF_ROLE[ROLE_OF[role]]
        if (status == 403) == may or status >= 500:
            wrong[name] = status
    assert wrong == {}


def test_methods_outside_the_row_are_refused(head, house):
    wrong = {}
    for name in ALL:
        for method in {"GET", "POST", "PUT", "DELETE", "PATCH"} - POLICIES[name].methods:
            status = head.generic(method, any_url_of(name, house)).status_code
            if status != 405:
                wrong[name, method] = status
    assert wrong == {}


def any_url_of(name, house):
    if POLICIES[name].who is Who.COACH:
        return url_of(name, ROW, house)
    return reverse(name, kwargs=dict.fromkeys(_parameters(name), "x"))


def test_a_board_link_opens_no_card_and_a_wrong_one_nothing(anyone, house):
    wrong = {}
    for name in [n for n in ALL if POLICIES[n].who is Who.CARD]:
        for secret in (house.board_secret, "wrong"):
            url = reverse(name, kwargs={"secret": secret})
            status = getattr(anyone, method_of(name))(url).status_code
            if status != 404:
                wrong[name] = status
    assert wrong == {}


def test_a_suspended_coach_finds_nothing(assistant, owner, house):
    from floor_cast import TERMINAL

    from heftwright.usecases import accounts

    account = next(c.account for c in accounts.get_coaches(gym=ROW) if c.name == "Asa")
    accounts.suspend_coach(gym=ROW, by=TERMINAL, account=account)
    assert assistant.get(f"/gym/{ROW}/today/").status_code == 404


def test_nothing_comes_from_another_house(head, anyone, house):
    for client, url in ((head, f"/gym/{ROW}/today/"), (anyone, f"/card/{house.card_secret}/")):
        answer = client.get(url)
        policy = answer.headers["Content-Security-Policy"]
        assert "unsafe" not in policy
        assert "script-src 'self'" in policy
        page = answer.content.decode()
        for address in ("https://", "http://"):
            outside = [
                part for part in page.split(address)[1:] if not part.startswith("www.w3.org")
            ]
            assert outside == []
        assert " style=" not in page
        assert "<script>" not in page


def test_forms_without_their_token_are_refused(house):
    client = Client(enforce_csrf_checks=True)
    assert client.post("/sign-in", {"name": "Hal", "password": "x"}).status_code == 403


def test_the_same_words_for_no_such_page(head, house):
    assert head.get("/gym/").status_code == 404
    assert "nothing here" in head.get("/nowhere").content.decode()


def test_far_shed_has_its_own_door(stranger, house):
    assert stranger.get(f"/gym/{FAR}/squad/").status_code == 200
