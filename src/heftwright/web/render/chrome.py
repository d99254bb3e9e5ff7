"""The frame around every page of the desk: whose gym, who is here, the ways through it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Protocol

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import NoReverseMatch, reverse

from heftwright.domain.sheet.class_sheet import CLOSING_CAUTION
from heftwright.web.access.requests import GymRequest

_WAYS = (
    ("today", "Today"),
    ("season", "Season"),
    ("squad", "Squad"),
    ("strength", "Maxes"),
    ("stock", "Stock"),
    ("contests", "Contests"),
    ("strain", "Strain"),
    ("import", "Import"),
    ("settings", "Settings"),
)


@dataclass(frozen=True, slots=True)
class Way:
    """One way through the desk."""

    name: str
    url: str
    is_here: bool


@dataclass(frozen=True, slots=True)
class Chrome:
    """What the frame shows."""

    gym: str
    gym_name: str
    viewer_name: str
    ways: tuple[Way, ...]
    caution: str = CLOSING_CAUTION


class DeskPage(Protocol):
    """A page of the desk; ``area`` is the way that leads to it."""

    template: ClassVar[str]
    area: ClassVar[str]


def show_desk(request: GymRequest, page: DeskPage, *, status: int = 200) -> HttpResponse:
    """Render a page of the desk in its frame."""
    context = {"page": page, "chrome": chrome_of(request, page.area)}
    return render(request, page.template, context, status=status)


def chrome_of(request: GymRequest, area: str) -> Chrome:
    """The frame for one viewer."""
    ways = [(key, name, _url(key, request.gym.key)) for key, name in _WAYS]
    return Chrome(
        gym=request.gym.key,
        gym_name=request.gym.name,
        viewer_name=request.actor.name,
        ways=tuple(Way(name, url, key == area) for key, name, url in ways if url),
    )


def _url(key: str, gym: str) -> str:
    try:
        return reverse(key, kwargs={"gym": gym})
    except NoReverseMatch:
        return ""
