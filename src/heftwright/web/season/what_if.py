"""What if: suppose something, see the changed days side by side, adopt it or drop it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, ClassVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from heftwright.domain.catalogue import KitKey
from heftwright.domain.contest import Contest, ContestId
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId, Restriction
from heftwright.usecases import clock, contests, jobs, squad, stock
from heftwright.usecases import season as seasons
from heftwright.usecases import what_if as copies
from heftwright.usecases.jobs import JobCard
from heftwright.usecases.permissions import Right, can
from heftwright.usecases.season import KitAway
from heftwright.usecases.what_if import Hurt, MovedContest, Supposition, WhatIf
from heftwright.web.access.requests import GymRequest
from heftwright.web.http.reading import read_form
from heftwright.web.http.refusals import status_of
from heftwright.web.render.chrome import show_desk
from heftwright.web.render.forms import Field, Form, Kind, form_of

TAGS = (
    ("overhead", "nothing overhead"),
    ("spine_heavy", "nothing heavy for the spine"),
    ("knee_heavy", "nothing heavy for the knees"),
    ("grip_heavy", "nothing heavy for the grip"),
    ("biceps_risk", "nothing that risks the biceps"),
)
_IMPORTANCE = (("1", "minor"), ("2", "wanted"), ("3", "the one"))


@dataclass(frozen=True, slots=True)
class Ask:
    """One kind of supposition as a small form."""

    kind: str
    title: str
    form: Form
    button: str


@dataclass(frozen=True, slots=True)
class WhatIfPage:
    """What can be supposed."""

    template: ClassVar[str] = "season/what_if.html"
    area: ClassVar[str] = "season"

    asks: tuple[Ask, ...]
    has_season: bool
    problem: str = ""


@dataclass(frozen=True, slots=True)
class CopyPage:
    """A copy being planned, or beside the season."""

    template: ClassVar[str] = "season/copy.html"
    area: ClassVar[str] = "season"

    job: JobCard
    copy: WhatIf | None
    may_plan: bool


def what_if(request: GymRequest) -> HttpResponse:
    """Suppose something; the copy is planned in the background."""
    asks = _asks(request)
    if request.method != "POST":
        return show_desk(request, _page(request, asks))
    kind = request.POST.get("kind", "")
    ask = next((item for item in asks if item.kind == kind), None)
    if ask is None:
        return show_desk(request, _page(request, asks, "Choose what to suppose."), status=422)
    answers = read_form(ask.form, request.POST)
    asks = tuple(replace(a, form=answers.form) if a.kind == kind else a for a in asks)
    if not answers.is_sound:
        return show_desk(request, _page(request, asks), status=422)
    try:
        supposition = _READERS[kind](request, answers.values)
        job = copies.start_what_if(gym=request.gym.key, by=request.actor, supposition=supposition)
    except Refusal as error:
        page = _page(request, asks, str(error))
        return show_desk(request, page, status=status_of(error))
    return redirect("what_if_copy", gym=request.gym.key, job=job)


def what_if_copy(request: GymRequest, job: int) -> HttpResponse:
    """The copy beside the season, or how far it is."""
    gym = request.gym.key
    copy = copies.get_what_if(gym=gym, job=job)
    card = jobs.get_job(gym=gym, job=job)
    may_plan = can(request.actor, gym, Right.PLAN_SEASON)
    return show_desk(request, CopyPage(card, copy, may_plan))


def what_if_adopt(request: GymRequest, job: int) -> HttpResponse:
    """Make it true."""
    gym = request.gym.key
    version = seasons.get_season_strip(gym=gym).plan_version
    copies.adopt_what_if(gym=gym, by=request.actor, job=job)
    back = reverse("season_back", kwargs={"gym": gym, "version": version})
    messages.success(
        request, "Adopted. Undo puts the plan back; a contest's day is changed in Contests.", back
    )
    return redirect("season", gym=gym)


def _page(request: GymRequest, asks: tuple[Ask, ...], problem: str = "") -> WhatIfPage:
    has_season = seasons.find_planned_season(gym=request.gym.key) is not None
    return WhatIfPage(asks, has_season, problem)


def _asks(request: GymRequest) -> tuple[Ask, ...]:
    gym = request.gym.key
    today = clock.today(gym)
    ahead = [c for c in contests.get_contests(gym=gym) if c.on >= today]
    names = tuple((c.id, f"{c.name}, {c.on:%-d %b %Y}") for c in ahead)
    found = []
    if names:
        found.append(_moved_ask(names))
        found.append(_added_ask(tuple((c.id, f"as in {c.name}") for c in ahead)))
    found.append(_away_ask(gym))
    people = squad.get_squad(gym=gym)
    found.append(_hurt_ask(tuple((a.id, f"{a.number} {a.name}") for a in people), today))
    return tuple(found)


def _moved_ask(names: tuple[tuple[str, str], ...]) -> Ask:
    fields = (
        Field("contest", "Contest", Kind.CHOICE, choices=names, is_required=True),
        Field("on", "New day", Kind.DAY, is_required=True),
    )
    return Ask("moved", "A contest is moved", form_of(fields), "Move it on a copy")


def _added_ask(events: tuple[tuple[str, str], ...]) -> Ask:
    fields = (
        Field("name", "Name", is_required=True),
        Field("on", "Day", Kind.DAY, is_required=True),
        Field("like", "Events and entries", Kind.CHOICE, choices=events, is_required=True),
        Field("importance", "Importance", Kind.CHOICE, choices=_IMPORTANCE, is_required=True),
        Field("squad_taper", "The whole squad eases for it", Kind.CHECK),
    )
    return Ask("added", "A contest is added", form_of(fields), "Add it on a copy")


def _away_ask(gym: Any) -> Ask:
    units = stock.get_stock(gym=gym).kit_units()
    kit = tuple(
        (key, f"{key.replace('_', ' ')}, {count} in stock")
        for key, count in sorted(units.items())
        if count > 0
    )
    fields = (
        Field("kit", "Implement or kit", Kind.CHOICE, choices=kit, is_required=True),
        Field("units", "How many are missing", Kind.WHOLE, value="1", is_required=True),
    )
    return Ask("away", "An implement is missing", form_of(fields), "Do without it on a copy")


def _hurt_ask(people: tuple[tuple[str, str], ...], today: date) -> Ask:
    until = today + timedelta(weeks=4)
    fields = (
        Field("athlete", "Athlete", Kind.CHOICE, choices=people, is_required=True),
        Field("tag", "May do", Kind.CHOICE, choices=TAGS, is_required=True),
        Field("until", "Until", Kind.DAY, value=str(until), is_required=True),
    )
    return Ask("hurt", "Somebody is injured", form_of(fields), "Restrict them on a copy")


def _moved(request: GymRequest, values: Any) -> Supposition:
    del request
    return Supposition(moved=(MovedContest(ContestId(values["contest"]), values["on"]),))


def _added(request: GymRequest, values: Any) -> Supposition:
    like = contests.get_contest(gym=request.gym.key, contest=ContestId(values["like"]))
    key = "-".join("".join(c if c.isalnum() else " " for c in values["name"].casefold()).split())
    contest = Contest(
        ContestId(f"{key or 'contest'}-{values['on']}"[:60]), values["name"], values["on"],
        int(values["importance"]), values["squad_taper"], like.events, like.entries,
    )  # fmt: skip
    return Supposition(added=(contest,))


def _away(request: GymRequest, values: Any) -> Supposition:
    del request
    if values["units"] < 1:
        raise Refusal("How many are missing: 1 or more.")
    return Supposition(away=(KitAway(KitKey(values["kit"]), values["units"]),))


def _hurt(request: GymRequest, values: Any) -> Supposition:
    rule = Restriction(values["tag"], clock.today(request.gym.key), values["until"])
    return Supposition(hurt=(Hurt(AthleteId(values["athlete"]), rule),))


_READERS: dict[str, Callable[[GymRequest, Any], Supposition]] = {
    "moved": _moved,
    "added": _added,
    "away": _away,
    "hurt": _hurt,
}
