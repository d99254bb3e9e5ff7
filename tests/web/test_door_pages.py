"""Signing in: once by a link, then by name and password; never telling which names exist."""

import pytest
from django.test import Client
from floor_cast import PASSWORD, ROW, TERMINAL

from heftwright.usecases import accounts
from heftwright.usecases.permissions import Role


def test_a_signed_in_coach_lands_in_the_gym(head, house):
    assert head.get("/").headers["Location"] == f"/gym/{ROW}/today/"


@pytest.mark.parametrize(("name", "password"), [("Hal", "wrong"), ("Nobody", PASSWORD)])
def test_a_wrong_name_and_a_wrong_password_sound_the_same(anyone, house, name, password):
    answer = anyone.post("/sign-in", {"name": name, "password": password})
    assert answer.status_code == 422
    assert "do not go together" in answer.content.decode()


def test_the_password_is_never_written_back_into_the_page(anyone, house):
    answer = anyone.post("/sign-in", {"name": "Hal", "password": "a wrong secret"})
    assert "a wrong secret" not in answer.content.decode()


def test_too_many_tries_are_slowed_down(anyone, house):
    for _ in range(5):
        anyone.post("/sign-in", {"name": "Hal", "password": "wrong"})
    answer = anyone.post("/sign-in", {"name": "Hal", "password": PASSWORD})
    assert answer.status_code == 429


def test_after_signing_in_the_way_leads_where_one_wanted_to_go(anyone, house):
    asked = anyone.get(f"/gym/{ROW}/squad/")
    assert asked.headers["Location"].endswith(f"next=/gym/{ROW}/squad/")
    answer = anyone.post(
        "/sign-in", {"name": "Hal", "password": PASSWORD, "next": f"/gym/{ROW}/squad/"}
    )
    assert answer.headers["Location"] == f"/gym/{ROW}/squad/"


def test_the_way_never_leads_to_another_house(anyone, house):
    wanted = "https://elsewhere.example/"
    answer = anyone.post("/sign-in", {"name": "Hal", "password": PASSWORD, "next": wanted})
    assert answer.headers["Location"] == "/"


def test_a_first_sign_in_link_works_once(anyone, house):
    secret = accounts.make_first_sign_in_link(gym=ROW, by=TERMINAL, role=Role.ASSISTANT)
    typed = {"name": "Ida", "email": "", "password": PASSWORD}
    assert "Dunnock Row" in anyone.get(f"/first/{secret}").content.decode()
    assert anyone.post(f"/first/{secret}", typed).status_code == 302
    assert anyone.get("/").headers["Location"] == f"/gym/{ROW}/today/"
    assert Client().get(f"/first/{secret}").status_code == 404


def test_a_password_that_is_easy_to_guess_is_refused_with_the_reason(anyone, house):
    secret = accounts.make_first_sign_in_link(gym=ROW, by=TERMINAL)
    answer = anyone.post(f"/first/{secret}", {"name": "Ida", "email": "", "password": "short"})
    assert answer.status_code == 422
    assert "12 characters" in answer.content.decode()


def test_signing_out_shuts_the_door(head, house):
    head.post("/sign-out")
    assert head.get("/").status_code == 302
