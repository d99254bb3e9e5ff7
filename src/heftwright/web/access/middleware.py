"""The door: reads the table before a view runs, and hands the view who came in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.utils import timezone

from heftwright.domain.refusal import Refusal
from heftwright.usecases import accounts, calendar_feed
from heftwright.usecases import gym as gyms
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.permissions import check_may
from heftwright.usecases.reading import one_reading
from heftwright.web.access.policies import POLICIES, READ, Policy, Who
from heftwright.web.http.refusals import NOT_HERE, answer_to, refused

View = Callable[..., HttpResponse]


class AccessMiddleware:
    """Shut by default: an address opens only as its row says."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        # override puts the clock back: the thread serves another gym next
        with timezone.override(None):
            if request.method not in READ:
                return self.get_response(request)
            with one_reading():
                return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: View, args: tuple[Any, ...], kwargs: dict[str, Any]
    ) -> HttpResponse | None:
        """Let somebody in, send them to sign in, or say there is nothing here."""
        del view, args
        match = request.resolver_match
        policy = POLICIES.get(match.url_name or "") if match else None
        if policy is None:
            return refused(request, NOT_HERE, 404)
        if request.method not in policy.methods:
            return HttpResponseNotAllowed(sorted(policy.methods))
        try:
            return _let_in(request, policy, kwargs)
        except Refusal as error:
            return answer_to(request, error)


def _let_in(request: HttpRequest, policy: Policy, kwargs: dict[str, Any]) -> HttpResponse | None:
    if policy.who is Who.ANYONE:
        return None
    if policy.who in (Who.BOARD, Who.CARD, Who.FEED):
        _by_link(request, policy, kwargs.pop("secret"))
        return None
    if not request.user.is_authenticated:
        return _to_sign_in(request)
    actor = Actor.signed_in(request.user.pk, str(request.user))
    _hand_over(request, actor)
    if policy.who is Who.COACH:
        _in_gym(request, actor, policy, GymKey(kwargs.pop("gym")))
    return None


def _by_link(request: HttpRequest, policy: Policy, secret: str) -> None:
    if policy.who is Who.BOARD:
        actor = accounts.who_is_board(secret=secret)
    elif policy.who is Who.FEED:
        actor = calendar_feed.who_is_feed(secret=secret)
    else:
        actor = accounts.who_is_card(secret=secret)
    assert actor.gym is not None
    _hand_over(request, actor, secret)
    _in_gym(request, actor, policy, actor.gym)


def _in_gym(request: HttpRequest, actor: Actor, policy: Policy, gym: GymKey) -> None:
    if policy.right is not None:
        check_may(actor, gym, policy.right)
    request.gym = card = gyms.get_gym(gym=gym)  # type: ignore[attr-defined] # see GymRequest
    timezone.activate(card.time_zone)


def _hand_over(request: HttpRequest, actor: Actor, secret: str = "") -> None:
    request.actor = actor  # type: ignore[attr-defined] # see requests.GymRequest
    request.secret = secret  # type: ignore[attr-defined] # see requests.GymRequest


def _to_sign_in(request: HttpRequest) -> HttpResponse:
    # an act is not repeated after signing in: the way leads home instead
    way = request.get_full_path() if request.method in READ else "/"
    if request.headers.get("HX-Request"):
        return HttpResponse(status=401, headers={"HX-Redirect": f"/sign-in?next={way}"})
    return redirect_to_login(way, "/sign-in")
