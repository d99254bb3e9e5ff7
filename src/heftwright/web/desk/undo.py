"""Taking an act back."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.usecases import trail
from heftwright.web.access.requests import GymRequest


def say_undoable(request: GymRequest, words: str, subject: str) -> None:
    """Say what was done, with a button that takes it back."""
    gym = request.gym.key
    lines = trail.get_trail(gym=gym, subject=subject, limit=1)
    way = reverse("undo", kwargs={"gym": gym, "act": lines[0].act}) if lines else ""
    messages.success(request, words, way)


def undo(request: GymRequest, act: UUID) -> HttpResponse:
    """Put everything that one act changed back as it was."""
    trail.undo(gym=request.gym.key, by=request.actor, act=act)
    messages.success(request, "Taken back.")
    return redirect(_page_before(request))


def _page_before(request: GymRequest) -> str:
    """The page the button stood on; the header is the browser's own, so only its path is used."""
    path = request.headers.get("Referer", "").partition("//")[2].partition("/")[2]
    gym_pages = f"gym/{request.gym.key}/"
    return f"/{path}" if path.startswith(gym_pages) else f"/{gym_pages}squad/"
