"""Signing in: one-use links, then passwords; secret links for board and card."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction
from django.db.models import Q

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import AthleteId
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import (
    Account,
    Membership,
    Role,
    SignInFailure,
    Token,
    TokenKind,
)
from heftwright.store.squad_rows import athlete_row
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import Trail, change, verb
from heftwright.usecases.coaches import (
    AccountError,
    Coach,
    change_role,
    get_coaches,
    suspend_coach,
)
from heftwright.usecases.permissions import Right

__all__ = [
    "AccountError",
    "Coach",
    "LinkError",
    "LinkLine",
    "SignInError",
    "SlowDownError",
    "change_password",
    "change_role",
    "check_first_sign_in",
    "check_sign_in",
    "dead_link",
    "get_coaches",
    "get_links",
    "get_session_user",
    "live_token",
    "make_board_link",
    "make_card_link",
    "make_first_sign_in_link",
    "make_token",
    "redeem_first_sign_in",
    "revoke_link",
    "suspend_coach",
    "who_is_board",
    "who_is_card",
]


FIRST_SIGN_IN_HOURS = 48
FAILURES_BY_NAME_AND_ADDRESS = 5
FAILURES_BY_ADDRESS = 50
WINDOW = timedelta(minutes=15)


class SignInError(Refusal):
    """Signing in did not work; the sentence never says whether the name exists."""


class SlowDownError(SignInError):
    """Too many tries from one place (HTTP 429)."""


class LinkError(Refusal):
    """A link that opens nothing (any more)."""


@dataclass(frozen=True, slots=True)
class LinkLine:
    """A board or card link that works, without its secret.

    Parameters
    ----------
    key : int
        To revoke it by.
    kind : TokenKind
        Board or card.
    label : str
        What the coach called it; the athlete's name for a card.
    athlete : AthleteId or None
        Whose card.
    made_at : datetime
        Aware.
    """

    key: int
    kind: TokenKind
    label: str
    athlete: AthleteId | None
    made_at: datetime


@verb
def make_first_sign_in_link(
    *, gym: GymKey, by: Actor, role: Role = Role.OWNER, label: str = ""
) -> str:
    """A secret that lets one person make an account with a role, once, within 48 hours.

    Returns
    -------
    str
        The secret, for the end of a link; only its hash is kept.
    """
    with change(gym, by, "make_first_sign_in_link", Right.MANAGE_GYM) as trail:
        expires = trail.moment + timedelta(hours=FIRST_SIGN_IN_HOURS)
        return make_token(
            trail, Token(kind=TokenKind.FIRST_SIGN_IN, role=role, label=label, expires_at=expires)
        )


def check_first_sign_in(*, secret: str) -> GymKey:
    """The gym that an unused link opens, to show its page.

    Raises
    ------
    LinkError
        If the link is used, too old or wrong.
    """
    return GymKey(live_token(secret, TokenKind.FIRST_SIGN_IN).gym.slug)


@verb
def redeem_first_sign_in(*, secret: str, name: str, password: str, email: str = "") -> Actor:
    """Make an account from a first sign-in link, which is used up.

    Raises
    ------
    LinkError
        If the link is used, too old or wrong.
    AccountError
        If the name or address is taken or the password too easy to guess.
    """
    with transaction.atomic():
        token = live_token(secret, TokenKind.FIRST_SIGN_IN)
        used = Token.objects.filter(pk=token.pk, used_at=None).update(used_at=clock.now())
        if not used:
            raise dead_link()
        account = _new_account(name, password, email)
        Membership.objects.create(gym=token.gym, account=account, role=token.role)
        by = Actor.signed_in(account.pk, account.name)
        trail = Trail(token.gym, by, "redeem_first_sign_in")
        trail.note(f"account/{account.pk}", None, {"name": account.name, "role": str(token.role)})
        trail.write()
    return by


def check_sign_in(*, name: str, password: str, address: str) -> Actor:
    """Who signs in with this name or e-mail address and password.

    Tries are counted for the name *from one address*, and for the address: a stranger can slow
    down themselves, never lock a coach out. An unknown name takes as long as a wrong password.

    Raises
    ------
    SignInError
        If the two do not go together.
    SlowDownError
        If this address tried too often.
    """
    name_digest = _hash(_folded(name))
    _check_pace(name_digest, address)
    account = _account_named(name)
    if account is None:
        make_password(password)  # as long as a real check: no telling which names exist
    if account is None or not account.is_active or not account.check_password(password):
        SignInFailure.objects.create(name_digest=name_digest, address=address, at=clock.now())
        raise SignInError("Name and password do not go together. Check both and try again.")
    SignInFailure.objects.filter(name_digest=name_digest, address=address).delete()
    return Actor.signed_in(account.pk, account.name)


def get_session_user(*, account: int) -> AbstractBaseUser:
    """The account as the web framework's sessions need it, for ``django.contrib.auth.login``.

    Raises
    ------
    NotFoundError
        If it is gone or switched off.
    """
    found = Account.objects.filter(pk=account, is_active=True).first()
    if found is None:
        raise NotFoundError("This account is switched off: ask the gym's owner.")
    return found


@verb
def change_password(*, by: Actor, old: str, new: str) -> None:
    """Change one's own password.

    Raises
    ------
    SignInError
        If the old one is wrong.
    AccountError
        If the new one is too easy to guess.
    """
    with transaction.atomic():
        account = Account.objects.filter(pk=by.account or 0, is_active=True).first()
        if account is None or not account.check_password(old):
            raise SignInError("The old password is not right.")
        _set_password(account, new)
        account.save(update_fields=["password"])
        for membership in account.memberships.select_related("gym"):
            trail = Trail(membership.gym, by, "change_password")
            trail.note(f"account/{account.pk}")
            trail.write()


@verb
def make_board_link(*, gym: GymKey, by: Actor, label: str = "wall board") -> str:
    """A secret for one wall board: it shows tonight's class until it is revoked."""
    with change(gym, by, "make_board_link", Right.MAKE_LINKS) as trail:
        return make_token(trail, Token(kind=TokenKind.BOARD, label=label[:80]))


