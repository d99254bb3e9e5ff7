"""Settings: the gym, its week of classes, board and card links, its coaches."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId, ClassTime
from heftwright.usecases import accounts, timetable
from heftwright.usecases import gym as gyms
from heftwright.usecases import squad as squads
from heftwright.usecases.accounts import Coach, LinkLine
from heftwright.usecases.permissions import Right, Role, can
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import read_form
from heftwright.web.http.saving import saved_or_shown
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.codes import qr_code
from heftwright.web.render.forms import Field, Form, Kind, form_of

GYM_FORM = form_of(
    (
        Field("name", "The gym's name", is_required=True),
        Field("time_zone", "Time zone", hint="As Europe/Vienna.", is_required=True),
        Field(
            "unit", "Pages show", Kind.CHOICE, choices=tuple((u.value, u.value) for u in MassUnit)
        ),
    )
)
_ROLES = tuple((role.value, role.value.replace("_", " ")) for role in Role)
_INVITE = form_of(
    (
        Field("role", "Role", Kind.CHOICE, choices=_ROLES, is_required=True),
        Field("label", "For whom"),
    )
)


@dataclass(frozen=True, slots=True)
class SettingsPage:
    """All settings."""

    template: ClassVar[str] = "desk/settings.html"
    area: ClassVar[str] = "settings"

    gym_form: Form
    invite_form: Form
    classes: tuple[ClassTime, ...]
    links: tuple[LinkLine, ...]
    coaches: tuple[Coach, ...]
    may_manage: bool
    may_link: bool
    problem: str = ""


@dataclass(frozen=True, slots=True)
class SecretPage:
    """A new link, shown once with its code to scan."""

    template: ClassVar[str] = "desk/secret.html"
    area: ClassVar[str] = "settings"

    title: str
    words: str
    url: str
    code: str
    back_url: str


def settings(request: GymRequest) -> HttpResponse:
    """Everything that can be set."""
    gym = request.gym
    form = GYM_FORM.filled({"name": gym.name, "time_zone": gym.time_zone, "unit": gym.unit.value})
    return show_desk(request, _page(request, form))


def gym_change(request: GymRequest) -> HttpResponse:
    """The gym's name, time zone and unit."""

    def save(values: Mapping[str, Any]) -> HttpResponse:
        gyms.change_gym(
            gym=request.gym.key, by=request.actor, name=values["name"],
            time_zone=values["time_zone"], unit=MassUnit(values["unit"]),
        )  # fmt: skip
        messages.success(request, "Saved.")
        return redirect("settings", gym=request.gym.key)

    return saved_or_shown(request, GYM_FORM, save, partial(_page, request))


def board_link(request: GymRequest) -> HttpResponse:
    """A new link for a wall board."""
    secret = accounts.make_board_link(gym=request.gym.key, by=request.actor)
    words = "Open it in the TV's browser, full screen. It shows the class of the day until revoked."
    return _secret(request, "A link for a wall board", words, reverse("board", args=[secret]))


def card_link(request: GymRequest, athlete: AthleteId) -> HttpResponse:
    """A new link for an athlete's card."""
    gym = request.gym.key
    name = squads.get_athlete(gym=gym, athlete=athlete).name
    secret = accounts.make_card_link(gym=gym, by=request.actor, athlete=athlete)
    words = f"{name} scans it once. Whoever has it can log as {name}: revoke it when it is lost."
    return _secret(request, f"{name}'s card", words, reverse("card", args=[secret]))


def coach_invite(request: GymRequest) -> HttpResponse:
    """A link with which one person makes an account, once."""
    answers = read_form(_INVITE, request.POST)
    if not answers.is_sound:
        raise Refusal("Choose the role of the new coach.")
    role = Role(answers.values["role"])
    secret = accounts.make_first_sign_in_link(
        gym=request.gym.key, by=request.actor, role=role, label=answers.values["label"]
    )
    words = f"It works once, within {accounts.FIRST_SIGN_IN_HOURS} hours."
    title = f"A first sign-in link: {role.value.replace('_', ' ')}"
    return _secret(request, title, words, reverse("first_sign_in", args=[secret]))


def link_revoke(request: GymRequest, link: int) -> HttpResponse:
    """A link that works no longer."""
    accounts.revoke_link(gym=request.gym.key, by=request.actor, link=link)
    messages.success(request, "The link works no longer.")
    return redirect("settings", gym=request.gym.key)


def coach_suspend(request: GymRequest, account: int) -> HttpResponse:
    """Withdraw a coach's role, or give it back."""
    accounts.suspend_coach(
        gym=request.gym.key, by=request.actor, account=account,
        is_suspended=request.POST.get("suspend") == "yes",
    )  # fmt: skip
    return redirect("settings", gym=request.gym.key)


def _secret(request: GymRequest, title: str, words: str, path: str) -> HttpResponse:
    url = request.build_absolute_uri(path)
    back = reverse("settings", args=[request.gym.key])
    answer = show_desk(request, SecretPage(title, words, url, qr_code(url), back))
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _page(request: GymRequest, form: Form, problem: str = "") -> SettingsPage:
    gym = request.gym.key
    may_manage = can(request.actor, gym, Right.MANAGE_GYM)
    return SettingsPage(
        gym_form=form,
        invite_form=_INVITE,
        classes=timetable.get_timetable(gym=gym).classes,
        links=accounts.get_links(gym=gym),
        coaches=accounts.get_coaches(gym=gym),
        may_manage=may_manage,
        may_link=can(request.actor, gym, Right.MAKE_LINKS),
        problem=problem,
    )
