"""Signing in and out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme

from heftwright.domain.refusal import Refusal
from heftwright.usecases import accounts
from heftwright.usecases import gym as gyms
from heftwright.usecases.actor import Actor
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.page import show

_SIGN_IN = form_of(
    (
        Field("name", "Name or e-mail", is_required=True, autocomplete="username"),
        Field(
            "password", "Password", Kind.SECRET, is_required=True, autocomplete="current-password"
        ),
    )
)
_FIRST = form_of(
    (
        Field("name", "Your name", is_required=True, autocomplete="username"),
        Field("email", "E-mail, if you want", autocomplete="email"),
        Field("password", "Password", Kind.SECRET, is_required=True, autocomplete="new-password"),
    )
)


@dataclass(frozen=True, slots=True)
class SignInPage:
    """The sign-in page."""

    template: ClassVar[str] = "door/sign_in.html"

    form: Form
    next_url: str
    problem: str = ""


@dataclass(frozen=True, slots=True)
class FirstSignInPage:
    """The page behind a link that works once."""

    template: ClassVar[str] = "door/first_sign_in.html"

    form: Form
    gym_name: str
    problem: str = ""


def home(request: GymRequest) -> HttpResponse:
    """On to the first gym that is theirs."""
    mine = gyms.get_gyms(by=request.actor)
    if not mine:
        raise Refusal("Your account has no gym (any more): ask the owner for a new link.")
    return redirect("today", gym=mine[0].key)


def sign_in(request: HttpRequest) -> HttpResponse:
    """Name and password, or the page that asks for them."""
    next_url = _safe_next(request)
    if request.method != "POST":
        return show(request, SignInPage(_SIGN_IN, next_url))
    answers = read_form(_SIGN_IN, request.POST)
    try:
        if not answers.is_sound:
            return show(request, SignInPage(answers.form, next_url), status=422)
        actor = accounts.check_sign_in(
            name=answers.values["name"],
            password=answers.values["password"],
            address=request.META["REMOTE_ADDR"],
        )
    except Refusal as error:
        page = SignInPage(_without_secret(answers.form), next_url, str(error))
        return show(request, page, status=status_of(error))
    return _welcome(request, actor, next_url)


def first_sign_in(request: HttpRequest, secret: str) -> HttpResponse:
    """Make an account from a link that works once."""
    gym = gyms.get_gym(gym=accounts.check_first_sign_in(secret=secret))
    if request.method != "POST":
        return show(request, FirstSignInPage(_FIRST, gym.name))
    answers = read_form(_FIRST, request.POST)
    if not answers.is_sound:
        return show(request, FirstSignInPage(_without_secret(answers.form), gym.name), status=422)
    try:
        actor = accounts.redeem_first_sign_in(secret=secret, **answers.values)
    except accounts.AccountError as error:
        page = FirstSignInPage(_without_secret(answers.form), gym.name, str(error))
        return show(request, page, status=422)
    return _welcome(request, actor, "/")


def sign_out(request: GymRequest) -> HttpResponse:
    """Leave."""
    logout(request)
    return redirect("sign_in")


def _welcome(request: HttpRequest, actor: Actor, next_url: str) -> HttpResponse:
    assert actor.account is not None
    user = accounts.get_session_user(account=actor.account)
    login(request, user)  # type: ignore[arg-type] # pages do not see the account's own class
    return redirect(next_url or "/")


def _safe_next(request: HttpRequest) -> str:
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    hosts = {request.get_host()}
    return wanted if url_has_allowed_host_and_scheme(wanted, hosts, request.is_secure()) else ""


def _without_secret(form: Form) -> Form:
    return form.filled({"password": ""})
