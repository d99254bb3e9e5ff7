"""Contests abroad: the days of travel, entered on the contest's page."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect

from heftwright.domain.contest import ContestId, Travel
from heftwright.usecases import travels
from heftwright.web.access.requests import GymRequest
from heftwright.web.desk.undo import say_undoable
from heftwright.web.render.forms import Field, Kind, form_of
from heftwright.web.season.menus import read

_FORM = form_of(
    (
        Field("days_before", "Days away before it", Kind.WHOLE, is_required=True),
        Field("days_after", "Days away after it", Kind.WHOLE, is_required=True),
    )
)


def contest_travel(request: GymRequest, contest: ContestId) -> HttpResponse:
    """Enter the days of travel; none before and after: nobody travels."""
    gym = request.gym.key
    values = read(_FORM, request.POST)
    before, after = int(str(values["days_before"])), int(str(values["days_after"]))
    if before or after:
        travels.set_travel(gym=gym, by=request.actor, travel=Travel(contest, before, after))
    elif travels.find_travel(gym=gym, contest=contest) is not None:
        travels.drop_travel(gym=gym, by=request.actor, contest=contest)
    words = "Saved. Whoever is entered has no training on those days; plan the season again."
    say_undoable(request, words, f"travel/{contest}")
    return redirect("contest", gym=gym, contest=contest)
