"""Links work once or until revoked; guessing is slow; nobody is locked out or found out."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from yard_cast import OTHER, PASSWORD, TERMINAL, YARD, sign_up

from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId
from heftwright.store import models as rows
from heftwright.usecases import accounts, clock, squad
from heftwright.usecases.accounts import AccountError, LinkError, SignInError, SlowDownError
from heftwright.usecases.permissions import Role, role_in

NOW = datetime(2026, 11, 23, 18, tzinfo=UTC)
ADA = AthleteId("ada")


def sign_in(name="Olga", password=PASSWORD, address="10.0.0.7"):
    return accounts.check_sign_in(name=name, password=password, address=address)


def test_a_first_link_makes_an_account_with_its_role(yard):
    secret = accounts.make_first_sign_in_link(gym=yard, by=TERMINAL, role=Role.ASSISTANT)
    assert accounts.check_first_sign_in(secret=secret) == YARD
    asa = accounts.redeem_first_sign_in(secret=secret, name="Asa", password=PASSWORD)
    assert role_in(asa, yard) is Role.ASSISTANT
    assert role_in(asa, OTHER) is None


def test_a_first_link_works_once(yard):
    secret = accounts.make_first_sign_in_link(gym=yard, by=TERMINAL)
    accounts.redeem_first_sign_in(secret=secret, name="Olga", password=PASSWORD)
    with pytest.raises(LinkError, match="does not work"):
        accounts.redeem_first_sign_in(secret=secret, name="Mallory", password=PASSWORD)
    with pytest.raises(LinkError, match="does not work"):
        accounts.check_first_sign_in(secret=secret)


def test_a_first_link_ends_after_two_days(yard):
    with clock.held_at(NOW):
        secret = accounts.make_first_sign_in_link(gym=yard, by=TERMINAL)
    with clock.held_at(NOW + timedelta(hours=47)):
        assert accounts.check_first_sign_in(secret=secret) == YARD
    with clock.held_at(NOW + timedelta(hours=49)), pytest.raises(LinkError, match="ask your coach"):
        accounts.redeem_first_sign_in(secret=secret, name="Olga", password=PASSWORD)


def test_a_refused_password_does_not_use_the_link_up(yard):
    secret = accounts.make_first_sign_in_link(gym=yard, by=TERMINAL)
    with pytest.raises(AccountError, match="at least 12"):
        accounts.redeem_first_sign_in(secret=secret, name="Olga", password="short")
    accounts.redeem_first_sign_in(secret=secret, name="Olga", password=PASSWORD)


def test_only_the_hash_of_a_secret_is_kept(yard):
    secret = accounts.make_card_link(gym=yard, by=TERMINAL, athlete=ADA)
    row = rows.Token.objects.get()
    assert secret not in (row.digest, row.label)
    assert len(row.digest) == 64


def test_a_coach_signs_in_by_name_or_address_whatever_the_case(people):
    secret = accounts.make_first_sign_in_link(gym=YARD, by=TERMINAL)
    eva = accounts.redeem_first_sign_in(
        secret=secret, name="Eva Stein", password=PASSWORD, email="Eva@Example.org"
    )
    assert sign_in("eva  STEIN") == eva
    assert sign_in("eva@example.org") == eva


def test_a_taken_name_or_odd_address_is_refused(people):
    for name, email, sentence in (
        ("OLGA", "", "taken"),
        ("Pia", "pia at home", "not an e-mail"),
        (" ", "", "1–120 characters"),
    ):
        secret = accounts.make_first_sign_in_link(gym=YARD, by=TERMINAL)
        with pytest.raises(AccountError, match=sentence):
            accounts.redeem_first_sign_in(secret=secret, name=name, password=PASSWORD, email=email)


def test_a_wrong_password_and_an_unknown_name_sound_the_same(people):
    said = []
    for name in ("Olga", "Nobody"):
        with pytest.raises(SignInError, match="do not go together") as caught:
            sign_in(name, "wrong")
        said.append(str(caught.value))
    assert said[0] == said[1]


def test_an_unknown_name_costs_a_hash_too(people, monkeypatch):
    hashed = []
    monkeypatch.setattr(accounts, "make_password", hashed.append)
    with pytest.raises(SignInError, match="do not go together"):
        sign_in("Nobody", "guess")
    assert hashed == ["guess"]


def test_the_sixth_guess_at_a_name_from_one_place_must_wait(people):
    with clock.held_at(NOW):
        for _ in range(5):
            with pytest.raises(SignInError, match="do not go together"):
                sign_in(password="guess")
        with pytest.raises(SlowDownError, match="wait 15 minutes"):
            sign_in()
    with clock.held_at(NOW + timedelta(minutes=16)):
        assert sign_in() == people.owner


def test_a_guesser_elsewhere_never_locks_a_coach_out(people):
    for _ in range(6):
        with pytest.raises(SignInError, match=r"Name and password|Too many tries"):
            sign_in(password="guess", address="203.0.113.9")
    assert sign_in(address="10.0.0.7") == people.owner


def test_many_names_from_one_place_must_wait_too(people):
    for number in range(50):
        with pytest.raises(SignInError, match="do not go together"):
            sign_in(f"name {number}", "guess")
    with pytest.raises(SlowDownError, match="Too many tries"):
        sign_in()


def test_signing_in_forgets_earlier_slips(people):
    for _ in range(3):
        for _ in range(4):
            with pytest.raises(SignInError, match="do not go together"):
                sign_in(password="slip")
        sign_in()


def test_an_account_that_is_switched_off_does_not_sign_in(people):
    rows.Account.objects.filter(pk=people.owner.account).update(is_active=False)
    with pytest.raises(SignInError, match="do not go together"):
        sign_in()
    with pytest.raises(NotFoundError, match="switched off"):
        accounts.get_session_user(account=people.owner.account)


def test_the_web_frameworks_session_gets_its_user(people):
    assert accounts.get_session_user(account=people.owner.account).pk == people.owner.account


def test_a_password_is_changed_with_the_old_one(people):
    with pytest.raises(SignInError, match="old password"):
        accounts.change_password(by=people.owner, old="wrong", new="tacky-and-sandbag-9")
    with pytest.raises(AccountError, match="too common"):
        accounts.change_password(by=people.owner, old=PASSWORD, new="qwertyuiop123")
    accounts.change_password(by=people.owner, old=PASSWORD, new="tacky-and-sandbag-9")
    assert sign_in(password="tacky-and-sandbag-9") == people.owner


def test_coaches_are_listed_with_their_roles(people):
    found = [(item.name, item.role) for item in accounts.get_coaches(gym=YARD)]
    wanted = [("Asa", Role.ASSISTANT), ("Hal", Role.HEAD_COACH), ("Olga", Role.OWNER)]
    assert found == wanted


def test_a_gym_never_loses_its_last_owner(people):
    with pytest.raises(AccountError, match="needs an owner"):
        accounts.change_role(
            gym=YARD, by=people.owner, account=people.owner.account, role=Role.ASSISTANT
        )
    with pytest.raises(AccountError, match="needs an owner"):
        accounts.suspend_coach(gym=YARD, by=people.owner, account=people.owner.account)
    assert role_in(people.owner, YARD) is Role.OWNER


def test_a_suspended_coach_is_out_at_once_and_can_come_back(people):
    asa = people.assistant
    accounts.suspend_coach(gym=YARD, by=people.owner, account=asa.account)
    assert role_in(asa, YARD) is None
    assert accounts.get_coaches(gym=YARD)[0].is_suspended
    accounts.suspend_coach(gym=YARD, by=people.owner, account=asa.account, is_suspended=False)
    assert role_in(asa, YARD) is Role.ASSISTANT


def test_a_stranger_has_no_role_to_change(people):
    with pytest.raises(NotFoundError, match="no such coach"):
        accounts.change_role(
            gym=YARD, by=people.owner, account=people.stranger.account, role=Role.OWNER
        )


def test_a_board_link_shows_its_gym_until_it_is_revoked(yard):
    secret = accounts.make_board_link(gym=yard, by=TERMINAL, label="east wall")
    board = accounts.who_is_board(secret=secret)
    assert (board.name, board.gym) == ("east wall", YARD)
    (line,) = accounts.get_links(gym=yard)
    accounts.revoke_link(gym=yard, by=TERMINAL, link=line.key)
    with pytest.raises(LinkError, match="does not work"):
        accounts.who_is_board(secret=secret)
    with pytest.raises(NotFoundError, match="no such link"):
        accounts.revoke_link(gym=yard, by=TERMINAL, link=line.key)


def test_a_card_link_is_its_athletes_and_no_boards(yard):
    secret = accounts.make_card_link(gym=yard, by=TERMINAL, athlete=ADA)
    card = accounts.who_is_card(secret=secret)
    assert (card.athlete, card.gym, card.name) == (ADA, YARD, "Ada")
    with pytest.raises(LinkError, match="does not work"):
        accounts.who_is_board(secret=secret)


def test_the_card_of_somebody_who_left_opens_nothing(yard):
    secret = accounts.make_card_link(gym=yard, by=TERMINAL, athlete=ADA)
    squad.remove_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    with pytest.raises(LinkError, match="does not work"):
        accounts.who_is_card(secret=secret)


def test_another_gyms_link_cannot_be_revoked(people):
    accounts.make_board_link(gym=YARD, by=TERMINAL)
    (line,) = accounts.get_links(gym=YARD)
    with pytest.raises(NotFoundError, match="no such link"):
        accounts.revoke_link(gym=OTHER, by=people.stranger, link=line.key)


def test_each_sign_up_has_its_own_account(yard):
    ana, ben = (sign_up(YARD, Role.ASSISTANT, name) for name in ("Ana", "Ben"))
    assert ana.account != ben.account