@verb
def make_card_link(*, gym: GymKey, by: Actor, athlete: AthleteId) -> str:
    """A secret for an athlete's own card, until it is revoked.

    Raises
    ------
    NotFoundError
        If the gym never had such an athlete.
    """
    with change(gym, by, "make_card_link", Right.MAKE_LINKS) as trail:
        row = athlete_row(trail.gym, athlete)
        return make_token(trail, Token(kind=TokenKind.CARD, label=row.name[:80], athlete=row))


def get_links(*, gym: GymKey) -> tuple[LinkLine, ...]:
    """Board, card and calendar links that work, latest first."""
    kinds = (TokenKind.BOARD, TokenKind.CARD, TokenKind.FEED)
    found = Token.objects.filter(gym=find_gym(gym), kind__in=kinds, revoked_at=None)
    return tuple(
        LinkLine(
            row.pk,
            row.kind,
            row.label,
            None if row.athlete is None else AthleteId(row.athlete.key),
            row.created_at,
        )
        for row in found.select_related("athlete").order_by("-pk")
    )


@verb
def revoke_link(*, gym: GymKey, by: Actor, link: int) -> None:
    """Make a link stop working at once.

    Raises
    ------
    NotFoundError
        If there is no such link that works.
    """
    with change(gym, by, "revoke_link", Right.MAKE_LINKS) as trail:
        found = Token.objects.filter(gym=trail.gym, pk=link, revoked_at=None)
        if not found.update(revoked_at=trail.moment):
            raise NotFoundError("There is no such link any more: look at the list again.")
        trail.note(f"link/{link}", {"works": True}, {"works": False})


def who_is_board(*, secret: str) -> Actor:
    """The wall board that shows this secret.

    Raises
    ------
    LinkError
        If it opens nothing.
    """
    token = live_token(secret, TokenKind.BOARD)
    return Actor.board(GymKey(token.gym.slug), token.label or "wall board")


def who_is_card(*, secret: str) -> Actor:
    """The athlete whose card shows this secret.

    Raises
    ------
    LinkError
        If it opens nothing, or the athlete has left.
    """
    token = live_token(secret, TokenKind.CARD)
    if token.athlete is None or token.athlete.removed_at is not None:
        raise dead_link()
    return Actor.card_of(AthleteId(token.athlete.key), token.athlete.name, GymKey(token.gym.slug))


def make_token(trail: Trail, token: Token) -> str:
    """Keep a token's hash and return its secret."""
    secret = secrets.token_urlsafe(32)
    token.gym = trail.gym
    token.digest = _hash(secret)
    token.created_at = trail.moment
    token.save()
    trail.note(f"link/{token.pk}", None, {"kind": str(token.kind), "label": token.label})
    return secret


def live_token(secret: str, kind: TokenKind) -> Token:
    """The token of a secret that works.

    Raises
    ------
    LinkError
        If it opens nothing (any more).
    """
    found = Token.objects.filter(digest=_hash(secret), kind=kind, used_at=None, revoked_at=None)
    fresh = Q(expires_at=None) | Q(expires_at__gt=clock.now())
    token = found.filter(fresh).select_related("gym", "athlete").first()
    if token is None:
        raise dead_link()
    return token


def dead_link() -> LinkError:
    """The sentence for a link that opens nothing."""
    return LinkError("This link does not work (any more): ask your coach for a new one.")


def _check_pace(name_digest: str, address: str) -> None:
    recent = SignInFailure.objects.filter(address=address, at__gt=clock.now() - WINDOW)
    by_name = recent.filter(name_digest=name_digest).count()
    if by_name >= FAILURES_BY_NAME_AND_ADDRESS or recent.count() >= FAILURES_BY_ADDRESS:
        raise SlowDownError("Too many tries from this place: wait 15 minutes, then try again.")


def _new_account(name: str, password: str, email: str) -> Account:
    name = name.strip()
    if not 1 <= len(name) <= 120:
        raise AccountError("Your name must have 1–120 characters.")
    _check_email(email)
    if _account_named(name) is not None or (email and _account_named(email) is not None):
        raise AccountError("This name or e-mail address is taken: write yours another way.")
    account = Account(name=name, sign_in_name=_folded(name), email=_folded(email) or None)
    _set_password(account, password)
    account.save()
    return account


def _check_email(email: str) -> None:
    if not email:
        return
    try:
        validate_email(email)
    except ValidationError as error:
        raise AccountError(f"“{email}” is not an e-mail address.") from error


def _set_password(account: Account, password: str) -> None:
    try:
        validate_password(password, account)
    except ValidationError as error:
        raise AccountError(" ".join(error.messages)) from error
    account.set_password(password)


def _account_named(name: str) -> Account | None:
    folded = _folded(name)
    return Account.objects.filter(Q(sign_in_name=folded) | Q(email=folded)).first()


def _folded(name: str) -> str:
    return " ".join(name.casefold().split())


def _hash(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
