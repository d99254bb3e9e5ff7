"""Everything sound that waits, shown first, then accepted in one act; what is stopped stays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.catalogue import Lift
from heftwright.domain.mass import MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete
from heftwright.usecases import max_decisions, maxes, trail
from heftwright.usecases.maxes import Proposal
from heftwright.usecases.strength_pages import get_squad_strength
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk

Row = tuple[Athlete, Lift, Proposal]


@dataclass(frozen=True, slots=True)
class AcceptAllPage:
    """What one act would accept, and what it would leave."""

    template: ClassVar[str] = "strength/accept_all.html"
    area: ClassVar[str] = "strength"

    sound: tuple[Row, ...]
    stopped: tuple[Row, ...]
    mark: str
    unit: MassUnit
    problem: str = ""


def strength_all(request: GymRequest) -> HttpResponse:
    """Show it; on POST accept exactly what was shown, with a way back."""
    gym = request.gym.key
    if request.method != "POST":
        maxes.look_at_log(gym=gym, by=request.actor)
        return show_desk(request, _page(request))
    try:
        keys = max_decisions.accept_all_proposals(
            gym=gym, by=request.actor, was_seen=request.POST.get("seen", "")
        )
    except Refusal as error:
        return show_desk(request, _page(request, str(error)), status=status_of(error))
    (line,) = trail.get_trail(gym=gym, subject=f"proposal/{keys[0]}", limit=1)
    way = reverse("strength_all_back", args=[gym, line.act])
    words = f"{len(keys)} max{'' if len(keys) == 1 else 'es'} accepted. The next plan uses them."
    messages.success(request, words, way)
    return redirect("strength", gym=gym)


def strength_all_back(request: GymRequest, act: UUID) -> HttpResponse:
    """Undo the act: what it accepted waits again."""
    gym = request.gym.key
    count = max_decisions.take_back_decisions(gym=gym, by=request.actor, act=act)
    messages.success(request, f"Taken back: {count} wait again.")
    return redirect("strength", gym=gym)


def _page(request: GymRequest, problem: str = "") -> AcceptAllPage:
    gym = request.gym.key
    waiting = max_decisions.get_waiting(gym=gym)
    named = {item.key: row for row in get_squad_strength(gym=gym).waiting for item in (row[2],)}
    return AcceptAllPage(
        tuple(named[item.key] for item in waiting.sound if item.key in named),
        tuple(named[item.key] for item in waiting.stopped if item.key in named),
        waiting.mark, request.gym.unit, problem,
    )  # fmt: skip
